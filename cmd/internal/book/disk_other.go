//go:build !unix

package book

import "io/fs"

func otherDisk(fs.FileInfo, fs.FileInfo) bool { return false } // such a folder is a link here

func isMount(error) bool { return false }
