//go:build !linux

package book

func swap(fresh, folder string) error { return swapByTwoRenames(fresh, folder) }
