package job

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Class is a folder of recordings to be heard against one piece or several.
type Class struct {
	Pieces   []ClassPiece // one at least
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

	Outputs *Outputs // by which the pages are written; nil for the policy alone

	// Told is called as files are heard, from one goroutine at a time; nil for none.
	Told func(ClassProgress)
}

// ClassPiece is a piece that a class plays.
type ClassPiece struct {
	Piece *piece.Piece
	File  string
	Data  []byte // what stands in it, where there is no such file; else nil
	Part  string // of the score that it is; "" for the instrument's
}

// Title is the piece's, or its file's where it has none.
func (p ClassPiece) Title() string {
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

// HeardClass is what came of hearing a class.
type HeardClass struct {
	Sheets   []*class.Sheet // one a piece, in their order; what belongs to none of several is in none
	Played   map[string]Played
	Unplaced []class.Unplaced // recordings that belong to none of several pieces
}

// HeardOf counts the students who were heard, in a piece or several.
func (h *HeardClass) HeardOf() int {
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

// ClassProgress is how far a class has been heard.
type ClassProgress struct {
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

	listened bool // to the end, whether or not the piece was heard
	silenced bool // its moments were taken away, since no page shows them
}

// HearClass hears every recording of a folder, on all cores, puts each to the piece that it is
// of, and gathers a sheet a piece. One file that cannot be heard never stops the others. Where the
// context ends first, the sheets hold what was heard so far and the error is the context's.
func HearClass(ctx context.Context, c Class) (*HeardClass, error) {
	var known []string
	for _, p := range c.Pieces {
		known = append(known, p.File)
	}
	files, leftOut, err := inFolder(c.Folder, known, c.NotThese)
	if err != nil {
		return nil, err
	}
	var names, titles []string
	by := map[string]string{} // who handed a file in
	files = slices.DeleteFunc(files, func(f entry) bool {
		h := Handed(filepath.Join(c.Folder, f.name))
		if h != nil && !slices.ContainsFunc(c.Pieces, func(p ClassPiece) bool { return OfPiece(h, p.Piece) }) {
			leftOut = append(leftOut, class.LeftOut{File: f.name, Reason: words.Say("job.left-out.handed-in", "player", h.Take.Player, "title", h.Title)})
			return true
		}
		if h != nil {
			by[f.name] = h.Take.Player
		}
		names = append(names, f.name)
		return false
	})
	for _, p := range c.Pieces {
		titles = append(titles, p.Title(), strings.TrimSuffix(filepath.Base(p.File), filepath.Ext(p.File)))
	}
	r := &classRun{Class: c, leftOut: leftOut, played: map[string]Played{}}
	r.seats, r.asked = class.Seats(names, by, c.Roster, titles...)
	files = slices.DeleteFunc(files, func(f entry) bool {
		return slices.ContainsFunc(r.asked, func(q class.Question) bool { return q.File == f.name })
	})
	r.shares = make([]float64, len(files))
	for i := range files {
		r.files = append(r.files, files[i].name)
	}
	if c.Keep != "" && len(files) > 0 {
		if err := os.MkdirAll(c.Keep, 0o700); err != nil {
			return nil, words.Fault("job.cannot-be-made", "folder", c.Keep, "err", Cause(err))
		}
	}
	// The largest first, so that no core is left with one long file at the end.
	order := make([]int, len(files))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(files[b].size>>10) - int(files[a].size>>10) })
	r.all(ctx, order)
	// Where another take came to count, its sound has to be heard again.
	r.all(ctx, r.muted(r.sheets()))
	h := &HeardClass{Sheets: r.sheets(), Played: r.played, Unplaced: r.unplaced()}
	r.forgetUnshown(h.Sheets)
	if ctx.Err() == nil {
		r.forgetOthers()
	}
	return h, ctx.Err()
}

type entry struct {
	name string
	size int64
}

// inFolder parts a folder's recordings from what is none. Folders in it are not
// entered; pieces and others are files that may lie there and are no recordings.
func inFolder(folder string, pieces, others []string) (files []entry, leftOut []class.LeftOut, err error) {
	switch info, err := os.Stat(folder); {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, words.Fault("job.folder.absent", "folder", folder)
	case err == nil && !info.IsDir():
		return nil, nil, words.Fault("job.folder.file", "folder", folder)
	}
	all, err := os.ReadDir(folder)
	if err != nil {
		return nil, nil, OfFile(folder, Cause(err))
	}
	for _, e := range all {
		name := e.Name()
		info, err := os.Stat(filepath.Join(folder, name))
		same := func(path string) bool {
			other, err := os.Stat(path)
			return err == nil && info != nil && os.SameFile(info, other)
		}
		without := func(reason string) { leftOut = append(leftOut, class.LeftOut{File: name, Reason: reason}) }
		switch {
		case slices.ContainsFunc(pieces, same):
			without(words.Say("job.left-out.piece"))
		case slices.ContainsFunc(others, same):
			without(words.Say("job.left-out.roster"))
		case strings.HasPrefix(name, "."):
			without(words.Say("job.left-out.hidden"))
		case err != nil:
			without(words.Told(Cause(err)))
		case info.IsDir():
			without(words.Say("job.left-out.folder"))
		case !info.Mode().IsRegular():
			without(words.Say("job.left-out.not-plain"))
		case homeworkAlone(filepath.Join(folder, name)):
			without(words.Say("job.left-out.homework"))
		case class.IsMedia(name) || soundsLike(filepath.Join(folder, name)):
			files = append(files, entry{name, info.Size()})
		default:
			without(words.Say("job.left-out.no-recording"))
		}
	}
	return files, leftOut, nil
}

// homeworkAlone reports whether a file is homework that nobody has played yet.
func homeworkAlone(path string) bool {
	h, err := OpenHomework(path)
	if err == nil {
		defer h.Close()
	}
	return err == nil && h.Take == nil
}

// soundsLike looks into a file whose name does not tell that it is a recording.
func soundsLike(path string) bool {
	r, err := OpenTake(path)
	if err != nil {
		return false
	}
	defer r.Close()
	buf := make([]float32, 4096)
	_, err = r.Read(buf)
	return err == nil
}
