package desk

import (
	"time"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/words"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/weeks"
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
	d.Mending.Begin(a, o)
	d.Result = &Result{Says: d.Mending.Now.Say().String()}
	d.tell()
}

// mendSilence ends a round: a few measures are waited for no longer than this, s.
const mendSilence = 1.5

// Stage and Mended are the bench's.
func (h host) Stage(w practice.Work, r outline.Range, qpm float64) {
	d := h.desk
	d.Work.Way, d.Work.First, d.Work.Last, d.Work.QPM = ways[w], r.First, r.Last, qpm
	d.Work.Silence = min(mendSilence, d.Settings.Silence)
	d.Chosen.at = 0
	d.tell()
}

func (h host) Mended(m *practice.Mending) {
	d := h.desk
	d.sitting.Mended(m.What())
	d.Work.Silence = d.Settings.Silence
}

// leaveMending is for other work.
func (d *Desk) leaveMending() {
	if d.Mending.Now != nil {
		d.Mending.Leave()
		d.Work.Silence = d.Settings.Silence
	}
}

// mostWork is how long is worked at all before a rest is offered. Common practice, no source.
const mostWork = 20 * time.Minute

// mended takes in a round of a mending; what it says is what the take comes to.
func (d *Desk) mended(t *shelf.Take, h *finding.Hearing) {
	if !d.Mending.On() || !t.Own() || t.Measures != d.measures() {
		return
	}
	if d.Mending.Heard(d.Score.Line, h) {
		d.round.Stop()
	}
	if m := d.Mending.Now; m.Stage == practice.Mended && d.remembers(t) {
		d.KeepMended(weeks.Mended{Player: t.Player, Score: d.Score, At: t.Made, Aim: m.Aim, Now: m.Now(), Rounds: len(m.Rounds)})
	}
	d.Result.Says = d.Mending.Now.Say().String()
}

// mendingDeeds are those that stand before all others: a rest, and where a mending brings
// nothing on, what may.
func (d *Desk) mendingDeeds() (all []Deed) {
	rest := Deed{Name: words.Say("desk.deed.rest"), do: (*Desk).rest}
	for _, o := range d.Mending.Offers() {
		all = append(all, Deed{Name: o.Name, do: func(*Desk) { o.Do() }})
	}
	if d.sitting.Tired(d.means.Now(), mostWork) {
		rest.Why = words.Say("desk.deed.rest.why")
		return append([]Deed{rest}, all...)
	}
	if len(all) > 0 {
		all = append(all, rest)
	}
	return all
}

// workOn is the deed of mending what is to be mended first; ok is false where nothing is.
func (d *Desk) workOn() (x Deed, ok bool) {
	i := d.First()
	if d.Mending.On() || !d.Mends(i) {
		return x, false
	}
	f := &d.Shown.Hearing.Findings[i]
	return Deed{Name: words.Say("desk.deed.work-on"), Why: words.Say("desk.deed.work-on.why", "measure", f.Measure, "mark", f.Mark(finding.PageMark)),
		do: func(d *Desk) { d.WorkOn(i) }}, true
}

// checkStrings is the deed of telling what a few measures are judged by, where they are mended
// with nothing that has told it, or could not be judged for it.
func (d *Desk) checkStrings() (x Deed, ok bool) {
	if d.Strings == nil || !d.Work.Way.Hears() || !d.given().Supposed {
		return x, false
	}
	ok = d.Mending.On() || d.Shown != nil && d.Shown.Take.Given.Supposed && d.Shown.Hearing.HeardATrust == dsp.NotSure
	return Deed{Name: words.Say("window.tuning.offer.check"), Why: words.Say("desk.deed.strings.why"), do: func(d *Desk) { d.Strings() }}, ok
}

// rest ends what was worked on with something that can be played, and says what a body asks.
func (d *Desk) rest() {
	d.sitting.Rest()
	d.Mending.Offered = false
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
	if left := d.Plan.Left(); left != "" && !d.Mending.On() {
		return words.Say("desk.deed.start.planned", "what", what, "left", left)
	}
	return what
}
