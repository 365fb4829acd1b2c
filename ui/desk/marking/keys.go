package marking

import "endpin/piece/fingerboard"

// Key is a letter or sign as it is written, or the name of a key that writes nothing.
type Key string

// The keys that write nothing.
const (
	Left      Key = "Left"
	Right     Key = "Right"
	Up        Key = "Up"
	Down      Key = "Down"
	Tab       Key = "Tab"
	Backspace Key = "BackSpace"
	Delete    Key = "Delete"
	Escape    Key = "Escape"
)

// Key does what a key does while the pencil is in the hand; it reports whether that is
// something. At a note they are those of a page being written (piece/manuscript, fingers).
func (m *Marking) Key(k Key) bool {
	if !m.On {
		return false
	}
	switch k {
	case Left:
		m.Next(-1)
	case Right:
		m.Next(1)
	case Tab:
		m.Turn()
	case Backspace, Delete:
		m.RubOut()
	case Escape:
		m.PutAway()
	default:
		if m.At.Note >= 0 {
			return m.atNote(k)
		}
		return m.atMeasure(k)
	}
	return true
}

func (m *Marking) atNote(k Key) bool {
	switch k {
	case Up:
		m.Higher(1)
	case Down:
		m.Higher(-1)
	case "w":
		m.NextBow()
	case "t":
		m.Finger("T")
	case "0", "1", "2", "3", "4":
		m.Finger(string(k))
	default:
		n := fingerboard.Lettered(m.Strings(), string(k))
		if n == 0 {
			return false
		}
		m.String(n)
	}
	return true
}

func (m *Marking) atMeasure(k Key) bool {
	switch k {
	case "b":
		m.RepeatStart()
	case "e":
		m.RepeatEnd()
	default:
		return false
	}
	return true
}
