package desk

import "endpin/ui/desk/closelook"

// What the closer look shows, and what can be played of it.
type (
	Closer      = closelook.Look
	CloserNote  = closelook.Note
	CloserPoint = closelook.Point
	Playback    = closelook.Playback
	Voice       = closelook.Voice
)

const (
	Recorded = closelook.Recorded
	Written  = closelook.Written
	InTurn   = closelook.InTurn
)
