package protocol

import "strconv"

// Where the files of a farm folder are.
const (
	Folder        = "protocols"
	FarmDocument  = Folder + "/farm.toml"
	LibraryFolder = Folder + "/library"
)

// Document is the path of the file of the protocol with that name.
func Document(name string) string { return Folder + "/" + name + ".toml" }

// item is the path of the i-th item of a list, from 0.
func item(list string, i int) string { return list + "[" + strconv.Itoa(i) + "]" }
