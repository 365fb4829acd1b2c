package pupil

// LeftOut goes past one to three whole measures, of four notes or more together, and
// plays on behind them as if they were not there.
var LeftOut = Fault{Name: "measures left out", Structural: true, Plant: func(m *making) bool {
	line := m.Tune.Line
	measures := 1 + m.rng.Intn(3)
	starts := func(i int) bool { return i == len(line) || line[i].Measure != line[i-1].Measure }
	return m.pick(len(line), func(first int) bool {
		if first < 4 || !starts(first) || line[first].Measure != line[first-1].Measure+1 {
			return false
		}
		next := first
		for range measures {
			for next++; !starts(next); next++ {
			}
			if next+4 > len(line) || line[next].Measure != line[next-1].Measure+1 {
				return false
			}
		}
		if next-first < 4 || line[first].Slurred || line[next].Slurred || line[next].Grace {
			return false
		}
		alike := true // what follows must not pass for what is left out
		for k := range 3 {
			alike = alike && line[first+k].MIDI == line[next+k].MIDI
		}
		for step := first - 1; step <= next; step++ {
			if !m.free(step) {
				return false
			}
		}
		if alike {
			return false
		}
		m.claim(first-1, next)
		by := m.at(next).onset - m.at(first).onset
		kept := m.sounds[:0:0]
		for _, s := range m.sounds {
			if s.step >= first && s.step < next {
				continue
			}
			if s.step >= next {
				s.onset -= by
			}
			kept = append(kept, s)
		}
		m.sounds = kept
		f := m.here("left_out", first, float64(measures), 0.1)
		f.ToMeasure = line[next-1].Number
		m.expect(f)
		return true
	})
}}
