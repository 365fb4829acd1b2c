package tape

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

// LetGo writes what is held behind what is in the file, should there be room again.
func (h *Held) LetGo() error {
	file, err := os.OpenFile(h.path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	r := &Recorder{file: file, rate: h.rate, written: h.written, held: h.rest}
	return r.Close()
}
