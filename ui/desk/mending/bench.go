package mending

import (
	"time"

	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/words"
)

// Host is the desk on which something is mended.
type Host interface {
	Now() time.Time
	Stage(practice.Work, outline.Range, float64) // way, measures and tempo of a stage, its start standing ready
	Mended(*practice.Mending)                    // it holds in its section
}

// Bench is where one thing is mended at a time.
type Bench struct {
	Now     *practice.Mending // nil for nothing
	Offered bool              // something else than going on with it

	host  Host
	since time.Time // it is worked on, or something else was offered
}

// New is an empty one on a desk.
func New(h Host) *Bench { return &Bench{host: h} }

// Most is how long one thing is worked on before something else is offered. Common
// practice, no source.
const Most = 5 * time.Minute

// Begin takes up one thing.
func (b *Bench) Begin(a practice.Aim, o *outline.Outline) {
	b.Now, b.since, b.Offered = practice.Mend(a, o), b.host.Now(), false
	b.lay()
}

func (b *Bench) lay() {
	m := b.Now
	b.host.Stage(m.Work(), m.Range(), m.Tempo())
}

// Leave is for other work.
func (b *Bench) Leave() { b.Now, b.Offered = nil, false }

// On reports whether something is being mended.
func (b *Bench) On() bool { return b.Now != nil && b.Now.Stage < practice.Mended }

// Heard takes in a round, and reports whether it goes on otherwise: in another stage, faster, or with
// something that is offered.
func (b *Bench) Heard(line []piece.Expected, h *finding.Hearing) (otherwise bool) {
	m := b.Now
	before, qpm := m.Stage, m.Tempo()
	m.Heard(line, h)
	other := m.Stage != before || m.Tempo() != qpm
	on := other && m.Stage >= before // what comes on asks for nothing else
	late := b.host.Now().Sub(b.since) >= Most
	if b.Offered = !on && (m.Stuck() || late); on || late {
		b.since = b.host.Now()
	}
	switch {
	case m.Stage == practice.Mended:
		b.host.Mended(m)
	case other:
		b.lay() // in the same one the way stays, which may have been chosen
	}
	return other || b.Offered
}

// Offer is something else than going on.
type Offer struct {
	Name string
	Do   func()
}

// Offers are those that stand now.
func (b *Bench) Offers() []Offer {
	if !b.On() || !b.Offered {
		return nil
	}
	other := func(change func(*practice.Mending)) func() {
		return func() {
			change(b.Now)
			b.Offered = false
			b.lay()
		}
	}
	return []Offer{{words.Say("desk.deed.mend.slower"), other((*practice.Mending).Slower)},
		{words.Say("desk.deed.mend.way"), other((*practice.Mending).Otherwise)}}
}
