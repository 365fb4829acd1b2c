package fingering

import (
	"bytes"
	"encoding/json"

	"endpin/piece"
	"endpin/ui/desk/score"
)

// Way is how a piece is to be fingered where that was chosen on the desk. The zero value is
// as its file has it. Without a school it is written as its marks alone.
type Way struct {
	School string `json:"school"` // see fingerboard.School.Kept; "" for the piece's own
	Marks  []Mark `json:"marks"`
}

// Mark is how a note of the page is to be played.
type Mark struct {
	Measure  int    `json:"measure"` // both are indexes
	Note     int    `json:"note"`
	Finger   string `json:"finger"`
	String   int    `json:"string,omitempty"`
	Position string `json:"position,omitempty"`
}

func (w Way) MarshalJSON() ([]byte, error) {
	if w.School == "" {
		return json.Marshal(w.Marks)
	}
	type way Way
	return json.Marshal(way(w))
}

func (w *Way) UnmarshalJSON(data []byte) error {
	if !bytes.HasPrefix(data, []byte("{")) {
		return json.Unmarshal(data, &w.Marks)
	}
	type way Way
	return json.Unmarshal(data, (*way)(w))
}

// On is a piece fingered in a way; marks that do not stand on it are left out.
func On(page *score.Score, w Way) *score.Score {
	p := page.Piece.Copied()
	done := false
	if w.School != "" && w.School != p.School {
		p.School, done = w.School, true
	}
	for _, f := range w.Marks {
		if f.Measure < 0 || f.Measure >= len(p.Measures) || f.Note < 0 || f.Note >= len(p.Measures[f.Measure].Notes) {
			continue
		}
		k := &p.Measures[f.Measure].Notes[f.Note].Marks
		*k, done = piece.Marks{Finger: f.Finger, String: f.String, Position: f.Position, Bow: k.Bow, Harmonic: k.Harmonic}, true
	}
	if !done {
		return page
	}
	return page.Fingered(p)
}

// way is how the piece on the desk is fingered.
func (f *Fingering) way() (w Way) {
	now := f.host.Score().Piece
	if now.School != f.page.Piece.School {
		w.School = now.School
	}
	w.Marks = f.marks(now)
	return w
}

// marks are those of a piece that the file has not.
func (f *Fingering) marks(p *piece.Piece) (all []Mark) {
	for m := range p.Measures {
		for n := range p.Measures[m].Notes {
			if k := p.Measures[m].Notes[n].Marks; k != f.page.Piece.Measures[m].Notes[n].Marks {
				all = append(all, Mark{m, n, k.Finger, k.String, k.Position})
			}
		}
	}
	return all
}
