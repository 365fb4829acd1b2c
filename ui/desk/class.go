package desk

import "endpin/ui/desk/classroom"

// What of a class is asked and shown.
type (
	Class      = classroom.Class
	ClassAsked = classroom.Asked
	ClassTold  = classroom.Told
)

// NewClass sets a desk out for a class, with the desk's own piece.
func NewClass(d *Desk) *Class { return classroom.New(host{d}) }
