package desk

import (
	"bytes"
	"io"
	"math"
	"os"

	"endpin/dsp/recording"
	"endpin/piece/words"
)

// Held is a take whose beginning lies in a file and whose end only in memory, since no
// more could be written.
type Held struct {
	path    string
	rate    int
	written int64 // samples in the file
	rest    []byte
}

// Seconds is how long the part is that lies in memory alone.
func (h *Held) Seconds() float64 { return float64(len(h.rest)/2) / float64(h.rate) }

// Say says what to do about it.
func (h *Held) Say() string {
	return words.Many("desk.take.held", int(math.Ceil(h.Seconds()))).String()
}

// Open gives the whole take as a WAV.
func (h *Held) Open() (io.ReadCloser, error) {
	file, err := os.Open(h.path)
	if err != nil {
		return nil, err
	}
	written := io.NewSectionReader(file, recording.WAVHeaderSize, 2*h.written)
	head := recording.WAVHeader(h.rate, h.written+int64(len(h.rest)/2))
	return struct {
		io.Reader
		io.Closer
	}{io.MultiReader(bytes.NewReader(head), written, bytes.NewReader(h.rest)), file}, nil
}

// letGo writes what is held behind what is in the file, should there be room again.
func (h *Held) letGo() error {
	file, err := os.OpenFile(h.path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	r := &Recorder{file: file, rate: h.rate, written: h.written, held: h.rest}
	return r.Close()
}

// writtenAfterAll tries whether takes that are held can be written now.
func (d *Desk) writtenAfterAll() {
	for _, t := range d.Takes {
		if t.held != nil && t.held.letGo() == nil {
			t.held = nil
			d.keep(t)
			if s := d.Shown; s != nil && s.Take == t {
				d.remember(t, d.optionsOf(t), s.Hearing)
			}
		}
	}
}

// keptElsewhere puts a take that was held in the place where all of it was now written:
// it is listed from there, and the beginning of it makes room.
func (d *Desk) keptElsewhere(s *Shown, path string) {
	t := s.Take
	sound, notes := t.Sound, t.beside()
	t.held, t.Sound = nil, path
	d.remember(t, d.optionsOf(t), s.Hearing)
	t.Recording, t.kept = path, false
	os.Remove(sound)
	os.Remove(notes)
	t.notes = newNotes(d.means.Folder, t.Made)
	d.keep(t)
}

// How little room is told before a take.
const (
	scarce       = 100 << 20 // bytes: at 44.1 kHz twenty minutes
	bytesASample = 2         // as takes are written
)

// scarcity says how little room is left where takes are kept, "" where it is enough.
func (d *Desk) scarcity(rate int) string {
	if d.means.Room == nil {
		return ""
	}
	room, known := d.means.Room(d.means.Folder)
	if !known || room >= scarce {
		return ""
	}
	minutes := float64(room) / bytesASample / float64(rate) / 60
	if minutes < 1 {
		return words.Say("desk.take.scarce.none")
	}
	return words.Many("desk.take.scarce", int(minutes)).String()
}
