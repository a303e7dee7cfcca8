package protocol

import (
	"strconv"

	"bottlecrop/cmd/internal/working"
)

// Where the files of a farm folder are.
const (
	Folder        = "protocols"
	FarmDocument  = Folder + "/farm.toml"
	LibraryFolder = Folder + "/library"
)

// Document is the path of the file of the protocol with that name.
func Document(name string) string { return Folder + "/" + name + ".toml" }

// IsProtocol reports whether a file in the folder of protocols is one, by its
// path: some names are those of other files.
func IsProtocol(document string) bool {
	switch document {
	case FarmDocument, StockDocument, OrdersDocument, ResultsDocument:
		return false
	}
	return true
}

// InFarm is the place of a key of the farm's file.
func InFarm(key string) working.Origin { return working.Origin{Document: FarmDocument, Key: key} }

// Item is the path of the i-th item of a list, from 0.
func Item(list string, i int) string { return list + "[" + strconv.Itoa(i) + "]" }
