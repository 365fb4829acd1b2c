package main

import (
	"context"
	"errors"
	"time"

	"endpin/cmd/job"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/ui/desk/classroom"
)

// tellEvery is how often the desk is told how far a class has been heard, where
// nothing new came of it.
const tellEvery = 100 * time.Millisecond

// hearClass is `endpin class` for the desk.
func hearClass(ctx context.Context, a classroom.Asked, o finding.Options, told func(classroom.Told)) (*class.Sheet, string, error) {
	bass := fingerboard.DoubleBass()
	o.Instrument = &bass
	run := job.Class{Pieces: []job.ClassPiece{{Piece: a.Score.Piece, File: a.Score.File}}, Folder: a.Folder, Options: o, NoSound: a.NoSound, Afresh: a.Afresh}
	if err := run.Into(a.Out, a.Roster); err != nil {
		return nil, "", err
	}
	var last time.Time
	run.Told = func(p job.ClassProgress) {
		if now := time.Now(); p.Sheet != nil || now.Sub(last) >= tellEvery {
			last = now
			told(classroom.Told{Done: p.Done, Of: p.Of, Heard: p.Heard, Hearing: p.Hearing, Sheet: p.Sheet})
		}
	}
	heard, err := job.HearClass(ctx, run)
	if err != nil && !errors.Is(err, context.Canceled) {
		return nil, "", err
	}
	sheet := heard.Sheets[0]
	if len(sheet.Students) == 0 && len(sheet.Questions) == 0 {
		return sheet, "", job.NobodyHeard(a.Folder, heard)
	}
	written, e := job.WriteClass(ctx, a.Out, &run, heard, job.ClassPages{})
	if e != nil {
		return sheet, "", e
	}
	return sheet, written.Sheet, err
}
