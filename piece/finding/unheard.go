package finding

import (
	"math"
	"slices"

	"endpin/dsp"
)

// What may hide a note that was not heard. Set by ear, no source.
const (
	ringRises   = 4.0  // dB that a ring does not come up by itself
	asLoud      = 12.0 // dB below the notes that a sound which came up may lie to be one
	beforeNext  = 0.05 // s before the next note that is left out: its attack
	coversBeat  = 0.15 // s beyond the beat that a sound must go on to cover it
	shortNote   = 0.35 // s: a note so short may have had no time to speak …
	shortHidden = 0.6  // s … or, in noise or a ring, no time to be heard
	beyondTake  = 0.1  // s before the first note or after the last
)

// soundGoesOn tells whether sound goes on where notes are missing: the onset may
// have been there and not been heard.
func (ev *evidence) soundGoesOn(from, to int) bool {
	if from == 0 {
		return false
	}
	before := &ev.match(from - 1).Note
	beat := ev.match(from).Beat
	return !math.IsNaN(beat) && before.Offset > beat+coversBeat
}

// soundComesUp tells whether a sound came up again where notes are missing, after the one
// before had been let go: something was played there, and its beginning not heard.
func (ev *evidence) soundComesUp(from, to int) bool {
	_, gap := ev.gap(from, to)
	up, low := 0, math.Inf(1)
	for _, f := range gap {
		if low = math.Min(low, f.Level); f.Level > low+ringRises && f.Level > ev.noteLevel-asLoud {
			up++
		}
	}
	return 4*up > len(gap)
}

// pluckHidden tells whether plucked notes may have sounded where they are due and were not
// heard. No pluck is soft: what it brings in no string that rings hides, but noise may.
func (ev *evidence) pluckHidden(from, to int) bool {
	begin, end := ev.dueUntilNext(from, to)
	return ev.noiseHides(from, to) || slices.ContainsFunc(ev.heard.Faint, func(o dsp.Onset) bool {
		return o.Time > begin-coversBeat && o.Time < end
	})
}

// noiseHides tells whether noise, near enough to the notes to hide one, fills most of the
// time where notes not heard are due: what has a pitch there is a string that rings.
func (ev *evidence) noiseHides(from, to int) bool {
	noise, there := 0, ev.framesIn(ev.dueUntilNext(from, to))
	for _, f := range there {
		if !f.Voiced {
			noise++
		}
	}
	return 2*noise > len(there) && ev.noteLevel < ev.heard.Floor+deepNoise
}

// dueUntilNext is when notes not heard are due, before the next that was.
func (ev *evidence) dueUntilNext(from, to int) (begin, end float64) {
	begin, _ = ev.due(from)
	_, end = ev.due(to)
	if to+1 < len(ev.line) && ev.match(to+1).Heard >= 0 {
		end = math.Min(end, ev.match(to+1).Note.Onset-beforeNext)
	}
	return begin, end
}

// sounds tells whether anything sounds, as loud as a note, where notes not heard are due,
// or no time is left there for them.
func (ev *evidence) sounds(from, to int) bool {
	there := ev.framesIn(ev.dueUntilNext(from, to))
	return len(there) == 0 || slices.ContainsFunc(there, func(f dsp.Frame) bool { return f.Level > ev.noteLevel-asLoud })
}

// gap gives the note before notes missing and what sounds from its release to the
// next attack; nil where one of the two was not heard.
func (ev *evidence) gap(from, to int) (before *dsp.Note, sound []dsp.Frame) {
	if from == 0 || ev.match(from-1).Heard < 0 || to+1 >= len(ev.line) || ev.match(to+1).Heard < 0 {
		return nil, nil
	}
	before = &ev.match(from - 1).Note
	return before, ev.framesIn(before.Offset, ev.match(to+1).Note.Onset-beforeNext)
}

// nextIsNearer tells whether the note after one missing was heard nearer to that one's beat
// than to its own: both may lie in it, the beginning of the second unheard.
func (ev *evidence) nextIsNearer(from, to int) bool {
	if from != to || to+1 >= len(ev.line) || math.IsNaN(ev.lateness(to+1)) || math.IsNaN(ev.match(from).Beat) {
		return false
	}
	return math.Abs(ev.match(to+1).Note.Onset-ev.match(from).Beat) < -ev.lateness(to+1)/1000
}

// leftOpen tells whether notes not heard are short, and sound without a pitch
// fills their time: a bow that has no time to make the string speak. Whether
// they were played cannot be told; nor, in a noisy room or one that rings, whether a
// short note was.
func (ev *evidence) leftOpen(from, to int) bool {
	noisy := ev.noiseHides(from, to)
	filled, all := 0, 0
	for i := from; i <= to; i++ {
		m := ev.match(i)
		length := ev.seconds(i, ev.line[i].Length, m.Rate)
		if math.IsNaN(m.Beat) || length > shortNote && !(noisy && length < shortHidden) {
			return false
		}
		for _, f := range ev.framesIn(m.Beat, m.Beat+length) {
			all++
			if !f.Voiced && f.Level > ev.heard.Floor+sounding {
				filled++
			}
		}
	}
	return noisy || 10*filled > 4*all
}

// outsideTake are the notes heard before the first that is of the line, or after the last.
func (ev *evidence) outsideTake(before bool) (all []int) {
	for j := range ev.heard.Notes {
		at := ev.heard.Notes[j].Onset
		if before && at < ev.match(ev.align.First).Note.Onset-beyondTake || !before && at > ev.match(ev.align.Last).Note.Offset-beyondTake {
			all = append(all, j)
		}
	}
	return all
}
