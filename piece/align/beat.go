package align

import (
	"math"
	"sort"

	"endpin/dsp/robust"
)

// The beat a player keeps is a smooth way through the onsets: at each note the
// line that best fits the notes about it, robustly and without the note itself
// (a local regression in the manner of W. Cleveland, "Robust locally weighted
// regression", J. Am. Stat. Assoc. 74, 1979). Where the onsets step aside and
// stay there the beat has been put off: it is cut, and goes on anew.

// Tuned on the takes of testdata/figures/aligned.md, where they were looked at while
// the rules were changed.
const (
	beatReach     = 7    // notes to each side that tell the beat
	stepLeast     = 0.12 // s: a beat put off by less is only swayed
	stepSpread    = 3.0  // and by this many times what the onsets scatter anyway
	stepSide      = 5    // notes to each side that must agree on it
	stepLeastSide = 3    // notes that one side at least must have
	slopeSide     = 9    // notes to each side that tell how fast the beat goes there
)

type onsetAt struct {
	i    int
	x, t float64 // nominal time, time heard
}

func (a *Alignment) keepBeat(clock []float64) { a.KeepBeat(clock, func(int) bool { return false }) }

// KeepBeat finds the beat anew, from the onsets of all notes of the line but
// those to leave out: a measure in another rhythm must not bend it.
func (a *Alignment) KeepBeat(clock []float64, leaveOut func(i int) bool) {
	for i := range a.Matches {
		a.Matches[i].Beat, a.Matches[i].Step = math.NaN(), 0
	}
	for from := a.First; from <= a.Last; {
		to := from
		phrase := -1
		var notes []onsetAt
		for ; to <= a.Last; to++ {
			mt := &a.Matches[to]
			if mt.Heard < 0 {
				continue
			}
			if phrase >= 0 && mt.Phrase != phrase {
				break
			}
			phrase = mt.Phrase
			if !mt.Guessed && !mt.Recovered && !leaveOut(to) {
				notes = append(notes, onsetAt{to, clock[to], mt.Note.Onset})
			}
		}
		a.keepPhrase(notes, clock, from, to)
		from = to
	}
}

// phrase is a stretch of notes that no restart interrupts, and the beat in it.
type phrase struct {
	*Alignment
	clock    []float64
	notes    []onsetAt // their nominal times with the drift taken out
	drift    drift
	pace     float64 // of what is left
	from, to int     // notes of the line
}

// keepPhrase finds the beat of notes from..to that no restart interrupts.
func (a *Alignment) keepPhrase(notes []onsetAt, clock []float64, from, to int) {
	p := &phrase{Alignment: a, clock: clock, notes: notes, pace: a.Pace, from: from, to: to}
	// A pace that changes evenly all along bends the way more than a line fits.
	if d, ok := driftOf(notes, a.Pace); ok {
		p.drift, p.pace = d, 1
		p.notes = make([]onsetAt, len(notes))
		for k, n := range notes {
			p.notes[k] = onsetAt{n.i, d.at(n.x), n.t}
		}
	}
	start := 0
	for _, end := range append(changePoints(p.notes, p.pace), len(notes)) {
		if start < end {
			p.keepPart(start, end)
		}
		start = end
	}
}

// keepPart finds the beat between two places where it is put off.
func (p *phrase) keepPart(start, end int) {
	part := p.notes[start:end]
	for k, n := range part {
		p.put(n.i, part, k)
	}
	if start > 0 {
		// The first note after a change is late against the beat before it.
		first := part[0].i
		own, _ := beatAt(part, part[0].x, noSkip, p.pace)
		p.put(first, p.notes[max(0, start-2*beatReach):start], noSkip)
		p.Matches[first].Step = own - p.Matches[first].Beat
	}
	// Notes not heard, guessed and recovered ones get the beat of those about them.
	low, high := part[0].i, part[len(part)-1].i
	if start == 0 {
		low = p.from
	}
	if end == len(p.notes) {
		high = p.to - 1
	}
	for i := low; i <= high; i++ {
		if math.IsNaN(p.Matches[i].Beat) {
			p.put(i, part, noSkip)
		}
	}
}

// put gives note i of the line the beat that some notes keep, one of them left out.
func (p *phrase) put(i int, part []onsetAt, skip int) {
	t, rate := beatAt(part, p.drift.at(p.clock[i]), skip, p.pace)
	p.Matches[i].Beat, p.Matches[i].Rate = t, rate*p.drift.slope(p.clock[i])
}

// noSkip leaves out none.
const noSkip = -1

// beatAt gives the time at which the beat has nominal time x, and the seconds
// a nominal second there. Note skip does not count.
func beatAt(notes []onsetAt, x float64, skip int, pace float64) (t, rate float64) {
	k := sort.Search(len(notes), func(k int) bool { return notes[k].x >= x })
	from, to := max(0, k-beatReach), min(len(notes), k+beatReach+1)
	// at an end, as many notes as elsewhere
	from, to = max(0, min(from, to-2*beatReach)), min(len(notes), max(to, from+2*beatReach))
	var near []onsetAt
	for q := from; q < to; q++ {
		if q != skip {
			near = append(near, notes[q])
		}
	}
	if len(near) == 0 {
		return math.NaN(), pace
	}
	if len(near) < fitLeast {
		return near[len(near)/2].t + (x-near[len(near)/2].x)*pace, pace
	}
	return fitNear(near, x, slopeOf(near, pace), pace)
}

// Of the local regression: Cleveland's own numbers, the limits set by ear.
const (
	fitLeast   = 3    // notes that a line is fitted to: fewer go at the pace known
	fitRounds  = 4    // in which the weights settle
	fitWild    = 6.0  // medians of what is left over beyond which a note does not count …
	fitScatter = 0.03 // … and s that it may be off anyhow
	fitWidth   = 1.1  // of the way to the farthest note at which weights end
	fitSlowest = 0.6  // of the pace that the slope may be …
	fitFastest = 1.7  // … to this many times the pace
	noWeight   = 1e-6 // of all notes: nothing to fit to
	noSpan     = 1e-9 // s²: all notes at one time
)

// fitNear fits a line robustly through onsets about nominal time x, beginning at a
// slope: bisquare weights by what is left over, tricube ones by distance.
func fitNear(near []onsetAt, x, slope, pace float64) (t, rate float64) {
	width := 0.0
	for _, n := range near {
		width = math.Max(width, math.Abs(n.x-x))
	}
	rest := make([]float64, len(near))
	for q, n := range near {
		rest[q] = n.t - slope*(n.x-x)
	}
	at := robust.Median(rest)
	for range fitRounds {
		for q, n := range near {
			rest[q] = math.Abs(n.t - at - slope*(n.x-x))
		}
		scale := math.Max(fitWild*robust.Median(rest), fitScatter)
		var sw, sx, st, sxx, sxt float64
		for q, n := range near {
			u := math.Abs(n.x-x) / (fitWidth*width + noSpan)
			w := 1 - u*u*u
			w = w * w * w
			v := rest[q] / scale
			if v >= 1 {
				w = 0
			} else {
				w *= (1 - v*v) * (1 - v*v)
			}
			d := n.x - x
			sw += w
			sx += w * d
			st += w * n.t
			sxx += w * d * d
			sxt += w * d * n.t
		}
		det := sw*sxx - sx*sx
		if sw < noWeight || det < noSpan {
			return at, slope
		}
		s := (sw*sxt - sx*st) / det
		if s < fitSlowest*pace || s > fitFastest*pace {
			return at, slope
		}
		slope = s
		at = (st - slope*sx) / sw
	}
	return at, slope
}

// slopeOf is the slope between notes half the stretch apart, or pace where
// there are too few.
func slopeOf(notes []onsetAt, pace float64) float64 {
	if slope := robust.MedianOf(farSlopes(nil, notes)); !math.IsNaN(slope) {
		return slope
	}
	return pace
}

// farSlopes adds the slopes between notes at least half the stretch apart.
func farSlopes(to []float64, notes []onsetAt) []float64 {
	x, t := make([]float64, len(notes)), make([]float64, len(notes))
	for k, n := range notes {
		x[k], t[k] = n.x, n.t
	}
	return robust.Slopes(to, x, t, len(notes)/2)
}

// changePoints finds where the onsets step aside and stay there: indexes into notes.
// The plainest step is cut first, and then each side is looked at by itself,
// so that one step does not make others about it.
func changePoints(notes []onsetAt, pace float64) []int {
	at, best := -1, math.Inf(-1)
	for k := 2; k+2 <= len(notes); k++ {
		left, right := notes[max(0, k-stepSide):k], notes[k:min(len(notes), k+stepSide)]
		if len(left) < stepLeastSide && len(right) < stepLeastSide {
			continue
		}
		size, spread, away := changeBetween(left, right, slopeAbout(notes, k, pace))
		if plain := math.Abs(size) - away; math.Abs(size) > math.Max(stepLeast, stepSpread*spread) && plain > best {
			at, best = k, plain
		}
	}
	if at < 0 {
		return nil
	}
	before, _ := beatAt(notes[max(0, at-2*beatReach):at], notes[at].x, noSkip, pace)
	after, _ := beatAt(notes[at:min(len(notes), at+2*beatReach)], notes[at].x, noSkip, pace)
	if !(math.Abs(after-before) > stepLeast) {
		return nil
	}
	cuts := append(changePoints(notes[:at], pace), at)
	for _, c := range changePoints(notes[at:], pace) {
		cuts = append(cuts, at+c)
	}
	return cuts
}

const (
	slopeSlowest = 0.75 // of the pace that the beat may go about a change …
	slopeFastest = 1.35 // … to this many times the pace
)

// slopeAbout gives the seconds a nominal second on both sides of a place
// where the onsets may step aside, so that only pairs on one side count.
func slopeAbout(notes []onsetAt, k int, pace float64) float64 {
	s := farSlopes(nil, notes[max(0, k-slopeSide):k])
	s = farSlopes(s, notes[k:min(len(notes), k+slopeSide)])
	if slope := robust.MedianOf(s); slope > slopeSlowest*pace && slope < slopeFastest*pace {
		return slope
	}
	return pace
}

// changeBetween gives how far the onsets to the right of a place lie from where
// those to its left lead, how much both scatter, and how far on the average
// they lie from their own side's middle: least where the place is right. All s.
func changeBetween(left, right []onsetAt, slope float64) (size, spread, away float64) {
	l, lm := residuals(left, slope)
	r, rm := residuals(right, slope)
	for _, d := range append(append([]float64(nil), l...), r...) {
		away += d / float64(len(l)+len(r))
	}
	return rm - lm, robust.PerDeviation * math.Max(robust.Median(l), robust.Median(r)), away
}

// residuals gives how far each onset lies from their middle, s, and the middle.
func residuals(notes []onsetAt, slope float64) (away []float64, middle float64) {
	away = make([]float64, len(notes))
	for k, n := range notes {
		away[k] = n.t - slope*n.x
	}
	middle = robust.Median(away)
	for k := range away {
		away[k] = math.Abs(away[k] - middle)
	}
	return away, middle
}
