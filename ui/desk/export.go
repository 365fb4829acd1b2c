package desk

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
	"endpin/piece/report"
	"endpin/piece/wholefile"
	"endpin/piece/words"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/tape"
)

// ExportName is a name for what is made of the take shown: piece, player where known,
// and date.
func (d *Desk) ExportName(ext string) string {
	name := strings.TrimSpace(forFile(d.Score.Title(), 60) + " " + forFile(d.Shown.Take.Player, 40))
	return strings.TrimSpace(name+" "+d.Shown.Take.Made.Format("2006-01-02 15.04")) + ext
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
func (d *Desk) WriteReport(path string) {
	s, score := d.Shown, d.Score
	if s == nil {
		return
	}
	h := agreed(s)
	d.export(path, func(out io.Writer) error {
		return report.HTML(out, score.Piece, score.Line, h, s.Heard, report.Options{Date: words.Day(s.Take.Made).WithHour().String()})
	})
}

// WriteSound writes a copy of the take shown as WAV, in the background.
func (d *Desk) WriteSound(path string) {
	s := d.Shown
	if s == nil {
		return
	}
	if same(path, s.Take.Sound) {
		d.Say(words.Say("desk.export.itself", "path", path))
		return
	}
	if h := s.Take.held; h != nil {
		d.exporting(path, func(to *os.File) error {
			wav, err := h.Open()
			if err != nil {
				return err
			}
			defer wav.Close()
			if _, err := io.Copy(to, wav); err != nil {
				return err
			}
			return to.Sync()
		}, func() { d.keptElsewhere(s, path) })
		return
	}
	if s.Take.kept {
		d.export(path, func(out io.Writer) error {
			in, err := os.Open(s.Take.Sound)
			if err != nil {
				return fmt.Errorf("%s: %w", s.Take.Sound, bare(err))
			}
			defer in.Close()
			_, err = io.Copy(out, in)
			return err
		})
		return
	}
	open := d.means.Open
	d.exporting(path, func(to *os.File) error { return decode(open, s.Take.Sound, to) }, nil)
}

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

// agreed is a hearing without what was put aside.
func agreed(s *Shown) *finding.Hearing {
	h := *s.Hearing
	h.Findings, h.WorthFixing = []finding.Finding{}, []int{}
	moved := map[int]int{}
	aside := 0
	for i := range s.Hearing.Findings {
		f := &s.Hearing.Findings[i]
		if _, set := s.Take.dismissed(f); set {
			aside++
			continue
		}
		moved[i] = len(h.Findings)
		h.Findings = append(h.Findings, *f)
	}
	for _, i := range s.Hearing.WorthFixing {
		if k, ok := moved[i]; ok {
			h.WorthFixing = append(h.WorthFixing, k)
		}
	}
	if aside > 0 {
		h.Remarks = append(h.Remarks[:len(h.Remarks):len(h.Remarks)], words.Many("desk.export.aside", aside).String())
	}
	return &h
}

func (d *Desk) export(path string, write func(io.Writer) error) {
	d.exporting(path, func(to *os.File) error {
		out := bufio.NewWriter(to)
		if err := write(out); err != nil {
			return err
		}
		return out.Flush()
	}, nil)
}

// exporting has a file written in the background, does what is to follow, nil for
// nothing, and says what came of it.
func (d *Desk) exporting(path string, write func(*os.File) error, then func()) {
	d.Say(words.Say("desk.export.writing", "file", filepath.Base(path)))
	go func() {
		err := whole(path, write)
		d.means.Post(func() {
			if err != nil {
				d.Say(notWritten(path, err))
				return
			}
			if then != nil {
				then()
			}
			d.Say(words.Say("desk.export.kept", "path", path))
		})
	}()
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
		return words.Say("desk.export.not-written", "path", path, "err", bare(err))
	}
	return words.Say("desk.export.not-written."+why, "path", path)
}

var _ dsp.Source = playback.Recording(nil)
