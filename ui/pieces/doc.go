// Package pieces is the screen that the desk shows first: the shelf, with the piece that
// stands ready written large, to be read by whoever holds a bass.
//
//	pieces.Shelf ─> the piece that stands ready, with how far it is and what comes next
//	             └> the others, those that are found by what is typed
//
// Keys that write look for a piece, Return opens the one that stands ready. Read Screen
// first.
package pieces
