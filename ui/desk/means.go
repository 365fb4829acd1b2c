package desk

import (
	"time"

	"endpin/ui/desk/assigned"
	"endpin/ui/desk/classroom"
	"endpin/ui/desk/ear"
	"endpin/ui/desk/marking"
	"endpin/ui/desk/pieces"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/room"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/weeks"
	"endpin/ui/desk/writing"
)

// Means is what a desk is given from outside: the world it must not reach for.
type Means struct {
	// Post has a function run on the goroutine that the desk belongs to.
	Post func(func())

	room.Computer // its sound

	Homework assigned.Means

	Pencil marking.Open // takes up a file to be marked; nil for none

	ear.Ear // hears takes

	// Open opens a recording, to play a part of it.
	Open func(path string) (playback.Recording, error)

	HearClass  classroom.Hear // hears a folder of recordings and writes its pages; nil for none
	AddToClass classroom.Add  // adds to the pages of the class heard last; nil for none

	// Diary keeps takes over months; nil for none.
	Diary weeks.Diary

	ReadScore classroom.ReadScore // reads a piece from a file; nil for none.

	// Pieces is what the shelf of pieces is given; the desk says itself what was worked.
	Pieces pieces.Means

	Writing writing.Means

	// Practised is what the diary knows of a player's work on each piece, by its content;
	// nil for nothing.
	Practised func(player string) (map[string]*pieces.Worked, error)

	// Free is how many bytes may still be written in a folder, where that is known;
	// nil where it never is.
	Free func(folder string) (bytes int64, known bool)

	Folder   string // where takes are kept
	Drills   string // where drills are written; "" for nowhere
	Settings string // the settings' file; empty to remember nothing
	Now      func() time.Time

	create func(path string) (tape.File, error) // the file of a take; nil for one on disk
}
