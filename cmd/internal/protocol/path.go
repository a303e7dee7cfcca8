package protocol

import (
	"path"
	"strconv"
	"strings"

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

// IsFarms reports whether a file in the folder of protocols is the farm's and no
// protocol's, by its path.
func IsFarms(document string) bool {
	switch document {
	case FarmDocument, StockDocument, OrdersDocument, ResultsDocument:
		return true
	}
	return false
}

// NameOf is the name of the protocol that a file of a farm folder holds, by its path; ok
// is false where it holds none. Editors keep copies under names that begin with a point.
func NameOf(document string) (name string, ok bool) {
	name, ok = strings.CutSuffix(path.Base(document), ".toml")
	if !ok || strings.HasPrefix(name, ".") || document != Document(name) || IsFarms(document) {
		return "", false
	}
	return name, true
}

// InFarm is the place of a key of the farm's file.
func InFarm(key string) working.Origin { return working.Origin{Document: FarmDocument, Key: key} }

// Item is the path of the i-th item of a list, from 0.
func Item(list string, i int) string { return list + "[" + strconv.Itoa(i) + "]" }
