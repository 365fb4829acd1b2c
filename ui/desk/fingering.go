package desk

import (
	"io"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/outline"
	"endpin/piece/words"
	"endpin/ui/desk/score"
)

// Fingered is how a note of the page is to be played that was fingered on the desk.
type Fingered struct {
	Measure  int    `json:"measure"` // both are indexes
	Note     int    `json:"note"`
	Finger   string `json:"finger"`
	String   int    `json:"string,omitempty"`
	Position string `json:"position,omitempty"`
}

// OtherFingerings are those that lie as near, as endpin outline tells them.
func (d *Desk) OtherFingerings() []outline.Other {
	o, err := d.outline()
	if err != nil {
		return nil
	}
	return o.Others
}

// TakeFingering fingers the piece as another fingering has it, there and where the same
// comes again. It is kept, and holds whenever the piece comes on the desk.
func (d *Desk) TakeFingering(other outline.Other) {
	o, err := d.outline()
	if err != nil || d.busy("finger") {
		return
	}
	taken := o.Taken(d.Score.Piece, other)
	var all []Fingered
	for m := range taken.Measures {
		for n := range taken.Measures[m].Notes {
			if k := taken.Measures[m].Notes[n].Marks; k != d.page.Piece.Measures[m].Notes[n].Marks {
				all = append(all, Fingered{m, n, k.Finger, k.String, k.Position})
			}
		}
	}
	d.say(words.Say("desk.fingering.taken", "measure", other.Measure))
	d.finger(all)
}

// OwnFingering takes back all that was fingered on the desk.
func (d *Desk) OwnFingering() {
	if d.busy("finger") {
		return
	}
	d.say(words.Say("desk.fingering.own"))
	d.finger(nil)
}

// Fingered reports whether the piece is fingered otherwise than its file and the plan say.
func (d *Desk) Fingered() bool { return d.Score != d.page }

// finger keeps what is fingered on the desk, nothing for nothing.
func (d *Desk) finger(all []Fingered) {
	d.Score = fingered(d.page, all)
	known := piece.Content(d.page.Line)
	d.Change(func(s *Settings) {
		delete(s.Fingerings, known)
		if len(all) > 0 {
			s.Fingerings[known] = all
		}
	})
}

// fingered is a piece with some of its notes fingered so; marks that do not stand on it
// are left out.
func fingered(page *score.Score, all []Fingered) *score.Score {
	p := page.Piece.Copied()
	done := false
	for _, f := range all {
		if f.Measure < 0 || f.Measure >= len(p.Measures) || f.Note < 0 || f.Note >= len(p.Measures[f.Measure].Notes) {
			continue
		}
		k := &p.Measures[f.Measure].Notes[f.Note].Marks
		*k, done = piece.Marks{Finger: f.Finger, String: f.String, Position: f.Position, Bow: k.Bow, Harmonic: k.Harmonic}, true
	}
	if !done {
		return page
	}
	s := score.New(p, page.File)
	s.Homework = page.Homework
	return s
}

// WriteFingered writes the piece with its fingering as MusicXML, in the background.
func (d *Desk) WriteFingered(path string) {
	o, err := d.outline()
	if err != nil {
		d.Say(words.Told(err))
		return
	}
	p := d.Score.Piece
	d.Write(path, func(out io.Writer) error { return o.WriteMusicXML(out, p, fingerboard.WhereTheHandMoves) })
}
