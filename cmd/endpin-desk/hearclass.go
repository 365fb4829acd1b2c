package main

import (
	"context"
	"errors"
	"sync"
	"time"

	"endpin/assets"
	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/ui/desk/classroom"
	"endpin/ui/desk/score"
)

// tellEvery is how often the desk is told how far a class has been heard, where
// nothing new came of it.
const tellEvery = 100 * time.Millisecond

// classes hears classes for the desk, and adds to the pages of the last one.
type classes struct {
	mutex sync.Mutex
	run   job.Class
	out   string
	heard *job.HeardClass
	piece *score.Score
}

// hear is `endpin class` for the desk.
func (k *classes) hear(ctx context.Context, a classroom.Asked, o finding.Options, told func(classroom.Told)) (*class.Sheet, string, error) {
	o.Instrument = &a.Score.On.Instrument
	run := job.Class{Pieces: []job.ClassPiece{{Piece: a.Score.Piece, File: a.Score.File}}, Folder: a.Folder, Options: o, NoSound: a.NoSound, Afresh: a.Afresh}
	if a.Score.Demo {
		run.Pieces[0].Data = assets.DemoPiece
	}
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
	k.mutex.Lock()
	defer k.mutex.Unlock()
	k.run, k.out, k.heard, k.piece = run, a.Out, heard, a.Score
	sheet, written, e := k.write(ctx, nil)
	if e != nil {
		return heard.Sheets[0], "", e
	}
	return sheet, written, err
}

// add changes what the teacher adds, to the page of a student or, "", to all, and writes the
// pages of the class that was heard last anew.
func (k *classes) add(ctx context.Context, student string, change func(*class.Remarks, *class.Page)) (*class.Sheet, string, error) {
	k.mutex.Lock()
	defer k.mutex.Unlock()
	return k.write(ctx, func(r *class.Remarks) {
		for _, g := range class.PagesOf([]*piece.Piece{k.run.Pieces[0].Piece}, k.heard.Sheets) {
			if g.Name == student {
				change(r, &g)
				return
			}
		}
		if student == "" {
			change(r, nil)
		}
	})
}

// write writes the pages of what was heard last, with what was saved from a browser and what
// is changed; the desk may be looking at the sheets of before.
func (k *classes) write(ctx context.Context, change func(*class.Remarks)) (*class.Sheet, string, error) {
	remarks, err := job.RemarksIn(k.out)
	if err == nil {
		_, err = job.ReadBack(k.out, remarks)
	}
	if err != nil {
		return nil, "", err
	}
	now := *k.heard
	now.Sheets = []*class.Sheet{k.heard.Sheets[0].Copied()}
	k.heard = &now
	if change != nil {
		change(remarks)
	}
	how := job.ClassPages{Remarks: remarks}
	if how.Term, err = k.weeks(remarks); err != nil {
		return nil, "", err
	}
	k.run.Outputs = &job.Outputs{}
	written, err := job.WriteClass(ctx, k.out, &k.run, k.heard, how)
	if err == nil {
		err = job.KeepRemarks(k.out, remarks)
	}
	return now.Sheets[0], written.Sheet, err
}

// weeks puts what was heard into the class's diary, where `endpin class --weeks` said that one is
// kept, and gathers its weeks; nil where none is.
func (k *classes) weeks(remarks *class.Remarks) (*class.Term, error) {
	kept, err := job.WeeksIn(k.out)
	if err != nil || !kept.Keep {
		return nil, err
	}
	now := time.Now()
	if !now.Before(kept.Until) { // a new school year begins
		if kept, err = job.KeepWeeks(k.out, kept, now); err != nil {
			return nil, err
		}
	}
	return job.TermOf(k.out, &k.run, k.heard, kept, remarks, k.piece.On.Word, k.piece.Part, now)
}
