package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/finding"
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

func hear(c *call) error {
	if len(c.args) != 2 {
		return fmt.Errorf("hear needs a piece and a recording: endpin %s", c.line)
	}
	pieceFile, recordingFile := c.args[0], c.args[1]
	opts, err := judging(c.flags)
	if err != nil {
		return err
	}
	if err := keeps(c.flags, pieceFile, recordingFile); err != nil {
		return err
	}
	p, err := readPiece(pieceFile, text(c.flags, "part"))
	if err != nil {
		return err
	}
	if err := holds(p, opts, pieceFile); err != nil {
		return err
	}
	r, err := recording.Open(recordingFile)
	if err != nil {
		return err
	}
	defer r.Close()
	return hearTake(c, p, r, opts, pieceFile)
}

// holds says that a piece has the measures asked for, before a minute of listening.
func holds(p *piece.Piece, opts finding.Options, pieceFile string) error {
	if opts.Measures == "" {
		return nil
	}
	if _, _, err := p.Select(opts.Measures); err != nil {
		return fmt.Errorf("%s: %w", pieceFile, err)
	}
	return nil
}

// hearTake listens to a recording of a piece, judges what was heard, and writes
// all that was asked for.
func hearTake(c *call, p *piece.Piece, r *recording.Recording, opts finding.Options, pieceFile string) error {
	sound, err := whole(r, listening(opts.Instrument), dsp.Listen)
	if err != nil {
		return err
	}
	h, err := finding.Judge(p, sound, opts)
	if errors.Is(err, align.ErrNothing) {
		why := whyNothing(sound, pieceFile)
		if warning := r.Warning(); warning != "" {
			why += "; the recording " + warning
		}
		return status{notHeard, fmt.Errorf("%s: %s", r.Name(), why)}
	}
	if err != nil {
		return fmt.Errorf("%s: %w", pieceFile, err)
	}
	if h.Piece == "" {
		h.Piece = filepath.Base(pieceFile)
	}
	h.Recording = filepath.Base(r.Name())
	if warning := r.Warning(); warning != "" {
		h.Remarks = append(h.Remarks, "The recording "+warning+".")
	}
	return tell(c, p, h, sound, paper(opts.Instrument))
}

// tell writes the report and the JSON where they were asked for, and the table
// unless the JSON has standard output to itself.
func tell(c *call, p *piece.Piece, h *finding.Hearing, sound *dsp.Heard, how report.Options) error {
	page := text(c.flags, "report")
	if page != "" {
		line, _ := p.Line()
		err := writeFile(page, func(w io.Writer) error { return report.HTML(w, p, line, h, sound, how) })
		if err != nil {
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
	if err := report.Table(c.out, p, h, how); err != nil || page == "" {
		return err
	}
	_, err := fmt.Fprintf(c.out, "\nThe page to print or to send is %s.\n", page)
	return err
}
