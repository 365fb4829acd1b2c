package main

import (
	"context"
	"errors"
	"sync"
	"time"

	"endpin/assets"
	"endpin/cmd/job"
	"endpin/cmd/job/classes"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/ui/desk/classroom"
)

// tellEvery is how often the desk is told how far a class has been heard, where
// nothing new came of it.
const tellEvery = 100 * time.Millisecond

// lessons hears lessons for the desk, and adds to the pages of the last one.
type lessons struct {
	mutex      sync.Mutex
	run        classes.Class
	out        string
	instrument string
	heard      *classes.Heard
	alone      func(do func()) // see classes.Pages
}

// hear is `endpin class` for the desk.
func (k *lessons) hear(ctx context.Context, a classroom.Asked, o finding.Options, told func(classroom.Told)) (*class.Term, string, error) {
	o.Instrument = &a.Scores[0].On.Instrument
	run := classes.Class{Folder: a.Folder, Options: o, NoSound: a.NoSound, Afresh: a.Afresh}
	for _, s := range a.Scores {
		p := classes.Piece{Piece: s.Piece, File: s.File, Part: s.Part}
		if s.Demo {
			p.Data = assets.DemoPiece
		}
		run.Pieces = append(run.Pieces, p)
	}
	if err := run.Into(a.Out, a.Roster); err != nil {
		return nil, "", err
	}
	var last time.Time
	run.Told = func(p classes.Progress) {
		if now := time.Now(); p.So != nil || now.Sub(last) >= tellEvery {
			last = now
			told(classroom.Told{Done: p.Done, Of: p.Of, Heard: p.Heard, Hearing: p.Hearing, So: p.So})
		}
	}
	heard, err := classes.Hear(ctx, run)
	if err != nil && !errors.Is(err, context.Canceled) {
		return nil, "", err
	}
	if s := heard.Sheets[0]; len(s.Students) == 0 && len(s.Questions) == 0 {
		return &class.Term{Sheets: heard.Sheets, LeftOut: s.LeftOut}, "", classes.NobodyHeard(a.Folder, heard)
	}
	k.mutex.Lock()
	defer k.mutex.Unlock()
	if err := keepWeeks(a); err != nil {
		return nil, "", err
	}
	k.run, k.out, k.heard, k.instrument = run, a.Out, heard, a.Scores[0].On.Word
	term, written, e := k.write(ctx, nil)
	if e != nil {
		return &class.Term{Sheets: heard.Sheets, Questions: heard.Sheets[0].Questions, Unplaced: heard.Unplaced, LeftOut: heard.Sheets[0].LeftOut}, "", e
	}
	return term, written, err
}

// keepWeeks begins to keep the weeks of a class where that is asked for, as `endpin class --weeks` does.
func keepWeeks(a classroom.Asked) error {
	kept, err := classes.WeeksIn(a.Out)
	if err == nil && a.Weeks && !kept.Keep {
		_, err = classes.KeepWeeks(a.Out, classes.Weeks{Keep: true}, time.Now())
	}
	return err
}

// add changes what the teacher adds, to the page of a student or, "", to all, and writes the
// pages of the class that was heard last anew.
func (k *lessons) add(ctx context.Context, student string, change func(*class.Remarks, *class.Page)) (*class.Term, string, error) {
	k.mutex.Lock()
	defer k.mutex.Unlock()
	return k.write(ctx, func(r *class.Remarks) {
		if student == "" {
			change(r, nil)
			return
		}
		var pieces []*piece.Piece
		for _, p := range k.run.Pieces {
			pieces = append(pieces, p.Piece)
		}
		for _, g := range class.PagesOf(pieces, k.heard.Sheets) {
			if g.Name == student {
				change(r, &g)
				return
			}
		}
	})
}

// write writes the pages of what was heard last, with what was saved from a browser and what
// is changed; the desk may be looking at the sheets of before.
func (k *lessons) write(ctx context.Context, change func(*class.Remarks)) (*class.Term, string, error) {
	remarks, err := classes.RemarksIn(k.out)
	if err == nil {
		_, err = classes.ReadBack(k.out, remarks)
	}
	if err != nil {
		return nil, "", err
	}
	now := *k.heard
	now.Sheets = nil
	for _, s := range k.heard.Sheets {
		now.Sheets = append(now.Sheets, s.Copied())
	}
	k.heard = &now
	if change != nil {
		change(remarks)
	}
	weeks, err := k.weeks()
	if err != nil {
		return nil, "", err
	}
	term, err := classes.TermOf(k.out, &k.run, k.heard, weeks, remarks, k.instrument, time.Now())
	if err != nil {
		return nil, "", err
	}
	k.run.Outputs = &job.Outputs{}
	written, err := classes.Write(ctx, k.out, &k.run, k.heard, classes.Pages{Remarks: remarks, Term: weeks.Told(term), Alone: k.alone})
	if err == nil {
		err = classes.KeepRemarks(k.out, remarks)
	}
	return term, written.Sheet, err
}

// weeks is what was said of keeping them; where a year of school is over a new one begins.
func (k *lessons) weeks() (classes.Weeks, error) {
	kept, err := classes.WeeksIn(k.out)
	if now := time.Now(); err == nil && kept.Keep && !now.Before(kept.Until) {
		return classes.KeepWeeks(k.out, kept, now)
	}
	return kept, err
}
