package desk

import (
	"endpin/piece/finding"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/weeks"
)

// remember puts a take that was judged into the diary of the player whose desk
// it was when it was played, in the background. A recording made elsewhere may be
// anybody's, and what plays in a microphone's place is nobody's.
func (d *Desk) remember(t *shelf.Take, o finding.Options, h *finding.Hearing) {
	if t.Player == "" || d.means.Diary == nil || !t.Own() || t.Instead {
		return
	}
	d.Keep(weeks.Remembered{Player: t.Player, Score: d.scoreOf(t), Sound: t.Sound, At: t.Made, Options: o, Hearing: h})
}
