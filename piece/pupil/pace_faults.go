package pupil

import (
	"math"

	"endpin/piece"
)

// How far a passage is followed to, of what must be told of it.
const (
	nearPace    = 0.03 // of its pace over the rest's
	nearPause   = 0.08 // s
	leastOnsets = 4    // in a passage (design)
	tellable    = 1.2  // times the tolerance that a pace must be off: one of 0.9 is asked for at a tolerance of 8 %
)

// passages are the paces of slower passages, over the rest's.
var passages = []float64{0.65, 0.76, 0.9}

// SlowerPassage plays one to six measures at a slower pace of their own, abruptly or with
// a measure on either side in which the pace changes.
var SlowerPassage = Fault{Name: "slower passage", NotRecorded: true, Structural: true, Plant: func(m *making) bool {
	return m.passage(passages[m.rng.Intn(len(passages))])
}}

// FasterPassage plays them a fourth faster.
var FasterPassage = Fault{Name: "faster passage", NotRecorded: true, Structural: true, Plant: func(m *making) bool { return m.passage(1.25) }}

func (m *making) passage(share float64) bool {
	if math.Abs(share-1) < tellable*m.Level.TempoShare {
		return false
	}
	measures, n := m.Tune.Piece.Measures, 1+m.rng.Intn(6)
	ramp := 0.0
	if m.rng.Intn(2) == 0 {
		ramp = measures[len(measures)-1].Length.Quarters()
	}
	return m.pick(len(measures), func(first int) bool {
		after := first + n // the first measure that goes at the rest's pace again
		if 3*n > len(measures) && n > 1 || after+2 >= len(measures) || ramp > 0 && first < 2 {
			return false // where it covered half, which is the passage would be open; and a ramp must have room
		}
		var steps []int
		for k := first; k < after; k++ {
			steps = append(steps, m.in(k, 1)...)
		}
		next := m.in(after, 1)
		if len(steps) < leastOnsets || len(next) == 0 || len(m.in(first, 2)) > 0 {
			return false
		}
		from, to := m.Tune.Line[steps[0]].Onset.Quarters(), m.Tune.Line[next[0]].Onset.Quarters()
		m.bend(func(q float64) float64 {
			in := 0.0
			switch {
			case q >= from && q < to:
				in = 1
			case q > from-ramp && q < from:
				in = 1 - (from-q)/ramp
			case q >= to && q < to+ramp:
				in = 1 - (q-to)/ramp
			}
			return 1 + (share-1)*in
		})
		kind := "slower_passage"
		if share > 1 {
			kind = "faster_passage"
		}
		m.expect(Finding{Kind: kind, Measure: measures[first].Number, ToMeasure: measures[after-1].Number, Value: share, Within: nearPace * share})
		return true
	})
}

// bend lets the pace go by a share of what it was at each quarter note of the line.
func (m *making) bend(share func(quarters float64) float64) {
	const step = 1. / 32
	last := m.sounds[len(m.sounds)-1]
	for _, s := range m.sounds {
		if s.onset > last.onset {
			last = s
		}
	}
	times := []float64{0}
	for q := 0.0; q < last.onset+2*last.length; q += step {
		times = append(times, times[len(times)-1]+step/share(q+step/2))
	}
	before := m.tempo
	m.tempo = func(q float64) float64 {
		x := max(0, before(q)/step)
		k := min(int(x), len(times)-2)
		return times[k] + (x-float64(k))*(times[k+1]-times[k])
	}
}

// Hesitation waits before one note, in silence or with the note before held on, and goes
// on from there.
var Hesitation = Fault{Name: "hesitation", NotRecorded: true, Structural: true, Plant: func(m *making) bool {
	return m.pauses(1, func() float64 { return m.hesitation() })
}}

// Hesitations waits before three or four.
var Hesitations = Fault{Name: "several hesitations", NotRecorded: true, Structural: true, Plant: func(m *making) bool {
	return m.pauses(3+m.rng.Intn(2), func() float64 { return m.hesitation() })
}}

// LongStop stops for up to six seconds and goes on.
var LongStop = Fault{Name: "stop", Structural: true, Plant: func(m *making) bool {
	return m.pauses(1, func() float64 { return 1.5 + 4.5*m.rng.Float64() })
}}

// hesitation is one of 0.4 to 1 s, s; of half a beat and more.
func (m *making) hesitation() float64 {
	least := max(0.42, 0.55*60/m.playedQPM)
	return least + (1-least)*m.rng.Float64()
}

func (m *making) pauses(n int, size func() float64) bool {
	line := m.Tune.Line
	held := n == 1 && m.rng.Intn(2) == 0
	at := map[int]float64{}
	longest := 0.0
	first, last := len(line), -1
	for range n {
		if !m.pick(len(line), func(i int) bool {
			by := size() * m.playedQPM / 60 // quarters
			beats := m.beats(i, by)
			before := line[max(0, i-1)]
			countable := before.RestAfter > 0 || before.Length >= 2*piece.Quarter
			if !m.inner(i) || line[i-1].RestAfter > 0 && held || countable && math.Abs(beats-math.Round(beats)) < 0.25 {
				return false // a whole beat too long in a rest is a beat added
			}
			for k := range at {
				if max(i-k, k-i) < leastOnsets {
					return false
				}
			}
			at[i], longest = by, max(longest, by)
			first, last = min(first, i), max(last, i)
			return true
		}) {
			return false
		}
	}
	for i, by := range at {
		from := m.at(i).onset
		if held {
			s := m.at(i - 1)
			s.hold = (s.length + by) / s.length
		}
		for j := range m.sounds {
			if m.sounds[j].onset > from-1e-9 {
				m.sounds[j].onset += by
			}
		}
		m.claim(i-1, i)
	}
	found := m.here("paused", first, longest*60/m.playedQPM, nearPause)
	found.ToMeasure = line[last].Number
	m.expect(found)
	return true
}

// EndsEarly ends after about a third of the notes, or two thirds.
var EndsEarly = Fault{Name: "ends early", Structural: true, Plant: func(m *making) bool {
	line := m.Tune.Line
	i := len(line) * (1 + m.rng.Intn(2)) / 3
	for i > 8 && line[i+1].Slurred {
		i--
	}
	for _, s := range m.sounds {
		if s.step > i-2 && s.taken {
			return false
		}
	}
	if !m.free(i-1, i) {
		return false
	}
	end := m.at(i).onset
	kept := m.sounds[:0]
	for _, s := range m.sounds {
		if s.onset <= end {
			kept = append(kept, s)
		}
	}
	m.sounds = kept
	m.at(i).hold *= 0.3 + 0.7*m.rng.Float64()
	found := m.here("stopped", i, 0, 0)
	found.Beat, found.Anywhere = 0, true
	m.expect(found)
	return true
}}

// AllShort lets every note go too soon, as a manner of playing: none where another fault
// holds more than a quarter of them.
var AllShort = Fault{Name: "all held short", NeedsBow: true, Structural: true, Plant: func(m *making) bool {
	most := 1 - tellable*(1-m.Level.Held)
	hold := 0.4 + (most-0.4)*m.rng.Float64()
	taken := 0
	for _, s := range m.sounds {
		if s.taken {
			taken++
		}
	}
	if 4*taken > len(m.sounds) {
		return false
	}
	for i := range m.sounds {
		if s := &m.sounds[i]; !s.taken {
			s.hold = hold
		}
	}
	m.expect(m.whole("held_short", hold, nearHeld))
	return true
}}

// LateAfterShifts comes late with the note of most shifts, as a manner of playing.
var LateAfterShifts = Fault{Name: "late after shifts", Structural: true, Plant: func(m *making) bool {
	moved, ms := 0, m.size(m.Level.OnsetMS)
	for _, f := range m.frames {
		i := f.Steps[0]
		if f.AfterShift && m.inner(i) && ms/1000 <= min(notTouched*m.seconds(m.at(i).length), ownRhythm*m.seconds(1)) {
			m.at(i).lateMS = ms
			m.claim(i)
			moved++
		}
	}
	if moved < 4 || 4*moved < 3*(len(m.frames)-1) {
		return false
	}
	m.expect(m.whole("late", ms, nearMS))
	return true
}}

// Breathing lets the pace go up and down by three in a hundred over four measures, as
// anybody's does. It is no fault.
var Breathing = Fault{Name: "a pace that breathes", Plant: func(m *making) bool {
	phrase := 4 * m.Tune.Piece.Measures[len(m.Tune.Piece.Measures)-1].Length.Quarters()
	begins := m.rng.Float64()
	m.bend(func(q float64) float64 { return 1 + 0.03*math.Sin(2*math.Pi*(q/phrase+begins)) })
	return true
}}

// Broadening slows down over the last two measures, to 0.6 to 0.75 of the pace. It is no
// fault.
var Broadening = Fault{Name: "a closing ritardando", NotRecorded: true, Plant: func(m *making) bool {
	measures := m.Tune.Piece.Measures
	last := m.sounds[len(m.sounds)-1]
	end := last.onset + last.length
	from := end - measures[len(measures)-1].Length.Quarters() - measures[len(measures)-2].Length.Quarters()
	to := 0.6 + 0.15*m.rng.Float64()
	m.bend(func(q float64) float64 { return 1 - (1-to)*min(1, max(0, (q-from)/(end-from))) })
	return true
}}
