// Package fingering lets a player take another fingering of the piece that lies as near, and
// another school.
//
//	the piece as its file has it ──┬─> Fingering ─> the piece on the desk
//	the Way it is to be fingered ──┘        │
//	a press ────────────────────────────────┴─> the Way to keep, a file of MusicXML
//
// The file of the piece is not touched: what was taken is kept by what the piece is known
// by, and holds whenever it comes on the desk. Read Fingering first.
package fingering

import (
	"io"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/outline"
	"endpin/piece/words"
	"endpin/ui/desk/score"
)

// Host is the desk that the piece lies on. Its methods are called on the desk's goroutine.
type Host interface {
	Busy(deed string) bool // something else goes on before that, and it was said
	Say(sentence string)
	Fault(sentence string) // likewise; what does not go, and the mend
	Score() *score.Score
	Outline() (*outline.Outline, error)         // of that
	Finger(s *score.Score, known string, w Way) // puts it on the desk, and keeps its way by what it is known by

	// Write has a file written in the background.
	Write(path string, write func(io.Writer) error)
}

// Fingering is how the piece on the desk is fingered. It belongs to the desk's goroutine.
type Fingering struct {
	host Host
	page *score.Score // the piece as its file has it
}

// New sets it out for a piece as its file has it.
func New(h Host, page *score.Score) *Fingering { return &Fingering{h, page} }

// OtherFingerings are those that lie as near, as endpin outline tells them.
func (f *Fingering) OtherFingerings() []outline.Other {
	o, err := f.host.Outline()
	if err != nil {
		return nil
	}
	return o.Others
}

// TakeFingering fingers the piece as another fingering has it, there and where the same
// comes again.
func (f *Fingering) TakeFingering(other outline.Other) {
	o, err := f.host.Outline()
	if err != nil || f.host.Busy("finger") {
		return
	}
	w := Way{School: f.way().School, Marks: f.marks(o.Taken(f.host.Score().Piece, other))}
	f.host.Say(words.Say("desk.fingering.taken", "measure", other.Measure))
	f.finger(w)
}

// OwnFingering takes back all that was taken.
func (f *Fingering) OwnFingering() {
	if !f.host.Busy("finger") {
		f.host.Say(words.Say("desk.fingering.own"))
		f.finger(Way{})
	}
}

func (f *Fingering) finger(w Way) { f.host.Finger(On(f.page, w), f.page.Content, w) }

// Fingered reports whether the piece is fingered otherwise than its file and the plan say.
func (f *Fingering) Fingered() bool { return f.host.Score() != f.page }

// Taken are the marks of the notes that are fingered otherwise than the file has them.
func (f *Fingering) Taken() map[piece.At]piece.Marks {
	taken := map[piece.At]piece.Marks{}
	now, file := f.host.Score().Piece.Measures, f.page.Piece.Measures
	for m := range now {
		for n := range now[m].Notes {
			if k := now[m].Notes[n].Marks; k != file[m].Notes[n].Marks {
				taken[piece.At{Measure: m, Note: n}] = k
			}
		}
	}
	return taken
}

// WriteFingered writes the piece with its fingering as MusicXML, in the background.
func (f *Fingering) WriteFingered(path string) {
	o, err := f.host.Outline()
	if err != nil {
		f.host.Fault(words.Told(err))
		return
	}
	p := f.host.Score().Piece
	f.host.Write(path, func(out io.Writer) error { return o.WriteMusicXML(out, p, fingerboard.WhereTheHandMoves) })
}
