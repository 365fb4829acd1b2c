package finding

import (
	"fmt"

	"endpin/dsp"
	"endpin/piece"
)

// EachPass judges a take, and gives of each pass its name, why it stands where it
// stands, and whether the evidence that it was given is left as it was.
func EachPass(p *piece.Piece, heard *dsp.Heard, o Options, seen func(name, why string, same bool)) error {
	ev, err := gather(p, heard, o)
	if err != nil {
		return err
	}
	t := &take{evidence: ev, ledger: newLedger()}
	for _, pass := range passes {
		given := t.evidence
		before := given.printed()
		pass.do(t)
		seen(pass.name, pass.why, given.printed() == before)
	}
	return nil
}

func (ev *evidence) printed() string {
	return fmt.Sprintf("%+v", []any{ev.opts, ev.level, ev.board, ev.line, ev.from, ev.to, ev.plan, ev.asked, ev.supposed, ev.clock, *ev.align, ev.sound, ev.cents, ev.heard.Notes})
}
