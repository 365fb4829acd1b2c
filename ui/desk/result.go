package desk

import (
	"endpin/piece/finding"
	"endpin/piece/gist"
	"endpin/ui/desk/said"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/sitting"
	"endpin/ui/desk/weeks"
)

// Result is what a take comes to, to be read from two metres.
type Result struct {
	Says   string // the whole of it
	Beside string // what it was judged by, and where the player stood beside the click; "" for nothing
}

// deliver says what a take that was judged comes to.
func (d *Desk) deliver(t *shelf.Take, h *finding.Hearing, beside finding.ClickOffset) {
	d.Result = &Result{Says: gist.Of(d.Score.Piece, h).String(), Beside: said.Joined(beside.Say(), sitting.By(t.Given, h))}
}

// learn takes in what a take of the whole piece tells of the bass: the player's own of this
// sitting, else one opened, from another day or of another bass.
func (d *Desk) learn(t *shelf.Take, h *finding.Hearing) {
	switch its := t.Player == d.Settings.Player; {
	case t.Measures != "" || !its && t.Player != "":
	case t.Own() && its && !t.Made.Before(d.began):
		d.sitting.Heard(h, t.Made)
	default:
		d.sitting.Opened(h, t.Called())
	}
}

// remembers reports whether a take is for a diary: that of the player whose desk it was when it
// was played. A recording made elsewhere may be anybody's, and what plays in a microphone's place
// is nobody's.
func (d *Desk) remembers(t *shelf.Take) bool {
	return t.Player != "" && d.means.Diary != nil && t.Own() && !t.Instead
}

// remember puts a take that was judged into it, in the background.
func (d *Desk) remember(t *shelf.Take, o finding.Options, h *finding.Hearing) {
	if !d.remembers(t) {
		return
	}
	d.Keep(weeks.Remembered{Player: t.Player, Score: d.scoreOf(t), Sound: t.Sound, At: t.Made, Options: o, Hearing: h})
}
