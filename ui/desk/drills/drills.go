package drills

import (
	"bytes"
	"path/filepath"
	"strings"

	"endpin/piece"
	"endpin/piece/drill"
	"endpin/piece/export"
	"endpin/piece/outline"
	"endpin/piece/wholefile"
	"endpin/piece/words"
	"endpin/piece/writing"
	"endpin/ui/desk/said"
	"endpin/ui/desk/score"
)

// Host is the desk that the piece lies on. Its methods are called on the desk's goroutine.
type Host interface {
	Changed()              // what is seen is another
	Say(sentence string)   // empty takes away what was said
	Fault(sentence string) // likewise; what does not go, and the mend
	Busy(deed string) bool // something else goes on before the deed; it says so
	Score() *score.Score
	Outline() (*outline.Outline, error) // of that
	OpenMade(path, instrument string)   // lays the piece in a file on the desk
	OpenAgain(s *score.Score)           // lays a piece there that lay there before
}

// Drills is what is drilled of the pieces on the desk. It belongs to the desk's goroutine.
type Drills struct {
	host   Host
	folder string                  // where drills are written; "" for nowhere
	of     map[string]*score.Score // the pieces that they were made of, by their files
}

// New sets it out.
func New(h Host, folder string) *Drills {
	return &Drills{host: h, folder: folder, of: map[string]*score.Score{}}
}

// Scale makes the scale of the piece over one octave or two, and lays it on the desk. Beside
// a drill it is that of its piece.
func (d *Drills) Scale(octaves int) {
	of := d.host.Score()
	if piece := d.Of(); piece != nil {
		of = piece
	}
	d.make(of, func(s *score.Score, staff writing.Staff) (*piece.Piece, error) {
		return drill.Scale(s.Piece, s.On.For(s.Piece), staff, octaves)
	})
}

// Shift makes the drill of the shifts of a measure, by its number, as they are fingered on
// the desk, and lays it there.
func (d *Drills) Shift(measure string) {
	d.make(d.host.Score(), func(s *score.Score, staff writing.Staff) (*piece.Piece, error) {
		return drill.Shift(s.Piece, s.On.For(s.Piece), staff, measure)
	})
}

// ShiftIn makes that of the first measure in a range, indexes, in which the hand shifts.
func (d *Drills) ShiftIn(first, last int) {
	s := d.host.Score()
	for i := first; i <= last && i < len(s.Piece.Measures); i++ {
		for _, m := range d.Shifts() {
			if m == s.Piece.Measures[i].Number {
				d.Shift(m)
				return
			}
		}
	}
	d.host.Say(words.Say("desk.drill.none"))
	d.host.Changed()
}

// Shifts are the measures in which the hand shifts, by their numbers, each once.
func (d *Drills) Shifts() (measures []string) {
	o, err := d.host.Outline()
	if err != nil {
		return nil
	}
	for _, s := range o.Shifts {
		if n := len(measures); n == 0 || measures[n-1] != s.Measure {
			measures = append(measures, s.Measure)
		}
	}
	return measures
}

func (d *Drills) make(s *score.Score, drilled func(*score.Score, writing.Staff) (*piece.Piece, error)) {
	if d.host.Busy("piece") {
		return
	}
	p, err := drilled(s, writing.StaffOf(s.On.Instrument))
	path := ""
	if err == nil {
		path, err = d.write(p)
	}
	if err != nil {
		d.host.Fault(said.Sentence(err))
		d.host.Changed()
		return
	}
	d.of[path] = s
	if before := d.of[s.File]; before != nil {
		d.of[path] = before // one made of a drill is one of the same piece
	}
	d.host.OpenMade(path, s.On.Word)
}

const ends = ".musicxml"

// write writes a drill under its title. The same again is the same file, and what another
// put there stays.
func (d *Drills) write(p *piece.Piece) (string, error) {
	if d.folder == "" {
		return "", words.Fault("desk.drill.no-folder")
	}
	var b bytes.Buffer
	if err := export.MusicXML(&b, p, export.Options{}); err != nil {
		return "", err
	}
	return wholefile.WriteBeside(filepath.Join(d.folder, named(p.Title)+ends), b.Bytes())
}

// mostName is how many letters of a title stand in the name of a file.
const mostName = 80

// named is a title as a file may be called anywhere.
func named(title string) string {
	name := []rune(strings.Join(strings.FieldsFunc(title, func(r rune) bool {
		return r < ' ' || strings.ContainsRune(`/\:*?"<>|`, r)
	}), ""))
	return strings.Trim(string(name[:min(len(name), mostName)]), " .")
}

// Of is the piece that the drill on the desk was made of; nil where none lies there, or it
// was made at another time.
func (d *Drills) Of() *score.Score { return d.of[d.host.Score().File] }

// Made reports whether what lies on the desk is a drill, whenever it was made.
func (d *Drills) Made() bool {
	return d.folder != "" && filepath.Dir(d.host.Score().File) == d.folder
}

// Back lays that piece on the desk again, as it lay there.
func (d *Drills) Back() {
	if s := d.Of(); s != nil {
		d.host.OpenAgain(s)
	}
}
