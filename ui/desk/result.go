package desk

import (
	"endpin/piece/finding"
	"endpin/piece/gist"
	"endpin/ui/desk/said"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/sitting"
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
