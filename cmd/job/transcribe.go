package job

import (
	"bytes"
	"cmp"
	"context"
	"io"
	"path/filepath"
	"strings"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/midi"
	"endpin/piece/notation"
	"endpin/piece/transcription"
	"endpin/piece/words"
	"endpin/piece/writing"
)

// Transcribe writes down what is played in a recording. Errors are for the user and name
// the file.
func Transcribe(ctx context.Context, path string, in fingerboard.Instrument, asked transcription.Asked, told Progress) (*transcription.Written, error) {
	r, err := recording.Open(path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	heard, err := Whole(ctx, r, Listening(&in), dsp.Listen, told)
	if err != nil {
		return nil, err
	}
	asked.Staff = writing.StaffOf(in)
	written, err := transcription.Of(transcription.Heard(heard.Notes), asked)
	if err != nil {
		return nil, OfFile(path, err)
	}
	return written, nil
}

// programs are General MIDI's for each instrument and what is used in its place, from 1.
var programs = map[string][]int{"bass": {44, 33, 34, 35, 36}, "cello": {43}, "viola": {42}, "violin": {41}}

// readMIDI reads a piece from a MIDI file.
func readMIDI(path string, data []byte, part string, in *fingerboard.Instrument) (*piece.Piece, error) {
	if in == nil {
		bass := fingerboard.DoubleBass()
		in = &bass
	}
	f, err := midi.Read(data)
	if err != nil {
		return nil, OfFile(path, err)
	}
	low, high := in.Range()
	written, err := transcription.OfMIDI(f, transcription.Wanted{
		Part: part, Programs: programs[cmp.Or(in.Family, "bass")], Low: low, High: high, Staff: writing.StaffOf(*in),
	})
	if err != nil {
		return nil, OfFile(path, err)
	}
	written.Piece.Title = strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	return written.Piece, nil
}

// Formats are what a piece is written as, by the ending of its file's name.
var Formats = map[string]func(io.Writer, *piece.Piece) error{
	".musicxml": func(w io.Writer, p *piece.Piece) error { return notation.Write(w, p, notation.WriteOptions{}) },
	".abc":      notation.WriteABC,
	".mid":      func(w io.Writer, p *piece.Piece) error { return midi.Write(w, p, 0) },
}

// Format is how a piece is written to a file of that name; an error names the endings
// that there are.
func Format(path string) (func(io.Writer, *piece.Piece) error, error) {
	write, ok := Formats[strings.ToLower(filepath.Ext(path))]
	if !ok {
		return nil, words.Fault("job.format", "file", path)
	}
	return write, nil
}

// Converted is a piece in another format, whole in memory, so that a file is only begun
// that can be finished.
func Converted(p *piece.Piece, file, path string) (func(io.Writer) error, error) {
	write, err := Format(path)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := write(&b, p); err != nil {
		return nil, OfFile(file, err)
	}
	return func(w io.Writer) error {
		_, err := w.Write(b.Bytes())
		return err
	}, nil
}
