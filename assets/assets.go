// Package assets holds what the program carries inside: the demo piece and a
// take of it. README.md says how they were made.
package assets

import _ "embed"

// The names that the demo goes by in what is told about it.
const (
	DemoPieceName = "demo.musicxml"
	DemoTakeName  = "demo.flac"
)

// DemoPiece is a tune of 16 measures for the double bass, MusicXML 4.0.
//
//go:embed demo.musicxml
var DemoPiece []byte

// DemoTake is a take of DemoPiece with four mistakes, FLAC. demo.truth.json
// tells what sounds in it.
//
//go:embed demo.flac
var DemoTake []byte

// DemoTakeBegins is when its first note begins, s (demo.truth.json).
const DemoTakeBegins = 1.0
