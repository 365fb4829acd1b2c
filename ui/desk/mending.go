package desk

import (
	"time"

	"endpin/piece/finding"
	"endpin/piece/practice"
	"endpin/piece/words"
	"endpin/ui/desk/shelf"
)

// Mends reports whether a finding of the take shown can be worked on by itself.
func (d *Desk) Mends(i int) bool {
	_, ok := d.aim(i)
	return ok
}

func (d *Desk) aim(i int) (a practice.Aim, ok bool) {
	if d.Shown == nil || i < 0 || i >= len(d.Shown.Hearing.Findings) {
		return a, false
	}
	return practice.AimAt(d.Score.Line, d.Shown.Hearing, &d.Shown.Hearing.Findings[i])
}

// WorkOn sets measures, way, tempo and reference for one finding of the take shown, so that
// each round tells how it goes there.
func (d *Desk) WorkOn(i int) {
	a, ok := d.aim(i)
	o, err := host{d}.Outline()
	if !ok || err != nil || d.Running || d.Judging {
		return
	}
	d.LookAway()
	d.Listening.Close()
	d.say("")
	d.Mending, d.mendingSince, d.offered = practice.Mend(a, o), d.means.Now(), false
	d.Result = &Result{Says: d.Mending.Say().String()}
	d.mend()
}

// mendSilence ends a round: a few measures are waited for no longer than this, s.
const mendSilence = 1.5

// mend sets the desk for the stage of a mending, and stands its start ready.
func (d *Desk) mend() {
	m := d.Mending
	r := m.Range()
	d.Work.Way, d.Work.First, d.Work.Last, d.Work.QPM = ways[m.Work()], r.First, r.Last, m.Tempo()
	d.Work.Silence = min(mendSilence, d.Settings.Silence)
	d.Chosen.at = 0
	d.tell()
}

// leaveMending is for other work.
func (d *Desk) leaveMending() {
	if d.Mending != nil {
		d.Mending, d.offered, d.Work.Silence = nil, false, d.Settings.Silence
	}
}

// mending reports whether something is being mended.
func (d *Desk) mending() bool { return d.Mending != nil && d.Mending.Stage < practice.Mended }

// mostMending is how long one thing is worked on before something else is offered, and
// mostWork how long anything, before a rest is. Common practice, no source.
const (
	mostMending = 5 * time.Minute
	mostWork    = 20 * time.Minute
)

// mended takes in a round of a mending; what it says is what the take comes to.
func (d *Desk) mended(t *shelf.Take, h *finding.Hearing) {
	m := d.Mending
	if !d.mending() || !t.Own() || t.Measures != d.measures() {
		return
	}
	before := m.Stage
	m.Heard(d.Score.Line, h)
	d.Result.Says = m.Say().String()
	late := d.means.Now().Sub(d.mendingSince) >= mostMending
	if d.offered = m.Stage < practice.Mended && (m.Stuck() || late); late {
		d.mendingSince = d.means.Now()
	}
	if m.Stage == practice.Mended {
		d.sitting.Mended(m.What())
		d.Work.Silence = d.Settings.Silence
	}
	if m.Stage != before || d.offered {
		d.round.Stop()
	}
	if m.Stage < practice.Mended {
		way := d.Work.Way
		if d.mend(); m.Stage == before {
			d.Work.Way = way // which may have been chosen
		}
	}
}

// mendingDeeds are those that stand before all others: what was found to be mended, or, where
// a mending brings nothing on, what may.
func (d *Desk) mendingDeeds() (all []Deed) {
	if d.sitting.Tired(d.means.Now(), mostWork) {
		all = append(all, Deed{Name: words.Say("desk.deed.rest"), Why: words.Say("desk.deed.rest.why"), do: (*Desk).rest})
	}
	if d.mending() && d.offered {
		all = append(all,
			Deed{Name: words.Say("desk.deed.mend.slower"), do: func(d *Desk) { d.instead((*practice.Mending).Slower) }},
			Deed{Name: words.Say("desk.deed.mend.way"), do: func(d *Desk) { d.instead((*practice.Mending).Otherwise) }})
		if len(all) == 2 {
			all = append(all, Deed{Name: words.Say("desk.deed.rest"), do: (*Desk).rest})
		}
	}
	return all
}

// workOn is the deed of mending what is to be mended first; ok is false where nothing is.
func (d *Desk) workOn() (x Deed, ok bool) {
	i := d.First()
	if d.mending() || !d.Mends(i) {
		return x, false
	}
	f := &d.Shown.Hearing.Findings[i]
	return Deed{Name: words.Say("desk.deed.work-on"), Why: words.Say("desk.deed.work-on.why", "measure", f.Measure, "mark", f.Mark(finding.PageMark)),
		do: func(d *Desk) { d.WorkOn(i) }}, true
}

func (d *Desk) instead(change func(*practice.Mending)) {
	change(d.Mending)
	d.offered = false
	d.mend()
}

// rest ends what was worked on with something that can be played, and says what a body asks.
func (d *Desk) rest() {
	d.sitting.Rest()
	d.offered = false
	d.Result = &Result{Says: words.Say("desk.rest"), Beside: words.Say("practice.caution")}
	d.Chosen.at = 0
	d.tell()
}

// ends says what a sitting came to.
func (d *Desk) ends() {
	d.Result = &Result{Says: d.sitting.Say()}
	d.tell()
}

// startWhy is what would be played, and how long the plan leaves for it.
func (d *Desk) startWhy() string {
	what := d.Work.Said(d.Range(), d.Score.Whole(d.Work.First, d.Work.Last))
	if left := d.Plan.Left(); left != "" && !d.mending() {
		return words.Say("desk.deed.start.planned", "what", what, "left", left)
	}
	return what
}
