package job

import (
	"errors"
	"io"
	"os"
	"path/filepath"

	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/homework"
	"endpin/piece/words"
)

// HomeworkEnd is how the name of a file of homework ends: a double click opens it by that.
const HomeworkEnd = ".endpin"

// Homework is a file of homework that is open, or one that was handed in.
type Homework struct {
	*homework.File
	file io.Closer
}

// Close ends the reading of its sounds.
func (h *Homework) Close() error { return h.file.Close() }

// OpenHomework opens a file of homework. The error is homework.ErrOther where it is
// something else, or cannot be opened.
func OpenHomework(path string) (*Homework, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, homework.ErrOther
	}
	info, err := file.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = homework.ErrOther
	}
	var h *homework.File
	if err == nil {
		h, err = homework.Read(path, file, info.Size())
	}
	if err != nil {
		file.Close()
		return nil, err
	}
	return &Homework{h, file}, nil
}

// Handed is what stands in a file that was handed in; nil for any other file.
func Handed(path string) *homework.File {
	h, err := OpenHomework(path)
	if err != nil {
		return nil
	}
	defer h.Close()
	if h.Take == nil {
		return nil
	}
	return h.File
}

// OpenTake opens a recording, or the sound of a take that was handed in.
func OpenTake(path string) (*recording.Recording, error) {
	h, err := OpenHomework(path)
	switch {
	case errors.Is(err, homework.ErrOther):
		return recording.Open(path)
	case err != nil:
		return nil, err
	case h.Take == nil:
		h.Close()
		return nil, words.Fault("job.homework.no-take", "file", path)
	}
	sound, err := h.Sound()
	if err != nil {
		h.Close()
		return nil, err
	}
	return recording.Decode(path, inside{sound, h})
}

// OpenTakes opens recordings as OpenTake does, each with its error: a few that are short, by as
// little work as they can share.
func OpenTakes(paths []string) (recs []*recording.Recording, errs []error) {
	recs, errs = make([]*recording.Recording, len(paths)), make([]error, len(paths))
	var plain []string
	var at []int
	for i, path := range paths {
		if h, err := OpenHomework(path); errors.Is(err, homework.ErrOther) {
			plain, at = append(plain, path), append(at, i)
		} else {
			if err == nil {
				h.Close()
			}
			recs[i], errs[i] = OpenTake(path)
		}
	}
	opened, failed := recording.Together(plain)
	for k, i := range at {
		recs[i], errs[i] = opened[k], failed[k]
	}
	return recs, errs
}

// inside is a sound in a file of homework, which is closed with it.
type inside struct {
	io.ReadCloser
	in io.Closer
}

func (i inside) Close() error { return errors.Join(i.ReadCloser.Close(), i.in.Close()) }

// OpenExample opens the teacher's own recording that lies in a file of homework. It may be
// in any format, so it goes through a file of its own, which goes when it is closed.
func OpenExample(path string) (*recording.Recording, error) {
	h, err := OpenHomework(path)
	if err != nil {
		return nil, err
	}
	defer h.Close()
	sound, err := h.Shown()
	if err != nil {
		return nil, err
	}
	defer sound.Close()
	file, err := os.CreateTemp("", "endpin-*"+filepath.Ext(h.Example))
	if err != nil {
		return nil, OfFile(path, Cause(err))
	}
	defer os.Remove(file.Name())
	_, err = io.Copy(file, sound)
	if e := file.Close(); err == nil {
		err = e
	}
	if err != nil {
		return nil, OfFile(path, Cause(err))
	}
	r, err := recording.Open(file.Name())
	if err != nil {
		reason, _ := words.Reason(err, file.Name())
		return nil, OfFile(path, reason)
	}
	return r, nil
}

// AskedIn gives options of judging as the homework in a file asks, where the file is one:
// its measures, tempo and level, where they are not given.
func AskedIn(path string, o finding.Options, given func(option string) bool) finding.Options {
	h, err := OpenHomework(path)
	if err != nil {
		return o
	}
	defer h.Close()
	if !given("measures") {
		o.Measures = h.Measures
	}
	if !given("tempo") {
		o.QPM = h.QPM
	}
	if level, err := finding.LevelByName(h.Level); err == nil && !given("level") {
		o.Level = level
	}
	return o
}

// OfPiece reports whether what was handed in is a take of a piece, by its notes.
func OfPiece(h *homework.File, p *piece.Piece) bool {
	its, err := readData(h.File, h.Score, h.Part, nil)
	if err != nil {
		return false
	}
	a, _ := its.Line()
	b, _ := p.Line()
	return piece.Content(a) == piece.Content(b)
}

// Assigned is homework to be written.
type Assigned struct {
	homework.Homework
	PieceFile string
	Score     []byte // what stands in that file; nil for reading it
	Recording string // the teacher's own; "" for none
}

// Write writes it. What lies in it was asked for by Ask: the piece can be read and holds
// the measures, and the recording can be heard.
func (a *Assigned) Write(to io.Writer) error {
	c := homework.Contents{Piece: a.Score}
	if a.Score == nil {
		score, part, err := scoreIn(a.PieceFile)
		if err != nil {
			return err
		}
		if c.Piece = score; a.Part == "" {
			a.Part = part
		}
	}
	if a.Recording != "" {
		file, err := os.Open(a.Recording)
		if err != nil {
			return OfFile(a.Recording, Cause(err))
		}
		defer file.Close()
		c.Example, c.ExampleEnd = file, filepath.Ext(a.Recording)
	}
	return homework.Write(to, a.Homework, c)
}

// Ask says what is wrong with homework before it is written, and names the piece in it.
func (a *Assigned) Ask(p *piece.Piece) error {
	a.File, a.Title = filepath.Base(a.PieceFile), p.Title
	if a.Title == "" {
		a.Title = a.File
	}
	if err := Holds(p, finding.Options{Measures: a.Measures}, a.PieceFile); err != nil {
		return err
	}
	if a.Recording != "" {
		r, err := recording.Open(a.Recording)
		if err != nil {
			return err
		}
		r.Close()
	}
	_, err := a.Check()
	return err
}
