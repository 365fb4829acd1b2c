package tape

import (
	"encoding/binary"
	"io"
	"os"

	"endpin/dsp/recording"
)

// Recorder writes a take to disk as it is played: a mono 16-bit WAV whose
// header is brought up to date every second. If the program is killed, what was
// written is whole but for the header's last second, which Repair mends. What cannot
// be written, on a full disk, is held in memory and tried again every second.
type Recorder struct {
	file    File
	path    string
	rate    int
	written int64 // samples in the file
	told    int64 // samples that the header tells of
	held    []byte
	tried   int64 // samples that there were when held was last tried
	buf     []byte
	err     error // what stops the writing now
}

// File is what a take is written to; every place in it is written as one asks.
type File interface {
	io.WriterAt
	io.Closer
}

// NewFile makes the file of a new take.
func NewFile(path string) (File, error) {
	return os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
}

// mostHeld is how much of a take is held in memory at most, s of sound: a quarter of an
// hour is 80 MB.
const mostHeld = 15 * 60

// New begins a take at a path, in a file that create makes: NewFile.
func New(create func(path string) (File, error), path string, rate int) (*Recorder, error) {
	file, err := create(path)
	if err != nil {
		return nil, err
	}
	r, err := In(file, rate)
	if err != nil {
		file.Close()
		os.Remove(path)
		return nil, err
	}
	r.path = path
	return r, nil
}

// In begins a take in an empty file.
func In(file File, rate int) (*Recorder, error) {
	_, err := file.WriteAt(recording.WAVHeader(rate, 0), 0)
	return &Recorder{file: file, rate: rate}, err
}

// Write adds samples between -1 and 1, to the file or to what is held.
func (r *Recorder) Write(samples []float32) {
	r.buf = recording.AppendPCM16(r.buf[:0], samples)
	if r.err == nil {
		r.put(r.buf)
	}
	if r.err != nil {
		if len(r.held) < 2*mostHeld*r.rate {
			r.held = append(r.held, r.buf...)
		}
		if r.tried += int64(len(samples)); r.tried >= int64(r.rate) {
			r.again()
		}
		return
	}
	if r.written-r.told >= int64(r.rate) {
		r.Tell()
	}
}

// put writes sound behind what is in the file, all of it or none.
func (r *Recorder) put(sound []byte) {
	if _, r.err = r.file.WriteAt(sound, recording.WAVHeaderSize+2*r.written); r.err == nil {
		r.written += int64(len(sound) / 2)
	}
}

// again tries to write what is held.
func (r *Recorder) again() {
	r.tried = 0
	if r.put(r.held); r.err == nil {
		r.held = nil
		r.Tell()
	}
}

// Err is what keeps sound from being written now, or nil.
func (r *Recorder) Err() error { return r.err }

// Full reports whether no more can be held in memory either.
func (r *Recorder) Full() bool { return len(r.held) >= 2*mostHeld*r.rate }

// Tell has the header tell of all that was written.
func (r *Recorder) Tell() {
	if _, err := r.file.WriteAt(recording.WAVHeader(r.rate, r.written), 0); err != nil && r.err == nil {
		r.err = err
	}
	r.told = r.written
}

// Close ends the take. Where its end could not be written, Held gives it.
func (r *Recorder) Close() error {
	if len(r.held) > 0 {
		r.again()
	}
	r.Tell()
	if err := r.file.Close(); r.err == nil {
		r.err = err
	}
	return r.err
}

// Held is the take whose end could not be written, nil where all was.
func (r *Recorder) Held() *Held {
	if len(r.held) == 0 {
		return nil
	}
	return &Held{path: r.path, rate: r.rate, written: r.written, rest: r.held}
}

// Repair makes the header of a take that was cut off tell of all its samples,
// and gives its length in seconds.
func Repair(path string) (seconds float64, err error) {
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return 0, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return 0, err
	}
	var h [recording.WAVHeaderSize]byte
	if _, err := file.ReadAt(h[:], 0); err != nil || string(h[:4]) != "RIFF" {
		return 0, err
	}
	rate := int(binary.LittleEndian.Uint32(h[24:]))
	samples := (info.Size() - recording.WAVHeaderSize) / 2
	if _, err := file.WriteAt(recording.WAVHeader(rate, samples), 0); err != nil || rate == 0 {
		return 0, err
	}
	return float64(samples) / float64(rate), nil
}
