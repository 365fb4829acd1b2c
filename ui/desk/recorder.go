package desk

import (
	"encoding/binary"
	"os"

	"endpin/dsp/recording"
)

// Recorder writes a take to disk as it is played: a mono 16-bit WAV whose
// header is brought up to date every second. If the program is killed, what was
// written is whole but for the header's last second, which Repair mends.
type Recorder struct {
	file    *os.File
	rate    int
	written int64 // samples
	told    int64 // samples that the header tells of
	buf     []byte
	err     error
}

// NewRecorder begins a take at a path.
func NewRecorder(path string, rate int) (*Recorder, error) {
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	r, err := record(file, rate)
	if err != nil {
		file.Close()
	}
	return r, err
}

// record begins a take in an empty file.
func record(file *os.File, rate int) (*Recorder, error) {
	_, err := file.Write(recording.WAVHeader(rate, 0))
	return &Recorder{file: file, rate: rate}, err
}

// Write adds samples between -1 and 1. After an error, such as a full disk, it
// writes no more; Close tells the error, and what was written stays.
func (r *Recorder) Write(samples []float32) {
	if r.err != nil {
		return
	}
	r.buf = recording.AppendPCM16(r.buf[:0], samples)
	if _, r.err = r.file.Write(r.buf); r.err != nil {
		return
	}
	r.written += int64(len(samples))
	if r.written-r.told >= int64(r.rate) {
		r.tell()
	}
}

// Err is what stopped the writing, or nil.
func (r *Recorder) Err() error { return r.err }

func (r *Recorder) tell() {
	if _, err := r.file.WriteAt(recording.WAVHeader(r.rate, r.written), 0); err != nil && r.err == nil {
		r.err = err
	}
	r.told = r.written
}

// Close ends the take.
func (r *Recorder) Close() error {
	r.tell()
	if err := r.file.Close(); r.err == nil {
		r.err = err
	}
	return r.err
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
