package manuscript

import "endpin/piece/fingerboard"

// Key is a key of the keyboard: a letter or sign as it is written, a digit as the physical
// key that bears it whatever the layout, or the name of a key that writes nothing.
type Key string

// The keys that write nothing.
const (
	Left      Key = "Left"
	Right     Key = "Right"
	Up        Key = "Up"
	Down      Key = "Down"
	PageUp    Key = "PageUp"
	PageDown  Key = "PageDown"
	Home      Key = "Home"
	EndKey    Key = "End"
	Return    Key = "Return"
	Escape    Key = "Escape"
	Backspace Key = "Backspace"
	DeleteKey Key = "Delete"

	Mode Key = "x" // what digits are: lengths or fingers
)

// Lengths are the digits that choose a length: the number under its fraction line, of one of
// two figures the last that tells it from the others.
var Lengths = []struct {
	Key   Key
	Value string
}{{"1", "whole"}, {"2", "half"}, {"4", "quarter"}, {"8", "eighth"}, {"6", "16th"}, {"7", "32nd"}}

// Held are the keys held down with another.
type Held struct{ Shift, Control bool }

// Press does what a key does; it reports whether it does something. strings are the names
// of the instrument's strings, the highest first.
func (m *Manuscript) Press(k Key, held Held, strings []string) bool {
	ready := m.ready
	m.ready = false
	if k == "." && ready && !m.Some && !m.Hand.Fingers { // a dot behind a length, before its note
		m.ready, m.Hand.Dots = true, (m.Hand.Dots+1)%3
		return true
	}
	if m.move(k, held) {
		return true
	}
	if held.Control {
		return false
	}
	if m.Hand.Fingers {
		return m.pressFingers(k, strings) || m.pressSigns(k)
	}
	return m.pressLengths(k) || m.pressSigns(k)
}

// move is for the keys that mean the same whatever the digits are.
func (m *Manuscript) move(k Key, held Held) bool {
	switch k {
	case Left:
		m.Move(-1, held.Shift)
	case Right:
		m.Move(1, held.Shift)
	case Home:
		m.Begin()
	case EndKey:
		m.End()
	case Return:
		if a := m.note(m.At); m.Some && a != nil && a.Doubt != nil {
			m.Settle()
		} else if m.Some {
			m.WriteOn()
		} else {
			m.AddMeasure()
		}
	case Escape:
		if !m.Some {
			return false
		}
		m.End()
	case Backspace, DeleteKey:
		m.Delete()
	case Mode:
		m.Hand.Fingers = !m.Hand.Fingers
		if from := m.At; m.Hand.Fingers && m.note(from) != nil {
			m.Choose(from, false)
		}
	default:
		return false
	}
	return true
}

func (m *Manuscript) pressLengths(k Key) bool {
	for _, l := range Lengths {
		if l.Key == k {
			m.Length(l.Value)
			m.ready = true
			return true
		}
	}
	switch k {
	case "a", "b", "c", "d", "e", "f", "g":
		m.Letter(string(k[0] - 'a' + 'A'))
	case "r", "0":
		m.Rest()
	case "R":
		m.RestMeasure()
	case "3":
		m.Triplet()
	case "5":
		m.Beat()
	case ".":
		m.Dot()
	case "s":
		m.Alter(1)
	case "l":
		m.Alter(-1)
	case "n":
		m.Alter(0)
	case "t":
		m.Tie()
	case "o", PageUp:
		m.Step(7)
	case "O", PageDown:
		m.Step(-7)
	case Up:
		m.Step(1)
	case Down:
		m.Step(-1)
	case "+":
		m.Semitone(1)
	case "-":
		m.Semitone(-1)
	default:
		return false
	}
	return true
}

func (m *Manuscript) pressFingers(k Key, strings []string) bool {
	switch k {
	case "0", "1", "2", "3", "4":
		m.Finger(string(k))
	case "t":
		m.Finger("T")
	case Up:
		m.Position(1)
	case Down:
		m.Position(-1)
	default:
		n := fingerboard.Lettered(strings, string(k))
		if n == 0 {
			return false
		}
		m.String(n)
	}
	return true
}

// pressSigns is for the signs that go to a note or a measure.
func (m *Manuscript) pressSigns(k Key) bool {
	switch k {
	case "j":
		m.Slur()
	case "w":
		m.Bow()
	case "p":
		m.Pizz()
	case "h":
		m.Fermata()
	case "k":
		m.Staccato()
	case "m":
		m.Mark()
	case ":":
		m.Repeat()
	case "i":
		m.Ending()
	case "|":
		m.DoubleBar()
	default:
		return false
	}
	return true
}
