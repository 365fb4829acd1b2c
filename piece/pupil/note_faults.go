package pupil

// WrongNote plays another pitch, one to five semitones away, in the middle of a
// frame of at least four.
var WrongNote = Fault{Name: "wrong note", Plant: func(m *making) bool {
	return m.inFrame(4, func(step int) bool {
		semitones := int(m.sign()) * (1 + m.rng.Intn(5))
		midi := m.Tune.Line[step].MIDI + semitones
		if midi < 28 || midi > 55 || midi == m.Tune.Line[step-1].MIDI || midi == m.Tune.Line[step+1].MIDI {
			return false
		}
		m.at(step).midi = midi
		m.claim(step)
		m.expect(m.here("wrong_note", step, float64(semitones), 0.5))
		return true
	})
}}

// Missing leaves a note out, one that differs from both neighbours.
var Missing = Fault{Name: "missing", Plant: func(m *making) bool {
	line := m.Tune.Line
	return m.pick(len(line), func(i int) bool {
		if !m.inner(i) || line[i].MIDI == line[i-1].MIDI || line[i].MIDI == line[i+1].MIDI {
			return false
		}
		m.claim(i-1, i, i+1)
		m.expect(m.here("missing", i, 0, 0))
		for j := range m.sounds {
			if m.sounds[j].step == i {
				m.sounds = append(m.sounds[:j], m.sounds[j+1:]...)
				break
			}
		}
		return true
	})
}}

// Extra plays a note too many: in a rest, or in the second half of a note of
// two beats or more. Sometimes it is the same note struck again.
var Extra = Fault{Name: "extra", Plant: func(m *making) bool {
	line := m.Tune.Line
	return m.pick(len(line), func(i int) bool {
		if !m.inner(i) {
			return false
		}
		s := m.at(i)
		inRest := line[i].RestAfter.Quarters() >= 1 && line[i+1].Measure == line[i].Measure
		if !inRest && s.length < 2 {
			return false
		}
		midi := s.midi + []int{-2, -1, 0, 0, 1, 2}[m.rng.Intn(6)]
		if midi < 28 || midi > 55 || midi == m.Tune.Line[i+1].MIDI {
			return false
		}
		extra := sound{step: -1, measure: s.measure, midi: midi, onset: s.onset + s.length, length: 1, hold: 0.8, taken: true}
		found := m.here("extra", i, 0, 0)
		found.Beat += m.beats(i, s.length)
		if !inRest {
			extra.onset, extra.length = s.onset+s.length/2, s.length/2
			found.Beat = line[i].Beat + m.beats(i, s.length/2)
			m.allow(m.here("held_short", i, 0, 0))
			s.hold = 0.45
		}
		m.claim(i, i+1)
		m.sounds = append(m.sounds, extra)
		m.expect(found)
		return true
	})
}}

// Restart stops inside a measure, waits, and plays on from one to three
// measures back, that measure itself included; at least three notes are played
// again.
var Restart = Fault{Name: "restarted", Structural: true, Plant: func(m *making) bool {
	return m.restart(func(stop int) int { return stop - m.rng.Intn(3) }, 0.6+1.4*m.rng.Float64())
}}

// TwoAttempts gives up in the second half and begins again from the first note,
// all in one file.
var TwoAttempts = Fault{Name: "two attempts", Structural: true, Plant: func(m *making) bool {
	return m.restart(func(stop int) int {
		if 2*stop < len(m.Tune.Piece.Measures) {
			return -1
		}
		return 0
	}, 2+2*m.rng.Float64())
}}

func (m *making) restart(back func(stop int) int, pause float64) bool {
	line := m.Tune.Line
	return m.pick(len(line)-4, func(k int) bool {
		i := k + 2 // the last note before the stop
		stop := line[i].Measure
		if line[i+1].Measure != stop || line[i+1].Slurred {
			return false // the stop lies inside a measure
		}
		to := back(stop)
		if to < 0 || len(m.in(to, 1)) == 0 || line[i].Pass != 1 {
			return false
		}
		first := m.in(to, 1)[0]
		if i < first+2 {
			return false // fewer than three notes again might as well be extra ones
		}
		for step := first; step < i; step++ {
			if line[step].Measure > line[step+1].Measure {
				return false // a repeat lies between
			}
		}
		for step := first; step <= i; step++ {
			if !m.free(step) {
				return false
			}
		}
		if line[first].Slurred {
			return false
		}
		stopped := m.at(i)
		resume := stopped.onset + stopped.length + pause*m.playedQPM/60
		by := resume - m.at(first).onset
		var again, kept []sound
		for _, s := range m.sounds {
			if s.step >= first || s.step == -1 && s.onset > m.at(first).onset {
				repeat := s
				repeat.onset += by
				if s.step >= 0 && s.step <= i {
					repeat.lateMS = m.Scatter.OnsetMS * m.rng.NormFloat64()
				}
				again = append(again, repeat)
			}
			if s.step >= 0 && s.step <= i || s.step == -1 && s.onset < stopped.onset {
				kept = append(kept, s)
			}
		}
		m.sounds = append(kept, again...)
		found := Finding{Kind: "restarted", Measure: line[first].Number, ToMeasure: line[i].Number}
		m.expect(found)
		m.allow(m.here("held_short", i, 0, 0))
		return true
	})
}

// KeyForgotten plays every note that the key signature's last sharp or flat raises or
// lowers as if it stood there plain.
var KeyForgotten = Fault{Name: "a sharp or flat forgotten", NeedsPitch: true, Structural: true, Plant: func(m *making) bool {
	var pitch, by int // modulo 12, and semitones
	switch fifths := m.Tune.Piece.Measures[0].Key.Fifths; {
	case fifths > 0:
		pitch, by = (6+7*(fifths-1))%12, -1 // F sharp, then a fifth up each
	case fifths < 0:
		pitch, by = (10-7*(fifths+1))%12, 1 // B flat, then a fifth down each
	}
	var steps []int
	for i, s := range m.Tune.Line {
		if by != 0 && s.MIDI%12 == pitch {
			steps = append(steps, i)
		}
	}
	if len(steps) < 4 || !m.free(steps...) {
		return false
	}
	for _, i := range steps {
		m.at(i).midi += by
	}
	m.claim(steps...)
	f := m.here("wrong_note", steps[0], float64(by), 0.5)
	f.ToMeasure, f.Anywhere = m.Tune.Line[steps[len(steps)-1]].Number, true
	m.expect(f)
	return true
}}
