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

// Class is a folder of recordings to be heard against one piece.
type Class struct {
	Piece     *piece.Piece
	PieceFile string
	Folder    string
	Roster    []class.Entry // nil for none
	NotThese  []string      // files that may lie in the folder and are no recordings: the roster
	Options   finding.Options

	// Keep is a folder that keeps what was heard of each file, so that a second run
	// picks up where the first ended; "" keeps nothing. Afresh hears all again.
	Keep    string
	Afresh  bool
	NoSound bool // keep none of the children's sound

	Outputs *Outputs // by which the pages are written; nil for the policy alone

	// Told is called as files are heard, from one goroutine at a time; nil for none.
	Told func(ClassProgress)
}

// ClassProgress is how far a class has been heard.
type ClassProgress struct {
	Done, Of int
	Heard    float64      // share of all files, 0 to 1, about
	Hearing  []string     // the files that are being heard now
	File     string       // the file that was just finished; "" while none was
	Sheet    *class.Sheet // of all that was heard so far; nil while no file was finished
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

	listened bool // to the end, whether or not the piece was heard
	silenced bool // its moments were taken away, since no page shows them
}

// HearClass hears every recording of a folder, on all cores, and gathers the
// sheet. One file that cannot be heard never stops the others. Where the context
// ends first, the sheet holds what was heard so far and the error is the
// context's.
func HearClass(ctx context.Context, c Class) (*class.Sheet, map[string]Played, error) {
	files, leftOut, err := inFolder(c.Folder, append([]string{c.PieceFile}, c.NotThese...))
	if err != nil {
		return nil, nil, err
	}
	by := map[string]string{}
	var names []string
	files = slices.DeleteFunc(files, func(f entry) bool {
		h := Handed(filepath.Join(c.Folder, f.name))
		if h != nil && !OfPiece(h, c.Piece) {
			leftOut = append(leftOut, class.LeftOut{File: f.name, Reason: words.Say("job.left-out.handed-in", "player", h.Take.Player, "title", h.Title)})
			return true
		}
		if h != nil {
			by[f.name] = h.Take.Player
		}
		names = append(names, f.name)
		return false
	})
	r := &classRun{Class: c, files: names, leftOut: leftOut, shares: make([]float64, len(files)), played: map[string]Played{}}
	if r.title = c.Piece.Title; r.title == "" {
		r.title = filepath.Base(c.PieceFile)
	}
	r.seats, r.asked = class.Seats(names, by, c.Roster, r.title)
	if c.Keep != "" && len(files) > 0 {
		if err := os.MkdirAll(c.Keep, 0o700); err != nil {
			return nil, nil, words.Fault("job.cannot-be-made", "folder", c.Keep, "err", Cause(err))
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
	r.all(ctx, r.muted(r.sheet()))
	sheet := r.sheet()
	r.forgetUnshown(sheet)
	if ctx.Err() == nil {
		r.forgetOthers()
	}
	return sheet, r.played, ctx.Err()
}

type entry struct {
	name string
	size int64
}

// inFolder parts a folder's recordings from what is none. Folders in it are not
// entered.
func inFolder(folder string, known []string) (files []entry, leftOut []class.LeftOut, err error) {
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
		case len(known) > 0 && same(known[0]):
			without(words.Say("job.left-out.piece"))
		case slices.ContainsFunc(known, same):
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
