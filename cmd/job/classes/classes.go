package classes

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Class is a folder of recordings to be heard against one piece or several.
type Class struct {
	Pieces   []Piece // one at least
	Folder   string
	Roster   []class.Entry // nil for none
	Comma    rune          // that separates the roster's cells, and the table's; 0 for a comma
	NotThese []string      // files that may lie in the folder and are no recordings: the roster
	Options  finding.Options

	// Keep is a folder that keeps what was heard of each file, so that a second run
	// picks up where the first ended; "" keeps nothing. Afresh hears all again.
	Keep    string
	Afresh  bool
	NoSound bool // keep none of the children's sound

	Outputs *job.Outputs // by which the pages are written; nil for the policy alone

	// Told is called as files are heard, from one goroutine at a time; nil for none.
	Told func(Progress)
}

// Piece is a piece that a class plays.
type Piece struct {
	Piece *piece.Piece
	File  string
	Data  []byte // what stands in it, where there is no such file; else nil
	Part  string // of the score that it is; "" for the instrument's
}

// Title is the piece's, or its file's where it has none.
func (p Piece) Title() string {
	if p.Piece.Title != "" {
		return p.Piece.Title
	}
	return filepath.Base(p.File)
}

// Titles are the pieces', each of its own: where two are called alike, with their files.
func (c *Class) Titles() (titles []string) {
	for i, p := range c.Pieces {
		title := p.Title()
		for k, other := range c.Pieces {
			if k != i && strings.EqualFold(other.Title(), title) {
				title = words.Say("job.class.title", "title", p.Title(), "file", filepath.Base(p.File))
				break
			}
		}
		titles = append(titles, title)
	}
	return titles
}

// Heard is what came of hearing a class.
type Heard struct {
	Sheets   []*class.Sheet // one a piece, in their order; what belongs to none of several is in none
	Played   map[string]Played
	Unplaced []class.Unplaced // recordings that belong to none of several pieces
}

// HeardOf counts the students who were heard, in a piece or several.
func (h *Heard) HeardOf() int {
	heard := map[string]bool{}
	for _, s := range h.Sheets {
		for i := range s.Students {
			if s.Students[i].Status == class.Heard {
				heard[s.Students[i].Name] = true
			}
		}
	}
	return len(heard)
}

// Progress is how far a class has been heard.
type Progress struct {
	Done, Of int
	Heard    float64     // share of all files, 0 to 1, about
	Hearing  []string    // the files that are being heard now
	File     string      // the file that was just finished; "" while none was
	So       *class.Term // all that was heard so far, without its weeks; nil while no file was finished
}

// Moment is a stretch of a student's own sound, to be played on the page.
type Moment struct {
	Finding int    `json:"finding"` // index into the hearing's findings
	WAV     []byte `json:"wav"`     // mono, 16-bit, 8000 samples a second
}

// Played is what was heard of one file, with the moments that show it.
type Played struct {
	class.Result
	Moments []Moment
	Of      int // index of the piece that it is of; -1 where that is not known

	told     map[string]told // how it reads, by language
	listened bool            // to the end, whether or not the piece was heard
	silenced bool            // its moments were taken away, since no page shows them
}

// told is how what was heard of a file reads in one language.
type told struct {
	Findings []finding.Told
	Doubt    string
}

// Hear hears every recording of a folder, on all cores, puts each to the piece that it is
// of, and gathers a sheet a piece. One file that cannot be heard never stops the others. Where the
// context ends first, the sheets hold what was heard so far and the error is the context's.
func Hear(ctx context.Context, c Class) (*Heard, error) {
	var known []string
	for _, p := range c.Pieces {
		known = append(known, p.File)
	}
	files, leftOut, err := job.InFolder(c.Folder, known, c.NotThese)
	if err != nil {
		return nil, err
	}
	var names, titles []string
	by := map[string]string{} // who handed a file in
	files = slices.DeleteFunc(files, func(f job.InFolderFile) bool {
		h := job.Handed(filepath.Join(c.Folder, f.Name))
		if h != nil && !slices.ContainsFunc(c.Pieces, func(p Piece) bool { return job.OfPiece(h, p.Piece) }) {
			leftOut = append(leftOut, class.LeftOut{File: f.Name, Reason: words.Say("job.left-out.handed-in", "player", h.Take.Player, "title", h.Title)})
			return true
		}
		if h != nil {
			by[f.Name] = h.Take.Player
		}
		names = append(names, f.Name)
		return false
	})
	for _, p := range c.Pieces {
		titles = append(titles, p.Title(), strings.TrimSuffix(filepath.Base(p.File), filepath.Ext(p.File)))
	}
	r := &classRun{Class: c, leftOut: leftOut, played: map[string]Played{}}
	r.seats, r.asked = class.Seats(names, by, c.Roster, titles...)
	for i := range r.asked {
		r.asked[i].Comma = c.Comma
	}
	files = slices.DeleteFunc(files, func(f job.InFolderFile) bool {
		return slices.ContainsFunc(r.asked, func(q class.Question) bool { return q.File == f.Name })
	})
	r.shares = make([]float64, len(files))
	for i := range files {
		r.files = append(r.files, files[i].Name)
	}
	if c.Keep != "" && len(files) > 0 {
		if err := os.MkdirAll(c.Keep, 0o700); err != nil {
			return nil, words.Fault("job.cannot-be-made", "folder", c.Keep, "err", job.Cause(err))
		}
	}
	// The largest first, so that no core is left with one long file at the end.
	order := make([]int, len(files))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(files[b].Size>>10) - int(files[a].Size>>10) })
	r.all(ctx, order)
	// Where another take came to count, its sound has to be heard again.
	r.all(ctx, r.muted(r.sheets()))
	h := &Heard{Sheets: r.sheets(), Played: r.played, Unplaced: r.unplaced()}
	r.forgetUnshown(h.Sheets)
	if ctx.Err() == nil {
		r.forgetOthers()
	}
	return h, ctx.Err()
}
