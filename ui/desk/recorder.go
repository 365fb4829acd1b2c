package desk

import (
	"encoding/binary"
	"math"
	"os"
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

const wavHeader = 44

// NewRecorder begins a take at a path.
func NewRecorder(path string, rate int) (*Recorder, error) {
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	r := &Recorder{file: file, rate: rate}
	if _, err := file.Write(header(rate, 0)); err != nil {
		file.Close()
		return nil, err
	}
	return r, nil
}

// Write adds samples between -1 and 1. After an error, such as a full disk, it
// writes no more; Close tells the error, and what was written stays.
func (r *Recorder) Write(samples []float32) {
	if r.err != nil {
		return
	}
	r.buf = r.buf[:0]
	for _, x := range samples {
		v := math.RoundToEven(float64(x) * (1 << 15))
		r.buf = binary.LittleEndian.AppendUint16(r.buf, uint16(int16(max(-1<<15, min(1<<15-1, v)))))
	}
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
	if _, err := r.file.WriteAt(header(r.rate, r.written), 0); err != nil && r.err == nil {
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
	var h [wavHeader]byte
	if _, err := file.ReadAt(h[:], 0); err != nil || string(h[:4]) != "RIFF" {
		return 0, err
	}
	rate := int(binary.LittleEndian.Uint32(h[24:]))
	samples := (info.Size() - wavHeader) / 2
	if _, err := file.WriteAt(header(rate, samples), 0); err != nil || rate == 0 {
		return 0, err
	}
	return float64(samples) / float64(rate), nil
}

// header is that of a mono 16-bit PCM WAV (RIFF WAVE, Microsoft and IBM 1991).
func header(rate int, samples int64) []byte {
	size := uint32(min(2*samples, math.MaxUint32-wavHeader))
	b := append(make([]byte, 0, wavHeader), "RIFF"...)
	b = binary.LittleEndian.AppendUint32(b, wavHeader-8+size)
	b = append(b, "WAVEfmt "...)
	b = binary.LittleEndian.AppendUint32(b, 16)
	b = binary.LittleEndian.AppendUint16(b, 1)
	b = binary.LittleEndian.AppendUint16(b, 1)
	b = binary.LittleEndian.AppendUint32(b, uint32(rate))
	b = binary.LittleEndian.AppendUint32(b, uint32(2*rate))
	b = binary.LittleEndian.AppendUint16(b, 2)
	b = binary.LittleEndian.AppendUint16(b, 16)
	b = append(b, "data"...)
	return binary.LittleEndian.AppendUint32(b, size)
}
