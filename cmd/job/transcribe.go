package job

import (
	"bytes"
	"cmp"
	"context"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/midi"
	"endpin/piece/transcription"
	"endpin/piece/words"
	"endpin/piece/writing"
)

// Transcribe writes down what is played in a recording, and says what of its sound leaves the
// page in doubt. Errors are for the user and name the file; one in which no note is heard is
// a NotHeard.
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
	if len(heard.Notes) == 0 {
		why := whyNothing(heard, "")
		why.Recording, why.Warning, why.Instrument = r.Name(), r.Warning(), &in
		return nil, why
	}
	asked.Staff = writing.StaffOf(in)
	low, _ := in.Range()
	written, err := transcription.Of(transcription.Heard(heard, low), asked)
	if err != nil {
		return nil, OfFile(path, err)
	}
	written.Said = unsure(written, heard, in)
	return written, nil
}

// unsure says what of a sound leaves the page in doubt that was written of it: heard as a take
// of that page, what is not sure of it is the sound's own.
func unsure(w *transcription.Written, heard *dsp.Heard, in fingerboard.Instrument) (all []words.Sentence) {
	if w.Scattered {
		all = append(all, words.Of("job.page-scattered"))
	}
	h, err := finding.Judge(w.Piece, heard, finding.Options{Instrument: &in})
	if err != nil {
		return append(all, words.Of("job.page-unheard"))
	}
	for _, f := range h.Findings {
		if f.Kind == finding.NotSure && f.Measure == w.Piece.Measures[0].Number && !slices.Contains(ofTakes, f.Said.Key) {
			all = append(all, words.Of("job.page-unsure", "why", words.Sentence{Key: f.Said.Key + ".bare", Places: f.Said.Places}))
		}
	}
	if len(all) == 0 && transcription.Rough(heard) {
		all = append(all, words.Of("job.page-rough"))
	}
	return all
}

// ofTakes are what is not sure of takes, and says nothing of a page.
var ofTakes = []string{"finding.not_sure.alike", "finding.not_sure.two-tunings"}

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
	".musicxml": func(w io.Writer, p *piece.Piece) error { return export.MusicXML(w, p, export.Options{}) },
	".abc":      export.ABC,
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
