//go:build release

package main

import _ "embed"

// A release carries the module. go generate makes the file, which is in no repository:
//
//	go generate ./cmd/bottlecrop && go build -trimpath -tags release ./cmd/bottlecrop
//
//go:embed module.js
var embeddedModule []byte
