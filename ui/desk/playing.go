package desk

import (
	"errors"
	"io/fs"
	"os"

	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/words"
	"endpin/ui/desk/room"
	"endpin/ui/desk/said"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/work"
)

// Start begins an attempt at the work chosen.
func (d *Desk) Start() {
	if d.Running || d.Judging {
		return
	}
	d.StopPlaying()
	d.StopExample()
	d.Listening.Close()
	d.Pencil.PutAway()
	d.WriteHeld()
	d.say("")
	if d.CutOff, d.Chosen.at, d.playing = nil, 0, nil; !d.round.On() { // an echo says while it goes round what came last
		d.Result = nil
	}
	if err := d.Begin(d.asked(), d.played); err != nil {
		d.round.Stop()
		d.Fault(said.Sentence(err))
		return
	}
	d.sitting.Works(d.means.Now())
	d.tell()
}

// asked is the attempt at the work chosen.
func (d *Desk) asked() room.Asked {
	a := room.Asked{Score: d.Score, Work: d.Work, Judging: d.Settings.Judging(), Sounds: d.sounds(), Folder: d.means.Folder}
	a.Judging.Given = d.given()
	switch d.Work.Way {
	case work.Echo:
		var before []finding.Finding
		if d.Shown != nil {
			before = d.Shown.Hearing.Findings
		}
		a.Before = d.round.Begin(before)
	case work.BowSilently:
		var err error
		if a.Bows, err = (host{d}).Outline(); err != nil {
			a.Bows = &outline.Outline{}
		}
	}
	if d.Work.Way.Hears() && d.means.Folder != "" {
		a.Tape, a.Along = d.tape, d.means.Judge != nil
	}
	return a
}

// given is what the work chosen is judged by beside what sounds in it.
func (d *Desk) given() finding.Reference {
	if d.Score.Whole(d.Work.First, d.Work.Last) {
		return finding.Reference{}
	}
	o := d.Settings.Judging()
	return d.sitting.Reference(o.A4, o.Level)
}

// tape begins the take of an attempt.
func (d *Desk) tape(o room.Opened) (*tape.Recorder, error) {
	if err := os.MkdirAll(d.means.Folder, 0o700); err != nil {
		return nil, words.Fault("desk.takes.no-folder", "folder", d.means.Folder, "err", err)
	}
	t := d.newTake(d.Work.Way)
	t.QPM, t.Player, t.Instead, t.Given = d.Work.QPM, d.Settings.Player, o.Instead, d.given()
	if d.Work.Way.Leads() && o.Clicks {
		if t.Sounds, t.Delay = d.Settings.Sounds, shelf.DelayDevices; o.Measured {
			t.Delay = shelf.DelayMeasured
		}
	}
	t.Measures = d.measures()
	create := d.means.create
	if create == nil {
		create = tape.NewFile
	}
	t.Place(d.means.Folder)
	r, err := tape.New(create, t.Sound, o.Rate)
	for errors.Is(err, fs.ErrExist) { // another desk was quicker
		t.Place(d.means.Folder)
		r, err = tape.New(create, t.Sound, o.Rate)
	}
	if err != nil {
		return nil, words.Fault("desk.take.not-begun", "err", err)
	}
	if d.means.Free != nil {
		if free, known := d.means.Free(d.means.Folder); known {
			d.add(tape.Scarcity(free, o.Rate))
		}
	}
	_ = t.Save() // it is written again with what was heard
	d.playing = t
	return r, nil
}

// Stop ends the attempt; the take so far is kept and judged.
func (d *Desk) Stop() {
	d.round.Stop()
	d.End()
	d.tell()
}

// played has the take of an attempt that came to its end judged.
func (d *Desk) played(p room.Played) {
	t := d.playing
	if trouble := p.Trouble(); trouble != "" {
		d.fault(trouble)
	}
	if p.Err != nil || p.Disk != nil {
		d.round.Stop()
	}
	switch {
	case t == nil:
		d.again()
	case p.Heard:
		d.round.Answered(true)
		t.Lost, t.Reports, t.Held, t.Click = p.Lost, p.Reports, p.Held, p.Click
		d.Takes = append([]*shelf.Take{t}, d.Takes...)
		d.judge(t, p.Along)
	default:
		t.Discard()
		if d.round.On() {
			d.Shown, d.Result = nil, &Result{Says: words.Say("desk.echo.unheard")} // and not the count of another take
		}
		if d.round.Answered(false); d.Message == "" && p.Turn && !d.round.On() {
			d.say(words.Say("desk.take.nothing"))
		}
		if d.done != nil {
			d.done(nil)
		}
		d.again()
	}
	if p.Along == nil || !d.Judging {
		d.tell()
	}
}

// again begins the next round of an echo.
func (d *Desk) again() {
	if d.round.On() {
		d.Start()
	}
}

// Round is which round of an echo goes on, 0 for none.
func (d *Desk) Round() int { return d.round.Number() }

// Going reports whether an attempt goes on, or an echo between two rounds.
func (d *Desk) Going() bool { return d.Running || d.round.On() }
