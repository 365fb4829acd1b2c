package desk

import (
	"path/filepath"

	"endpin/piece/words"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/work"
)

// Open hears a recording made elsewhere. It goes on in the background; Cancel
// ends it. What was heard of it before, and put aside in it, is still known.
func (d *Desk) Open(path string) {
	if d.busy("open") {
		return
	}
	if whole, err := filepath.Abs(path); err == nil {
		path = whole
	}
	measures := d.measures()
	t := d.recordingAt(path)
	if t.Elsewhere() {
		t.Measures = measures
	}
	d.CutOff = nil
	d.say("")
	d.judge(t, nil)
}

// recordingAt is the take that is known of a recording, with what was put aside in
// it, or else a new one.
func (d *Desk) recordingAt(path string) *shelf.Take {
	if t := d.Known(path); t != nil {
		return t
	}
	return d.newTake(work.PlayAlone).Opened(path)
}

// newTake is one of the piece on the desk, made now, as the desk judges.
func (d *Desk) newTake(w work.Way) *shelf.Take {
	return &shelf.Take{Made: d.means.Now(), Piece: d.Score.File, Content: d.Score.Content, Title: d.Score.Title(), Way: w,
		A4: d.Settings.A4, Intonation: d.Settings.Intonation, Level: d.Settings.Level}
}

// busy says so where something else goes on before what is to be done.
func (d *Desk) busy(deed string) bool {
	switch {
	case d.Running:
		d.Say(words.Say("desk.busy.playing." + deed))
	case d.Judging:
		d.Say(words.Say("desk.busy.hearing." + deed))
	}
	return d.Running || d.Judging
}

// HearingOf names what is being heard.
func (d *Desk) HearingOf() string {
	if t := d.judging; t != nil && t.Elsewhere() {
		return filepath.Base(t.Sound)
	}
	return words.Say("desk.hearing.take")
}
