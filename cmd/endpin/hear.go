package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/piece/report"
)

var hearCommand = command{
	name: "hear", line: "hear PIECE RECORDING",
	about: `say what was heard in a recording of a piece
PIECE is MusicXML (.musicxml, .xml, .mxl) or ABC; RECORDING is WAV, FLAC or MP3,
or anything else that ffmpeg opens where it is installed.`,
	options: hearOptions,
	run:     hear,
}

func hearOptions(f *pflag.FlagSet) {
	f.String("measures", "", "hear only these measures: 21-24")
	f.Float64("tempo", 0, "the tempo asked for, in quarter notes a minute (the piece's own unless given)")
	f.Float64("a4", 0, "the reference A, in Hz, 392 to 466 (440 unless given)")
	f.String("intonation", "equal", "equal, just or pythagorean, on the tonic of the key signature")
	f.String("level", "intermediate", "first-year, intermediate or advanced: how much is let pass")
	f.String("part", "", "the part to hear, by name or number (the bass part, or the first, unless given)")
	f.String("instrument", "bass", "the instrument and hand: "+instrumentWords())
	f.StringSlice("positions", nil, "the only positions to finger unmarked notes in: 1,3")
	f.String("json", "", "write everything heard as JSON to this file, or - for standard output")
	f.String("report", "", "write a page to this HTML file")
}

func instrumentWords() string {
	var words []string
	for _, n := range fingerboard.Instruments() {
		words = append(words, n.Word)
	}
	return strings.Join(words, ", ")
}

func hear(c *call) error {
	if len(c.args) != 2 {
		return fmt.Errorf("hear needs a piece and a recording: endpin %s", c.line)
	}
	pieceFile, recordingFile := c.args[0], c.args[1]
	opts, err := judging(c.flags)
	if err != nil {
		return err
	}
	p, err := readPiece(pieceFile, text(c.flags, "part"))
	if err != nil {
		return err
	}
	if opts.Measures != "" { // before a minute of listening
		if _, _, err := p.Select(opts.Measures); err != nil {
			return fmt.Errorf("%s: %w", pieceFile, err)
		}
	}
	sound, warning, err := listen(recordingFile)
	if err != nil {
		return err
	}
	return tell(c, p, sound, opts, pieceFile, recordingFile, warning)
}

// tell judges a take and writes all that was asked for.
func tell(c *call, p *piece.Piece, sound *dsp.Heard, opts finding.Options, pieceFile, recordingFile, warning string) error {
	h, err := finding.Judge(p, sound, opts)
	if errors.Is(err, align.ErrNothing) {
		return status{notHeard, fmt.Errorf("%s: %s", recordingFile, whyNothing(p, sound, pieceFile))}
	}
	if err != nil {
		return fmt.Errorf("%s: %w", pieceFile, err)
	}
	if h.Piece == "" {
		h.Piece = filepath.Base(pieceFile)
	}
	h.Recording = filepath.Base(recordingFile)
	if warning != "" {
		h.Remarks = append(h.Remarks, warning)
	}
	if file := text(c.flags, "report"); file != "" {
		line, _ := p.Line()
		if err := writeFile(file, func(w io.Writer) error { return report.HTML(w, p, line, h, sound, report.Options{}) }); err != nil {
			return err
		}
	}
	switch file := text(c.flags, "json"); file {
	case "":
	case "-":
		return writeJSON(c.out, h)
	default:
		if err := writeFile(file, func(w io.Writer) error { return writeJSON(w, h) }); err != nil {
			return err
		}
	}
	return report.Table(c.out, p, h, report.Options{})
}

// whyNothing says in one sentence why a take cannot be told, and the mend.
func whyNothing(p *piece.Piece, sound *dsp.Heard, pieceFile string) string {
	switch {
	case sound.Peak < 0.003:
		return "silence: nothing was heard; look at the microphone and its level, and record again"
	case len(sound.Notes) == 0:
		return "no notes were heard in it, only noise; move the microphone nearer to the bass and record again"
	}
	return fmt.Sprintf("this does not sound like %s: %d notes were heard, most often %s; check that piece and recording belong together",
		filepath.Base(pieceFile), len(sound.Notes), finding.MostHeard(sound.Notes))
}

func judging(f *pflag.FlagSet) (o finding.Options, err error) {
	o.Measures = text(f, "measures")
	o.QPM, _ = f.GetFloat64("tempo")
	if f.Changed("tempo") && (o.QPM < 15 || o.QPM > 400) {
		return o, fmt.Errorf("--tempo %g: write quarter notes a minute, from 15 to 400", o.QPM)
	}
	o.A4, _ = f.GetFloat64("a4")
	if f.Changed("a4") && (o.A4 < finding.LowestA4 || o.A4 > finding.HighestA4) {
		return o, fmt.Errorf("--a4 %g: write a reference A from %d to %d Hz", o.A4, finding.LowestA4, finding.HighestA4)
	}
	if o.Intonation, err = finding.IntonationByName(text(f, "intonation")); err != nil {
		return o, fmt.Errorf("--%w", err)
	}
	if o.Level, err = finding.LevelByName(text(f, "level")); err != nil {
		return o, fmt.Errorf("--%w", err)
	}
	in, err := fingerboard.ByWord(text(f, "instrument"))
	if err != nil {
		return o, fmt.Errorf("--instrument: %w", err)
	}
	o.Instrument = &in
	if o.Positions, _ = f.GetStringSlice("positions"); len(o.Positions) > 0 {
		if err := in.CheckPositions(o.Positions); err != nil {
			return o, fmt.Errorf("--positions: %w", err)
		}
	}
	return o, nil
}

func text(f *pflag.FlagSet, name string) string {
	s, _ := f.GetString(name)
	return s
}

// largestPiece is more than any piece of music takes: 64 MiB.
const largestPiece = 64 << 20

func readPiece(path, part string) (*piece.Piece, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, cause(err))
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, largestPiece+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, cause(err))
	}
	if len(data) > largestPiece {
		return nil, fmt.Errorf("%s: larger than %d MiB, which no piece of music is: name the piece first, then the recording", path, largestPiece>>20)
	}
	var options []notation.Option
	if part != "" {
		options = append(options, notation.Part(part))
	}
	return notation.Read(path, data, options...)
}

// longest is how much sound Endpin listens to at once, s.
const longest = 3600

// listen hears a recording, and gives a sentence where it was not whole.
func listen(path string) (*dsp.Heard, string, error) {
	r, err := recording.Open(path)
	if err != nil {
		return nil, "", err
	}
	defer r.Close()
	sound, err := dsp.Listen(&bounded{Source: r, left: longest * r.Rate()}, dsp.Bass)
	if errors.Is(err, errTooLong) {
		return nil, "", fmt.Errorf("%s: longer than an hour: cut out the takes and open them one by one", path)
	}
	if err != nil {
		return nil, "", err
	}
	return sound, r.Warning(), nil
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

// cause is what went wrong with a file, without the path that the caller names.
func cause(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// writeFile writes a whole file or none: what stood there before is kept until
// the new one is complete. Only its owner may read it.
func writeFile(path string, write func(io.Writer) error) error {
	tmp, err := os.CreateTemp(filepath.Dir(path), ".endpin-*")
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w", path, cause(err))
	}
	defer os.Remove(tmp.Name())
	err = write(tmp)
	if e := tmp.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(tmp.Name(), path)
	}
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w", path, cause(err))
	}
	return nil
}

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(v)
}
