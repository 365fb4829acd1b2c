package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
)

// largestPiece is one byte more than package notation reads of a file.
const largestPiece = 32<<20 + 1

// readPiece reads the piece in a file. Where the file turns out to be a
// recording, the names were given in the wrong order.
func readPiece(path, part string) (*piece.Piece, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, cause(err))
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s: is a folder: name one piece in it", path)
	}
	data, err := io.ReadAll(io.LimitReader(file, largestPiece))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, cause(err))
	}
	var options []notation.Option
	if part != "" {
		options = append(options, notation.Part(part))
	}
	p, err := notation.Read(path, data, options...)
	if err != nil && isRecording(path) {
		return nil, fmt.Errorf("%s: is a recording, not a piece: name the piece first and then the recording", path)
	}
	return p, err
}

func isRecording(path string) bool {
	r, err := recording.Open(path)
	if err != nil {
		return false
	}
	r.Close()
	return true
}

// longest is how much sound Endpin listens to at once, s.
const longest = 3600

// whole listens to a whole recording in one way or another, or refuses one that
// is too long: at once where its header tells, and else when the time has come.
func whole[T any](r *recording.Recording, c dsp.Config, hear func(dsp.Source, dsp.Config) (T, error)) (T, error) {
	var none T
	tooLong := fmt.Errorf("%s: is longer than an hour: cut out the takes and hear them one by one", r.Name())
	if r.Duration() > longest {
		return none, tooLong
	}
	sound, err := hear(&bounded{Source: r, left: longest * r.Rate()}, c)
	if errors.Is(err, errTooLong) {
		return none, tooLong
	}
	return sound, err
}

// listening is how to listen to an instrument: the double bass's own range, and
// for another from a semitone and a half below its lowest note to as much above
// its highest.
func listening(in *fingerboard.Instrument) dsp.Config {
	c := dsp.Bass
	low, high := in.Range()
	if dsp.Hz(float64(low)) > 2*c.Low {
		c.Low, c.High = dsp.Hz(float64(low)-1.5), min(2400, dsp.Hz(float64(high)+1.5))
	}
	return c
}

var errTooLong = errors.New("too long")

// bounded gives up on sound that goes on too long.
type bounded struct {
	dsp.Source
	left int
}

func (b *bounded) Read(buf []float32) (int, error) {
	if b.left <= 0 {
		return 0, errTooLong
	}
	n, err := b.Source.Read(buf)
	b.left -= n
	return n, err
}

// cause is what went wrong with a file in the user's words, without the path,
// which the caller names.
func cause(err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return errors.New("there is no such file: look at the name")
	case errors.Is(err, fs.ErrPermission):
		return errors.New("may not be opened: change its permissions")
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}
