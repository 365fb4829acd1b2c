package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"endpin/cmd/job"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/report"
	"endpin/piece/words"
)

var hearCommand = command{
	name: "hear", key: "command.hear",
	options: hearOptions,
	run:     hear,
}

func hear(c *call) error {
	if len(c.args) != 2 {
		return words.Fault("command.hear.needs", "line", c.line())
	}
	pieceFile, recordingFile := c.args[0], c.args[1]
	p, opts, err := pieceAsked(c, pieceFile, recordingFile)
	if err != nil {
		return err
	}
	if from := text(c.flags, "a4-from"); from != "" {
		if opts.Given, err = job.ReferenceIn(from); err != nil {
			return err
		}
	}
	r, err := job.OpenTake(recordingFile)
	if err != nil {
		return err
	}
	defer r.Close()
	at, _ := job.PlayedAt(recordingFile)
	return hearTake(c, p, r, opts, pieceFile, words.Day(at).String())
}

// pieceAsked reads a piece and how takes of it are to be judged, and says that
// nothing of what is read would be written over.
func pieceAsked(c *call, pieceFile, recordingFile string) (*piece.Piece, finding.Options, error) {
	opts, err := judging(c.flags)
	if err != nil {
		return nil, opts, err
	}
	opts = job.AskedIn(pieceFile, opts, c.flags.Changed)
	if err := c.keeps(pieceFile, recordingFile); err != nil {
		return nil, opts, err
	}
	p, err := job.ReadPiece(pieceFile, text(c.flags, "part"), opts.Instrument)
	if err != nil {
		return nil, opts, err
	}
	return p, opts, job.Holds(p, opts, pieceFile)
}

// hearTake listens to a recording of a piece, judges what was heard, and writes
// all that was asked for. date is the day that it was made, as it is printed; "" for none.
func hearTake(c *call, p *piece.Piece, r *recording.Recording, opts finding.Options, pieceFile, date string) error {
	h, sound, err := job.HearOpen(context.Background(), p, pieceFile, r, opts, nil)
	if nothing := (job.NotHeard{}); errors.As(err, &nothing) {
		return status{notHeard, err}
	}
	if err != nil {
		return err
	}
	how := paper(opts.Instrument)
	how.Date = date
	return tell(c, p, h, sound, how)
}

// tell writes the report and the JSON where they were asked for, and the table
// unless the JSON has standard output to itself.
func tell(c *call, p *piece.Piece, h *finding.Hearing, sound *dsp.Heard, how report.Options) error {
	page := text(c.flags, "report")
	if page != "" {
		line, _ := p.Line()
		var err error
		if page, err = c.outputs.Sign(page, func(w io.Writer) error { return report.HTML(w, p, line, h, sound, how) }); err != nil {
			return err
		}
	}
	if file := text(c.flags, "json"); file != "" {
		if err := c.toJSON(file, h); err != nil || file == "-" {
			c.stays()
			return err
		}
	}
	defer c.stays()
	how.Date = "" // who reads it has just named the file
	if err := report.Table(c.out, p, h, how); err != nil || page == "" {
		return err
	}
	fmt.Fprintln(c.out)
	return c.say(words.Of("command.hear.page", "file", page))
}
