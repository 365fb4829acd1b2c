package shelf

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/homework"
	"endpin/piece/report"
	"endpin/piece/wholefile"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/said"
	"endpin/ui/desk/tape"
)

// ExportName is a name for what is made of the take shown: piece, player where known,
// and date.
func (s *Shelf) ExportName(ext string) string {
	name := strings.TrimSpace(forFile(s.host.Score().Title(), 60) + " " + forFile(s.Shown.Take.Player, 40))
	return strings.TrimSpace(name+" "+s.Shown.Take.Made.Format("2006-01-02 15.04")) + ext
}

// forFile is a name as it may stand in a file's, so many characters of it at most.
func forFile(name string, most int) string {
	name = strings.Map(func(r rune) rune {
		if r < ' ' || strings.ContainsRune(`/\:*?"<>|`, r) {
			return -1
		}
		return r
	}, name)
	name = strings.Trim(name, " .")
	if r := []rune(name); len(r) > most {
		name = strings.TrimSpace(string(r[:most]))
	}
	return name
}

// WriteReport writes the page to print of the take shown, in the background.
// What was put aside is not on it; that it was, is.
func (s *Shelf) WriteReport(path string) {
	x, score := s.Shown, s.host.Score()
	if x == nil {
		return
	}
	h := x.Agreed()
	s.export(path, func(out io.Writer) error {
		return report.HTML(out, score.Piece, score.Line, h, x.Heard, report.Options{Date: words.Day(x.Take.Made).WithHour().String()})
	})
}

// WriteSound writes a copy of the take shown as WAV, in the background.
func (s *Shelf) WriteSound(path string) {
	x := s.Shown
	if x == nil {
		return
	}
	if same(path, x.Take.Sound) {
		s.fault(words.Say("desk.export.itself", "path", path))
		return
	}
	if h := x.Take.Held; h != nil {
		s.exporting(path, func(to *os.File) error {
			wav, err := h.Open()
			if err != nil {
				return err
			}
			defer wav.Close()
			if _, err := io.Copy(to, wav); err != nil {
				return err
			}
			return to.Sync()
		}, written, func() { s.keptElsewhere(x, path) })
		return
	}
	if x.Take.kept {
		s.export(path, func(out io.Writer) error {
			in, err := os.Open(x.Take.Sound)
			if err != nil {
				return fmt.Errorf("%s: %w", x.Take.Sound, said.Bare(err))
			}
			defer in.Close()
			_, err = io.Copy(out, in)
			return err
		})
		return
	}
	open := s.host.Player().Open
	s.exporting(path, func(to *os.File) error { return decode(open, x.Take.Sound, to) }, written, nil)
}

// Write has something of the desk's written in the background.
func (s *Shelf) Write(path string, write func(io.Writer) error) { s.export(path, write) }

// PieceName is a name for what is made of some measures of the piece; "" for all.
func (s *Shelf) PieceName(measures string) string {
	return forFile(s.host.Score().Title()+" "+measures, 80)
}

// WriteHandedIn writes homework with the take shown, as a player's, in the background.
func (s *Shelf) WriteHandedIn(path string, of *homework.File, player string) {
	x := s.Shown
	if x == nil {
		return
	}
	t := homework.Take{Player: player, Played: x.Take.Made, Measures: x.Take.Measures, QPM: x.Take.QPM, Work: string(x.Take.Way)}
	open := s.host.Player().Open
	s.writing(path, func(out io.Writer) error {
		sound, err := x.Take.wav(open)
		if err != nil {
			return err
		}
		defer sound.Close()
		return of.HandIn(out, t, sound)
	}, "desk.homework.handed-in")
}

// wav opens the sound of a take as WAV, which goes through a file of its own where the
// take is in another format.
func (t *Take) wav(open func(string) (playback.Recording, error)) (io.ReadCloser, error) {
	switch {
	case t.Held != nil:
		return t.Held.Open()
	case t.kept:
		return os.Open(t.Sound)
	}
	file, err := os.CreateTemp("", "endpin-*.wav")
	if err != nil {
		return nil, err
	}
	passing := passing{file}
	if err = decode(open, t.Sound, file); err == nil {
		_, err = file.Seek(0, io.SeekStart)
	}
	if err != nil {
		passing.Close()
		return nil, err
	}
	return passing, nil
}

// passing is a file that goes when it is closed.
type passing struct{ *os.File }

func (p passing) Close() error { return errors.Join(p.File.Close(), os.Remove(p.Name())) }

// decode writes a recording of any format as WAV.
func decode(open func(string) (playback.Recording, error), from string, to *os.File) error {
	if open == nil {
		return words.Fault("desk.recording.no-means")
	}
	r, err := open(from)
	if err != nil {
		return err
	}
	defer r.Close()
	w, err := tape.In(to, r.Rate())
	if err != nil {
		return err
	}
	buf := make([]float32, 1<<15)
	for {
		n, err := r.Read(buf)
		w.Write(buf[:n])
		if err == io.EOF || w.Err() != nil {
			break
		}
		if err != nil {
			return err
		}
	}
	w.Tell()
	return w.Err()
}

// Agreed is the hearing without what was put aside.
func (x *Shown) Agreed() *finding.Hearing {
	h := *x.Hearing
	h.Findings, h.WorthFixing = []finding.Finding{}, []int{}
	moved := map[int]int{}
	aside := 0
	for i := range x.Hearing.Findings {
		f := &x.Hearing.Findings[i]
		if _, set := x.Take.Reason(f); set {
			aside++
			continue
		}
		moved[i] = len(h.Findings)
		h.Findings = append(h.Findings, *f)
	}
	for _, i := range x.Hearing.WorthFixing {
		if k, ok := moved[i]; ok {
			h.WorthFixing = append(h.WorthFixing, k)
		}
	}
	if aside > 0 {
		h.Remarks = append(h.Remarks[:len(h.Remarks):len(h.Remarks)], words.Many("desk.export.aside", aside).String())
	}
	return &h
}

func (s *Shelf) export(path string, write func(io.Writer) error) { s.writing(path, write, written) }

// written is the message of the catalogue for what is written and no more is to be said of.
const written = "desk.export.kept"

func (s *Shelf) writing(path string, write func(io.Writer) error, says string) {
	s.exporting(path, func(to *os.File) error {
		out := bufio.NewWriter(to)
		if err := write(out); err != nil {
			return err
		}
		return out.Flush()
	}, says, nil)
}

// exporting has a file written in the background, does what is to follow, nil for
// nothing, and says what came of it, by a message of the catalogue.
func (s *Shelf) exporting(path string, write func(*os.File) error, says string, then func()) {
	s.say(words.Say("desk.export.writing", "file", filepath.Base(path)))
	errand.Send(s.host.Post, func(*errand.Errand) func() {
		err := whole(path, write)
		return func() {
			if err != nil {
				s.fault(notWritten(path, err))
				return
			}
			if then != nil {
				then()
			}
			s.say(words.Say(says, "path", path))
		}
	})
}

// errFolder is that a folder has the name that a file was to have.
var errFolder = errors.New("a folder has that name")

func whole(path string, write func(*os.File) error) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return errFolder
	}
	return wholefile.Replace(path, write)
}

// notWritten says of a file that could not be written what can be done about it.
func notWritten(path string, err error) string {
	why := ""
	switch {
	case errors.Is(err, errFolder):
		why = "folder"
	case errors.Is(err, fs.ErrNotExist):
		why = "no-folder"
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		why = "locked"
	case errors.Is(err, syscall.ENOSPC):
		why = "full"
	case errors.Is(err, context.Canceled):
		why = "stopped"
	default:
		return words.Say("desk.export.not-written", "path", path, "err", said.Bare(err))
	}
	return words.Say("desk.export.not-written."+why, "path", path)
}

var _ dsp.Source = playback.Recording(nil)
