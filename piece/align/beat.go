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

const (
	reach      = 7    // notes to each side that tell the beat
	stepLeast  = 0.12 // s: a beat put off by less is only swayed
	stepSpread = 3.0  // and by this many times what the onsets scatter anyway
	stepSide   = 5    // notes to each side that must agree on it
	slopeSide  = 9    // notes to each side that tell how fast the beat goes there
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

// keepPhrase finds the beat of notes from..to that no restart interrupts.
func (a *Alignment) keepPhrase(notes []onsetAt, clock []float64, from, to int) {
	// A pace that changes evenly all along bends the way more than a line fits.
	bend, pace := straight, a.Pace
	if b, ok := bendOf(notes, a.Pace); ok {
		bend, pace = b, 1
		bent := make([]onsetAt, len(notes))
		for k, n := range notes {
			bent[k] = onsetAt{n.i, bend.at(n.x), n.t}
		}
		notes = bent
	}
	put := func(mt *Match, part []onsetAt, x float64, skip int) {
		t, rate := beatAt(part, bend.at(x), skip, pace)
		mt.Beat, mt.Rate = t, rate*bend.slope(x)
	}
	cuts := steps(notes, pace)
	start := 0
	for _, c := range append(cuts, len(notes)) {
		part := notes[start:c]
		for k, n := range part {
			put(&a.Matches[n.i], part, clock[n.i], k)
		}
		if start > 0 && len(part) > 0 {
			// The first note after a step is late against the beat before it.
			mt := &a.Matches[part[0].i]
			own, _ := beatAt(part, part[0].x, -1, pace)
			put(mt, notes[max(0, start-2*reach):start], clock[part[0].i], -1)
			mt.Step = own - mt.Beat
		}
		// Notes not heard, guessed and recovered ones get the beat of those about them.
		if len(part) > 0 {
			low, high := part[0].i, part[len(part)-1].i
			if start == 0 {
				low = from
			}
			if c == len(notes) {
				high = to - 1
			}
			for i := low; i <= high; i++ {
				if mt := &a.Matches[i]; math.IsNaN(mt.Beat) {
					put(mt, part, clock[i], -1)
				}
			}
		}
		start = c
	}
}

// beatAt gives the time at which the beat has nominal time x, and the seconds
// a nominal second there. Note skip does not count.
func beatAt(notes []onsetAt, x float64, skip int, pace float64) (t, rate float64) {
	k := sort.Search(len(notes), func(k int) bool { return notes[k].x >= x })
	from, to := max(0, k-reach), min(len(notes), k+reach+1)
	// at an end, as many notes as elsewhere
	from, to = max(0, min(from, to-2*reach)), min(len(notes), max(to, from+2*reach))
	var near []onsetAt
	for q := from; q < to; q++ {
		if q != skip {
			near = append(near, notes[q])
		}
	}
	if len(near) == 0 {
		return math.NaN(), pace
	}
	if len(near) < 3 {
		return near[len(near)/2].t + (x-near[len(near)/2].x)*pace, pace
	}
	width := 0.0
	for _, n := range near {
		width = math.Max(width, math.Abs(n.x-x))
	}
	rest := make([]float64, len(near))
	slope := medianSlope(near, pace)
	for q, n := range near {
		rest[q] = n.t - slope*(n.x-x)
	}
	at := robust.Median(rest)
	for round := 0; round < 4; round++ {
		for q, n := range near {
			rest[q] = math.Abs(n.t - at - slope*(n.x-x))
		}
		scale := math.Max(6*robust.Median(rest), 0.03)
		var sw, sx, st, sxx, sxt float64
		for q, n := range near {
			u := math.Abs(n.x-x) / (1.1*width + 1e-9)
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
		if sw < 1e-6 || det < 1e-9 {
			return at, slope
		}
		s := (sw*sxt - sx*st) / det
		if s < 0.6*pace || s > 1.7*pace {
			return at, slope
		}
		slope = s
		at = (st - slope*sx) / sw
	}
	return at, slope
}

// medianSlope is the slope between notes half the stretch apart, or pace where
// there are too few.
func medianSlope(notes []onsetAt, pace float64) float64 {
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

// steps finds where the onsets step aside and stay there: indexes into notes.
// The plainest step is cut first, and then each side is looked at by itself,
// so that one step does not make others about it.
func steps(notes []onsetAt, pace float64) []int {
	at, best := -1, math.Inf(-1)
	for k := 2; k+2 <= len(notes); k++ {
		left, right := notes[max(0, k-stepSide):k], notes[k:min(len(notes), k+stepSide)]
		if len(left) < 3 && len(right) < 3 {
			continue
		}
		size, spread, away := stepBetween(left, right, slopeAbout(notes, k, pace))
		if plain := math.Abs(size) - away; math.Abs(size) > math.Max(stepLeast, stepSpread*spread) && plain > best {
			at, best = k, plain
		}
	}
	if at < 0 {
		return nil
	}
	before, _ := beatAt(notes[max(0, at-2*reach):at], notes[at].x, -1, pace)
	after, _ := beatAt(notes[at:min(len(notes), at+2*reach)], notes[at].x, -1, pace)
	if !(math.Abs(after-before) > stepLeast) {
		return nil
	}
	cuts := append(steps(notes[:at], pace), at)
	for _, c := range steps(notes[at:], pace) {
		cuts = append(cuts, at+c)
	}
	return cuts
}

// slopeAbout gives the seconds a nominal second on both sides of a place
// where the onsets may step aside, so that only pairs on one side count.
func slopeAbout(notes []onsetAt, k int, pace float64) float64 {
	s := farSlopes(nil, notes[max(0, k-slopeSide):k])
	s = farSlopes(s, notes[k:min(len(notes), k+slopeSide)])
	if slope := robust.MedianOf(s); slope > 0.75*pace && slope < 1.35*pace {
		return slope
	}
	return pace
}

// stepBetween gives how far the onsets to the right of a place lie from where
// those to its left lead, how much both scatter, and how far on the average
// they lie from their own side's middle: least where the place is right. All s.
func stepBetween(left, right []onsetAt, slope float64) (size, spread, away float64) {
	l, lm := offsetsFrom(left, slope)
	r, rm := offsetsFrom(right, slope)
	for _, d := range append(append([]float64(nil), l...), r...) {
		away += d / float64(len(l)+len(r))
	}
	return rm - lm, 1.4826 * math.Max(robust.Median(l), robust.Median(r)), away
}

// offsetsFrom gives how far each onset lies from their middle, s, and the middle.
func offsetsFrom(notes []onsetAt, slope float64) (away []float64, middle float64) {
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
