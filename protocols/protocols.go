// Package protocols carries the library of species, ingredients, vessels,
// sterilizers and troubles inside the program, so that a farm folder needs no copy of it.
//
// The folder that this file stands in is also the protocols folder of a
// made-up farm, Willow Fork. Its farm.toml and its protocols are read from the
// disk like those of any farm, and are not carried.
package protocols

import "embed"

// Library holds the library's files as library/NAME.toml. A farm's own
// protocols/library is laid over it, entry by entry.
//
//go:embed library/*.toml library/languages/*.toml
var Library embed.FS

// Schema is schema.json, the JSON Schema of all files of a farm folder. A test of the
// package farmfile makes it.
//
//go:embed schema.json
var Schema []byte
