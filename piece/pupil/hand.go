package pupil

import "endpin/piece"

// Hand is how one note is held.
type Hand struct {
	String   int    // 1 is the G string
	Finger   string // "0" for an open string, "1", "2", "4"
	Position string // a token; "0" for an open string
}

// Open says that no finger is down.
func (h Hand) Open() bool { return h.Finger == "0" }

// openStrings are the double bass's strings from G down, as MIDI numbers
// (common practice, no source).
var openStrings = map[int]int{1: 43, 2: 38, 3: 33, 4: 28}

// positions gives where the first finger lies, in semitones above the open
// string (common practice, no source: first position a whole tone above it,
// third a fourth).
var positions = map[string]int{"half": 1, "1": 2, "2": 3, "2-3": 4, "3": 5, "3-4": 6, "4": 7}

// fingers gives how far each finger lies above the first, in semitones.
var fingers = map[string]int{"1": 0, "2": 1, "4": 2}

// Step is one note of the line and the hand that plays it.
type Step struct {
	piece.Expected
	Hand
}

// Frame is the stopped notes between two shifts.
type Frame struct {
	Steps      []int // indexes of its stopped notes
	AfterShift bool  // false for the opening frame
}

// Frames finds the hand frames of a line: a shift is a change of position
// between two successive stopped notes, whatever lies between.
func Frames(line []Step) []Frame {
	var frames []Frame
	last := ""
	for i, s := range line {
		if s.Open() || s.Marks.Harmonic {
			continue
		}
		if s.Position != last {
			frames = append(frames, Frame{AfterShift: last != ""})
			last = s.Position
		}
		f := &frames[len(frames)-1]
		f.Steps = append(f.Steps, i)
	}
	return frames
}
