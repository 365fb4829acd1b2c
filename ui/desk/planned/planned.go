// Package planned is the plan of a sitting while it is gone through, item by item.
//
//	the piece, what was heard ─ piece/practice ─> Planned: items, which are done, which is on
//	a press, or the pedal ─────────────────────> Plan: takes the next one up
//
// Read Plan first.
package planned

import (
	"math"
	"time"

	"endpin/piece/practice"
	"endpin/piece/report"
	"endpin/piece/words"
)

// Planned is the plan of a sitting while it is gone through.
type Planned struct {
	practice.Plan
	Done []bool // each of its items
	At   int    // the item taken up; -1 for none yet

	since time.Time // that it was
}

// of makes one of a plan: what was done of another stays done, where it stands here too.
func of(p practice.Plan, before *Planned) *Planned {
	x := &Planned{Plan: p, Done: make([]bool, len(p.Items)), At: -1}
	if before == nil {
		return x
	}
	used := make([]bool, len(before.Items))
	for i, it := range p.Items {
		for k, was := range before.Items {
			if !used[k] && was.Range == it.Range && was.Work == it.Work {
				x.Done[i], used[k] = before.Done[k], true
				break
			}
		}
	}
	return x
}

// Begun reports whether something of it was taken up, or ticked off.
func (p *Planned) Begun() bool {
	if p == nil {
		return false
	}
	for _, done := range p.Done {
		if done {
			return true
		}
	}
	return p.At >= 0
}

// take takes an item up at a time.
func (p *Planned) take(i int, now time.Time) { p.At, p.since, p.Done[i] = i, now, false }

// tick says whether an item is done.
func (p *Planned) tick(i int, done bool) {
	if p.Done[i] = done; done && p.At == i {
		p.At = -1
	}
}

// Next is the first item that is not done and not the one taken up; -1 for none.
func (p *Planned) Next() int {
	for i := range p.Items {
		if !p.Done[i] && i != p.At {
			return i
		}
	}
	return -1
}

// Left is how many minutes are left for the item taken up, begun ones counted; 0 where its
// time is over, or nothing was taken up.
func (p *Planned) Left(now time.Time) int {
	if p.At < 0 {
		return 0
	}
	return int(math.Max(0, math.Ceil(p.Items[p.At].Minutes-now.Sub(p.since).Minutes())))
}

// LeftInAll is how many minutes are left of all.
func (p *Planned) LeftInAll(now time.Time) int {
	sum := float64(p.Left(now))
	for i, it := range p.Items {
		if !p.Done[i] && i != p.At {
			sum += it.Minutes
		}
	}
	return int(math.Ceil(sum))
}

// Tell tells an item of the plan in a few words.
func (p *Planned) Tell(i int) string {
	it := p.Items[i]
	if it.Work == practice.Rest {
		return words.Say("desk.plan.rest", "minutes", words.Whole(it.Minutes))
	}
	measures := words.Of("desk.deed.measure", "n", it.Measures[0])
	if it.Measures[1] != it.Measures[0] {
		measures = words.Of("desk.plan.measures", "from", it.Measures[0], "to", it.Measures[1])
	}
	tempo := words.Of("desk.plan.tempo", "qpm", words.Whole(it.TempoFrom))
	if it.TempoTo != it.TempoFrom {
		tempo = words.Of("desk.plan.tempo.rising", "from", words.Whole(it.TempoFrom), "to", words.Whole(it.TempoTo))
	}
	return words.Say("desk.plan.item", "minutes", words.Whole(it.Minutes), "work", report.WorkWords(it.Work), "measures", measures, "tempo", tempo)
}
