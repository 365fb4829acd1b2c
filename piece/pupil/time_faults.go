package pupil

import (
	"math"

	"endpin/piece"
)

const (
	nearMS     = 30   // how near an onset must be told
	nearHeld   = 0.15 // of the written length
	nearBeats  = 0.15
	notTouched = 0.6 // the most of a note that a late entrance may take away
	ownRhythm  = 0.4 // of a quarter: moved farther, a note begins to make another rhythm
)

func exp2cents(cents float64) float64 { return math.Exp2(cents / 1200) }

// Late starts one note late, by less than makes another rhythm; it ends on time.
var Late = Fault{Name: "late", Plant: func(m *making) bool {
	return m.pick(len(m.Tune.Line), func(i int) bool {
		if !m.inner(i) {
			return false
		}
		s := m.at(i)
		ms := m.size(m.Level.OnsetMS)
		if ms/1000 > min(notTouched*m.seconds(s.length), ownRhythm*m.seconds(1)) {
			return false
		}
		s.lateMS = ms
		m.claim(i)
		m.expect(m.here("late", i, s.lateMS, nearMS))
		return true
	})
}}

// Early starts one note early, by less than makes another rhythm, into the rest
// or the note before, which the entrance cuts off.
var Early = Fault{Name: "early", Plant: func(m *making) bool {
	return m.pick(len(m.Tune.Line), func(i int) bool {
		if !m.inner(i) {
			return false
		}
		before := m.Tune.Line[i-1]
		room := m.seconds((before.Length + before.RestAfter).Quarters())
		ms := m.size(m.Level.OnsetMS)
		if ms/1000 > min(notTouched*room, ownRhythm*m.seconds(1)) {
			return false
		}
		s := m.at(i)
		s.lateMS = -ms
		m.claim(i)
		m.expect(m.here("early", i, s.lateMS, nearMS))
		m.allow(m.here("held_short", i-1, 0, 0))
		return true
	})
}}

// HeldShort lets one note of at least a quarter go too soon: the part missing
// is 1.5 to 2.5 times the part that may be missing, but a quarter of it is left.
var HeldShort = Fault{Name: "held short", NeedsBow: true, Plant: func(m *making) bool {
	return m.pick(len(m.Tune.Line), func(i int) bool {
		if !m.inner(i) || m.Tune.Line[i].Length.Quarters() < 1 || m.seconds(m.at(i).length) < 0.55 {
			return false
		}
		s := m.at(i)
		s.hold = max(0.25, 1-(1-m.Level.Held)*(1.5+m.rng.Float64()))
		s.lateMS = min(s.lateMS, 20)
		m.claim(i)
		m.expect(m.here("held_short", i, s.hold, nearHeld))
		return true
	})
}}

// HeldLong holds one stopped note far into the rest written after it.
var HeldLong = Fault{Name: "held long", NeedsBow: true, Plant: func(m *making) bool {
	return m.pick(len(m.Tune.Line), func(i int) bool {
		line := m.Tune.Line
		if !m.inner(i) || line[i].Open() || line[i].RestAfter == 0 {
			return false
		}
		s := m.at(i)
		most := 1 + 0.85*line[i].RestAfter.Quarters()/s.length
		least := 1 + (1-m.Level.Held)*1.5
		if most < least {
			return false
		}
		s.hold = least + (most-least)*m.rng.Float64()
		m.claim(i)
		m.expect(m.here("held_long", i, s.hold, nearHeld))
		return true
	})
}}

// in lists the notes of the line in one measure, one time round.
func (m *making) in(measure, pass int) []int {
	var steps []int
	for i, s := range m.Tune.Line {
		if s.Measure == measure && s.Pass == pass {
			steps = append(steps, i)
		}
	}
	return steps
}

// inQuarters says that a note's measure counts quarter notes.
func (m *making) inQuarters(step int) bool {
	return m.Tune.Piece.Measures[m.Tune.Line[step].Measure].Time.Unit == 4
}

// OtherRhythm plays a measure in another simple rhythm: long–short for each
// even pair of quarters, or even for dotted quarter and eighth.
var OtherRhythm = Fault{Name: "another rhythm", Plant: func(m *making) bool {
	return m.pick(len(m.Tune.Piece.Measures), func(measure int) bool {
		steps := m.in(measure, 1)
		if len(steps) < 2 || !m.inQuarters(steps[0]) || steps[0] < 2 || steps[len(steps)-1] > len(m.Tune.Line)-3 || !m.free(steps...) {
			return false
		}
		for _, step := range append(steps, steps[len(steps)-1]+1) {
			if m.Tune.Line[step].Slurred || m.Tune.Line[step].Articulation != (piece.Articulation{}) {
				return false
			}
		}
		changed := false
		for j := 0; j+1 < len(steps); j++ {
			first, second := m.at(steps[j]), m.at(steps[j+1])
			on := math.Mod(m.Tune.Line[steps[j]].Beat-1, 1) < 1e-6
			if !on || m.Tune.Line[steps[j]].RestAfter > 0 {
				continue
			}
			var by float64
			switch {
			case near(first.length, 1) && near(second.length, 1):
				by = 0.5
			case near(first.length, 1.5) && near(second.length, 0.5):
				by = -0.5
			default:
				continue
			}
			first.length += by
			second.onset += by
			second.length -= by
			changed = true
			j++
		}
		if !changed {
			return false
		}
		m.claim(steps...)
		found := m.here("wrong_rhythm", steps[0], 0.5, nearBeats)
		found.Anywhere = true // the beat is not told
		m.expect(found)
		return true
	})
}}

// Swallowed leaves out a beat: of a rest, or of a note of two beats or more.
var Swallowed = Fault{Name: "beat swallowed", Structural: true, Plant: func(m *making) bool { return m.beat(-1) }}

// AddedBeat waits a beat too long on a long note or in a rest.
var AddedBeat = Fault{Name: "beat added", Structural: true, Plant: func(m *making) bool { return m.beat(1) }}

func (m *making) beat(by float64) bool {
	line := m.Tune.Line
	return m.pick(len(line), func(i int) bool {
		if !m.inner(i) || !m.inQuarters(i) || line[i+1].Measure != line[i].Measure && line[i].RestAfter == 0 {
			return false
		}
		rest, long := line[i].RestAfter.Quarters() >= 1, line[i].Length.Quarters() >= 2
		if !rest && !long {
			return false
		}
		s := m.at(i)
		if !rest {
			s.length += by
		}
		for j := range m.sounds {
			if m.sounds[j].onset > s.onset+1e-9 {
				m.sounds[j].onset += by
			}
		}
		steps := m.in(line[i].Measure, line[i].Pass)
		m.claim(append(steps, i+1)...)
		found := m.here("wrong_rhythm", i, 1, nearBeats)
		// The beat is missed where the next note comes: that measure may be named.
		found.ToMeasure, found.Anywhere = line[i+1].Number, true
		m.expect(found)
		return true
	})
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// SteadyTempo plays the whole take steadily slower or faster than asked.
var SteadyTempo = Fault{Name: "another tempo", NotRecorded: true, Structural: true, Plant: func(m *making) bool {
	share := m.sign() * min(0.36, m.size(m.Level.TempoShare))
	m.playedQPM = m.Tune.QPM * (1 + share)
	m.expect(m.whole("tempo", m.playedQPM, 0.03*m.playedQPM))
	return true
}}

// DriftingTempo speeds up or slows down evenly from the first note to the last
// by 2.5 to 4 times the tolerance, but no more than a third.
var DriftingTempo = Fault{Name: "drifting tempo", NotRecorded: true, Structural: true, Plant: func(m *making) bool {
	share := m.sign() * min(0.33, m.Level.TempoShare*(2.5+1.5*m.rng.Float64()))
	last := m.sounds[len(m.sounds)-1]
	length := last.onset + last.length
	m.tempo = func(q float64) float64 { // the speed is 1 + share·q/length
		return length / share * math.Log1p(share*q/length)
	}
	m.expect(m.whole("tempo", 0, 0))
	return true
}}
