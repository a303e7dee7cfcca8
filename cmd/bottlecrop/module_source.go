//go:build !release

package main

//go:generate go run . module --out module.js

// embeddedModule is nil in a program that carries none.
var embeddedModule []byte
