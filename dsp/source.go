package dsp

import "io"

// Source is a stream of mono sound: a recording, a microphone or a synthetic
// tone. A recording is a microphone that ends.
type Source interface {
	// Rate is the sampling rate in samples a second, constant for the stream.
	Rate() int

	// Read fills buf with samples between -1 and 1 and returns how many. The
	// only legal returns are (n > 0, nil), (0, io.EOF) at the end, and
	// (0, err) for a failure, after which the stream is over; it stays at the
	// same error. Read blocks until at least one sample is there. A len(buf)
	// of 0 is the caller's mistake and may panic.
	Read(buf []float32) (n int, err error)
}

// Samples is sound in memory as a Source.
type Samples struct {
	SampleRate int
	Data       []float32
	at         int
}

// Rate implements Source.
func (s *Samples) Rate() int { return s.SampleRate }

// Read implements Source.
func (s *Samples) Read(buf []float32) (int, error) {
	if s.at >= len(s.Data) {
		return 0, io.EOF
	}
	n := copy(buf, s.Data[s.at:])
	s.at += n
	return n, nil
}
