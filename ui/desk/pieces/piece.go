package pieces

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"endpin/piece/outside"
	"endpin/piece/wholefile"
	"endpin/piece/words"
	"endpin/ui/desk/score"
)

// Piece is one on the shelf, and what is remembered of it.
type Piece struct {
	Content    string    `json:"notes"` // what it is known by, see piece.Content
	Title      string    `json:"title"`
	Composer   string    `json:"composer,omitempty"`
	Part       string    `json:"part,omitempty"`      // of its file, as it was chosen; "" where there was no choice
	PartName   string    `json:"part_name,omitempty"` // as it stands there; "" where the file has one
	Instrument string    `json:"instrument"`          // by its word
	Files      []string  `json:"files"`               // where it lay, the last place first
	Opened     time.Time `json:"opened"`              // last; zero for not yet
	QPM        float64   `json:"tempo_qpm"`           // its own
	Measures   []string  `json:"measures"`            // in which something is played, as printed

	Demo     bool     `json:"-"`
	Progress Progress `json:"-"`

	notes  string // the path of its JSON
	sought string // what is found by typing
}

// mostFiles is how many places are remembered of a piece: its last, and some in which a
// copy may still lie.
const mostFiles = 4

// mostNotes is the size of the largest piece's JSON that is read, bytes.
const mostNotes = 4 << 20

// of is what a score is on the shelf.
func of(s *score.Score) *Piece {
	p := &Piece{Content: s.Content, Demo: s.Demo}
	p.take(s)
	return p
}

// take takes in what is known of a score.
func (p *Piece) take(s *score.Score) {
	p.Title, p.Composer = outside.Line(s.Title()), outside.Line(s.Piece.Composer)
	p.Part, p.PartName, p.Instrument = s.Part, "", s.On.Word
	if len(s.Piece.Parts) > 1 {
		p.PartName = outside.Line(s.Piece.Part)
	}
	p.QPM, p.Measures = s.QPM(), nil
	last := -1
	for _, e := range s.Line {
		if m := s.Piece.Measures[e.Measure].Number; e.Measure > last && !slices.Contains(p.Measures, m) {
			last = e.Measure
			p.Measures = append(p.Measures, m)
		}
	}
	if !p.Demo {
		p.Files = slices.DeleteFunc(p.Files, func(f string) bool { return f == s.File })
		p.Files = append([]string{s.File}, p.Files...)
		p.Files = p.Files[:min(len(p.Files), mostFiles)]
	}
	p.sought = ""
}

// File is where it lay last.
func (p *Piece) File() string {
	if len(p.Files) == 0 {
		return ""
	}
	return p.Files[0]
}

// save writes its JSON into a folder, whole or not at all.
func (p *Piece) save(folder string) error {
	if p.notes == "" {
		p.notes = filepath.Join(folder, p.Content[:min(32, len(p.Content))]+ends)
	}
	data, err := json.MarshalIndent(p, "", "  ")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	return wholefile.Write(p.notes, append(data, '\n'))
}

// ends is how the JSON of a piece ends.
const ends = ".piece.json"

// load reads the pieces in a folder. What cannot be read is put aside under another name,
// which is given, and the others are read all the same.
func load(folder string) (all []*Piece, aside []string) {
	files, err := os.ReadDir(folder)
	if err != nil {
		return nil, nil // there is none yet, or none that can be read: writing tells
	}
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ends) {
			continue
		}
		path := filepath.Join(folder, f.Name())
		p, err := read(path)
		switch {
		case err == nil:
			all = append(all, p)
		case os.Rename(path, path+".unreadable") == nil:
			aside = append(aside, f.Name()+".unreadable")
		}
	}
	return all, aside
}

// errNoPiece is that a JSON tells of no piece.
var errNoPiece = errors.New("no piece")

func read(path string) (*Piece, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, mostNotes))
	if err != nil {
		return nil, err
	}
	p := &Piece{notes: path}
	if err := json.Unmarshal(data, p); err != nil {
		return nil, err
	}
	if p.Content == "" || len(p.Files) == 0 {
		return nil, errNoPiece
	}
	p.Title, p.Composer, p.PartName = outside.Line(p.Title), outside.Line(p.Composer), outside.Line(p.PartName)
	return p, nil
}

// Said is its composer, and the part where its file has several.
func (p *Piece) Said() string {
	switch {
	case p.Demo:
		return words.Say("desk.pieces.demo")
	case p.Composer != "" && p.PartName != "":
		return words.Say("desk.pieces.of", "composer", p.Composer, "part", p.PartName)
	}
	return p.Composer + p.PartName
}
