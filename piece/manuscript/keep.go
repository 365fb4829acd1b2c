package manuscript

import (
	"encoding/json"

	"endpin/piece"
	"endpin/piece/outside"
)

// kept is a page as it is kept from one start to the next. What can be undone is not.
type kept struct {
	Page int `json:"endpin_page"` // the form of what follows
	Head Head
	Bars []*Bar
	Hand Hand
	At   piece.At
}

const form = 1

// Keep is the page as bytes, half-written measures, doubts and the place included.
func (m *Manuscript) Keep() ([]byte, error) {
	return json.Marshal(kept{form, m.Head, m.Bars, m.Hand, m.At})
}

// Restore is the page that was kept; false for what is none.
func Restore(data []byte) (*Manuscript, bool) {
	var k kept
	if json.Unmarshal(data, &k) != nil || k.Page != form || len(k.Bars) == 0 || len(k.Bars) > piece.MaxNotes {
		return nil, false
	}
	notes := 0
	for _, b := range k.Bars {
		if b == nil || b.Due < 0 || b.Due > 400*piece.Quarter || b.Time.Unit < 0 || b.Time.Unit > 64 || b.Time.Beats < 0 || b.Time.Beats > 99 || b.Key.Fifths < -7 || b.Key.Fifths > 7 {
			return nil, false
		}
		b.Measure.Notes = nil
		if notes += len(b.Notes); notes > piece.MaxNotes {
			return nil, false
		}
		for _, n := range b.Notes {
			if n.Length < 0 || n.Length > 400*piece.Quarter || !n.Rest && (len(n.Step) != 1 || !isStep(n.Step) || n.Octave < 0 || n.Octave > 9 || n.Alter < -2 || n.Alter > 2) || n.Dots < 0 || n.Dots > 2 {
				return nil, false
			}
			if t := n.Tuplet; t.Actual != 0 && (t.Actual < 0 || t.Actual > 99 || t.Normal <= 0 || t.Normal > 99) {
				return nil, false
			}
		}
	}
	k.Head.Title, k.Head.Composer = outside.Line(k.Head.Title), outside.Line(k.Head.Composer)
	if lengthOf(piece.Note{Value: k.Hand.Value}) == 0 {
		k.Hand = Hand{Value: "quarter"}
	}
	m := &Manuscript{state: &state{Head: k.Head, Bars: k.Bars, Hand: Hand{Value: k.Hand.Value, Dots: min(2, max(0, k.Hand.Dots)), Fingers: k.Hand.Fingers}}}
	for i := range m.Bars {
		m.settle(i)
	}
	m.end()
	if m.note(k.At) != nil && k.At != m.At {
		m.Choose(k.At, false)
	}
	return m, true
}

func isStep(s string) bool {
	for _, c := range piece.Letters {
		if string(c) == s {
			return true
		}
	}
	return false
}
