// Package testdata holds the two files that the program carries in itself: the
// example of a house, and the night of the demo. They lie among the data of the
// tests because the tests play them too.
package testdata

import _ "embed" // for the two files

// HouseExample is the file that init --example prints: TOML, with its explanation.
//
//go:embed house.example.toml
var HouseExample []byte

// Night is the night of the demo in the line format, one command a line, in the
// order in which they became known.
//
//go:embed night.jsonl
var Night []byte
