package align

import (
	"math"
	"slices"
	"sort"

	"endpin/dsp"
	"endpin/dsp/robust"
)

// Before a note counts as missing the pitch track is asked: an onset can go
// unheard in noise, in the ring of a room or under a slur, while the pitch is
// plainly there.

// Tuned on the takes of testdata/figures/aligned.md, where they were looked at while
// the rules were changed.
const (
	recoverEarly     = 0.20 // s before and after its beat that such a note may begin
	recoverLate      = 0.30
	recoverShare     = 0.35 // of its length that must be heard at its pitch
	recoverLeast     = 0.06 // s
	anotherPitchCost = 0.8  // cost of a pitch that is not the one expected
	ownersNear       = 12   // notes to each side that may be what was found
	recoverPitch     = 0.7  // semitones from where it is expected
	recoverBeat      = 0.5  // of its length that it may begin early or late, where that is less

	recoverPeriodic = 0.4  // aperiodicity above which a frame says nothing of its pitch
	recoverGap      = 2    // frames without its pitch that do not end it
	recoverAttack   = 3    // part of what was found that is its attack
	recoverSpread   = 148  // cents of spread a semitone of median deviation: about 100·robust.PerDeviation
	frameTime       = 0.02 // s from a note's last frame to its end
	ownedOverlap    = 0.02 // s that a note must go on into what was found to own it
	fadingAt        = 3    // at two parts of so many of it …
	fadingBy        = 4.0  // … what only dies away is softer by this, dB
	outsideNotes    = 2    // notes beyond the first and the last heard that are looked for
	lastQuarter     = 0.75 // s, where no tempo is known
	afterOnset      = 0.04 // s of the note before that are its attack
	beforeNext      = 0.1  // s that what was not heard takes at least
	remeasureLeast  = 4    // frames with a pitch
)

// recover looks for the notes not heard where the beat has them.
func (a *Alignment) recover(m *model, frames []dsp.Frame) (found bool) {
	if len(frames) < 2 {
		return false
	}
	for i := range a.Matches {
		if mt := &a.Matches[i]; mt.Heard >= 0 && (mt.Guessed || m.pitchCost(i, mt.Heard) < anotherPitchCost) {
			continue
		}
		beat, rate := a.expectedAt(m, i)
		if math.IsNaN(beat) || a.goneAhead(i) {
			continue
		}
		length := m.length(i) * rate
		from, to := a.boundedBy(m, i, beat-math.Min(recoverEarly, recoverBeat*length), beat+length)
		run := longestRun(frames, from, to, float64(m.line[i].MIDI)+m.octave+m.tuning+m.shift)
		if len(run) == 0 || run[0].Time > beat+math.Min(recoverLate, recoverBeat*length) {
			continue
		}
		heard := run[len(run)-1].Time - run[0].Time
		if heard < math.Max(recoverLeast, recoverShare*length) {
			continue
		}
		if a.Matches[i].Heard < 0 && (a.owned(m, i, run) || a.repeats(m, i) && fading(run)) {
			continue // it may be the note before that goes on, or rings: shares looks at that
		}
		a.assign(m, i, run, frames)
		found = true
	}
	return found
}

// goneAhead tells whether a note is one of those that a player who went on ahead did not play.
func (a *Alignment) goneAhead(i int) bool {
	return slices.ContainsFunc(a.Skips, func(s Skip) bool { return i > s.From && i < s.To })
}

// owned tells whether a run of frames is most likely a note of the same pitch
// hereabouts that was heard.
func (a *Alignment) owned(m *model, i int, run []dsp.Frame) bool {
	for k := max(0, i-ownersNear); k < min(len(a.Matches), i+ownersNear); k++ {
		mt := &a.Matches[k]
		if k != i && mt.Heard >= 0 && m.line[k].MIDI == m.line[i].MIDI &&
			mt.Note.Onset < run[len(run)-1].Time && mt.Note.Offset > run[0].Time+ownedOverlap {
			return true
		}
	}
	return false
}

// repeats tells whether a note repeats the pitch of the one before, that was heard.
func (a *Alignment) repeats(m *model, i int) bool {
	return i > 0 && a.Matches[i-1].Heard >= 0 && m.line[i-1].MIDI == m.line[i].MIDI
}

// fading tells whether a run of frames only dies away.
func fading(run []dsp.Frame) bool {
	return run[2*len(run)/fadingAt].Level < run[0].Level-fadingBy
}

// expectedAt is when a note is expected: by the beat, or outside the notes
// heard by the pace.
func (a *Alignment) expectedAt(m *model, i int) (t, rate float64) {
	if mt := &a.Matches[i]; !math.IsNaN(mt.Beat) {
		return mt.Beat, mt.Rate
	}
	near := a.First
	if i > a.Last {
		near = a.Last
	}
	if i >= a.First && i <= a.Last || i < a.First-outsideNotes || i > a.Last+outsideNotes {
		return math.NaN(), a.Pace
	}
	from := a.Matches[near].Note.Onset
	if b := a.Matches[near].Beat; !math.IsNaN(b) {
		from = b
	}
	return from + (m.clock[i]-m.clock[near])*a.Pace, a.Pace
}

// length is the nominal length of a note of the line, s.
func (m *model) length(i int) float64 {
	q := m.line[i].Length.Quarters()
	for k := i; k+1 < len(m.line); k++ {
		if d := (m.line[k+1].Onset - m.line[k].Onset).Quarters(); d > 0 {
			return q * (m.clock[k+1] - m.clock[k]) / d
		}
	}
	for k := len(m.line) - 1; k > 0; k-- {
		if d := (m.line[k].Onset - m.line[k-1].Onset).Quarters(); d > 0 {
			return q * (m.clock[k] - m.clock[k-1]) / d
		}
	}
	return q * lastQuarter
}

// boundedBy keeps a stretch off the onsets of the notes about it.
func (a *Alignment) boundedBy(m *model, i int, from, to float64) (float64, float64) {
	if i > 0 && a.Matches[i-1].Heard >= 0 {
		from = math.Max(from, a.Matches[i-1].Note.Onset+afterOnset)
		if a.repeats(m, i) {
			from = math.Max(from, a.Matches[i-1].Note.Offset)
		}
	}
	for k := i + 1; k < len(a.Matches); k++ {
		if a.Matches[k].Heard >= 0 {
			if on := a.Matches[k].Note.Onset; on > from+beforeNext {
				to = math.Min(to, on)
			}
			break
		}
	}
	return from, to
}

// longestRun gives the longest stretch of frames at a pitch, MIDI number with a fraction.
func longestRun(frames []dsp.Frame, from, to, pitch float64) []dsp.Frame {
	k := sort.Search(len(frames), func(k int) bool { return frames[k].Time >= from })
	best, start, misses := []dsp.Frame(nil), -1, 0
	for ; k < len(frames) && frames[k].Time < to; k++ {
		f := frames[k]
		if f.Voiced && f.Aperiodicity < recoverPeriodic && math.Abs(dsp.MIDI(f.Freq)-pitch) < recoverPitch {
			if start < 0 {
				start = k
			}
			misses = 0
			if k-start >= len(best) {
				best = frames[start : k+1]
			}
		} else if misses++; misses > recoverGap {
			start = -1
		}
	}
	return best
}

// assign makes a run of frames the note i, that was not heard or was taken for
// another together with its neighbour.
func (a *Alignment) assign(m *model, i int, run, frames []dsp.Frame) {
	var pitch []float64
	for _, f := range run {
		if f.Voiced && f.Aperiodicity < recoverPeriodic {
			pitch = append(pitch, dsp.MIDI(f.Freq))
		}
	}
	pitch = pitch[len(pitch)/recoverAttack:] // less its attack
	mid := robust.Median(pitch)
	spread := recoverSpread * robust.Deviation(pitch, mid)
	if mt := &a.Matches[i]; mt.Heard >= 0 { // its onset stands
		mt.Note.Pitch, mt.Note.Landing, mt.Note.Spread, mt.Note.Trust = mid-m.shift, mid-m.shift, spread, dsp.Fair
		return
	}
	first, last := run[0], run[len(run)-1]
	near := max(0, i-1)
	if a.Matches[near].Heard < 0 && i+1 < len(a.Matches) {
		near = i + 1
	}
	mt := &a.Matches[i]
	mt.Heard, mt.Phrase, mt.Recovered = max(0, a.Matches[near].Heard), a.Matches[near].Phrase, true
	mt.Note = dsp.Note{Onset: first.Time, Offset: last.Time + frameTime, Pitch: mid - m.shift, Landing: mid - m.shift, Spread: spread,
		SteadyFrom: first.Time, SteadyTo: last.Time, Level: last.Level, Aperiodicity: last.Aperiodicity,
		Kind: dsp.PitchChange, Strength: 1, Trust: dsp.Fair}
	if i > 0 && a.Matches[i-1].Heard >= 0 {
		if p := &a.Matches[i-1].Note; p.Offset > mt.Note.Onset {
			p.Offset = mt.Note.Onset
			a.Matches[i-1].Recovered = true
			remeasure(p, frames, m.shift)
		}
	}
	a.First, a.Last = min(a.First, i), max(a.Last, i)
}

// remeasure takes the pitch of a note anew, after its end was given to another.
func remeasure(n *dsp.Note, frames []dsp.Frame, shift float64) {
	var pitch []float64
	from := sort.Search(len(frames), func(k int) bool { return frames[k].Time >= n.Onset+recoverLeast })
	for _, f := range frames[from:] {
		if f.Time > n.Offset-frameTime {
			break
		}
		if f.Voiced && f.Aperiodicity < recoverPeriodic {
			pitch = append(pitch, dsp.MIDI(f.Freq))
		}
	}
	n.SteadyTo, n.Trust = math.Min(n.SteadyTo, n.Offset), dsp.NotSure
	if len(pitch) >= remeasureLeast {
		n.Pitch, n.Trust = robust.MedianOf(pitch)-shift, dsp.Fair
		n.Landing = n.Pitch
	}
}
