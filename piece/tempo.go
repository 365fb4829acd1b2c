package piece

// Unhurried is the tempo of a piece that tells none, where none is asked for: slow enough to
// read at, quarter notes a minute (common practice, no source).
const Unhurried = 80

// freeFrom is whether the pace may change at a place in a measure, where it may or may not
// as the measure begins. A tempo mark takes the tempo again.
func (m *Measure) freeFrom(free bool, at Ticks) bool {
	since := Ticks(-1)
	for _, f := range m.Flows {
		if f.At <= at && f.At >= since {
			free, since = f.Free, f.At
		}
	}
	for _, t := range m.Tempos {
		if t.At <= at && t.At > since {
			free, since = false, t.At
		}
	}
	return free
}

// TempoAt gives the tempo that the piece itself asks for at a place, in
// quarter notes a minute: the last mark printed at or before it. It is 0 where
// no mark stands before. Measure is an index into Measures, at counts from that
// measure's start. Repeats and jumps take the tempo printed where they lead.
func (p *Piece) TempoAt(measure int, at Ticks) float64 {
	for i := min(measure, len(p.Measures)-1); i >= 0; i-- {
		tempos := p.Measures[i].Tempos
		for j := len(tempos) - 1; j >= 0; j-- {
			if i < measure || tempos[j].At <= at {
				return tempos[j].QPM
			}
		}
	}
	return 0
}
