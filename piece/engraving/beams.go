package engraving

import (
	"math"

	"endpin/piece"
)

// beamGroups gives the notes that share a beam: as the file has it where it has
// beams, else by the beat; rests and longer notes divide.
func beamGroups(m *piece.Measure) [][]int {
	file := false
	for i := range m.Notes {
		file = file || m.Notes[i].Beam != "" && !m.Notes[i].Grace
	}
	var groups [][]int
	var g []int
	flush := func() {
		if len(g) > 1 {
			groups = append(groups, g)
		}
		g = nil
	}
	beat := beamBeat(m.Time)
	shift := piece.Ticks(0) // a pickup counts from its end
	if full := m.Time.Beat() * piece.Ticks(m.Time.Beats); m.Implicit && full > m.Length {
		shift = full - m.Length
	}
	last := piece.Ticks(-1)
	for i := range m.Notes {
		n := &m.Notes[i]
		if n.Grace {
			continue
		}
		if n.Rest || flagsOf(n) == 0 || file && n.Beam == "" {
			flush()
			continue
		}
		b := (n.Start + shift) / beat
		if file && n.Beam == "begin" || !file && b != last {
			flush()
		}
		g, last = append(g, i), b
		if file && n.Beam == "end" {
			flush()
		}
	}
	flush()
	return groups
}

// beamBeat is what one beam may span: the beat; three eighths in compound time;
// a measure of 3/8.
func beamBeat(t piece.Time) piece.Ticks {
	switch {
	case t.Unit >= 8 && t.Beats%3 == 0:
		return 3 * t.Beat()
	case t.Unit >= 8:
		return 2 * t.Beat()
	case t.Unit == 0:
		return piece.Quarter
	}
	return min(t.Beat(), 2*piece.Quarter)
}

// stems gives each note its stem: up below the middle line, down on it and
// above; beamed notes share the stem of the one farthest from the middle
// (Gould, Behind Bars, stem direction, from memory).
func stems(m *piece.Measure, groups [][]int) []int {
	out := make([]int, len(m.Notes))
	for i := range m.Notes {
		n := &m.Notes[i]
		if n.Rest || valueOf(n) < 2 {
			continue
		}
		out[i] = direction(heightOf(m.Clef, n.Spelling.Degree()) - 2)
		if n.Grace {
			out[i] = -1
		}
	}
	for _, g := range groups {
		far := 0.0
		for _, i := range g {
			if d := heightOf(m.Clef, m.Notes[i].Spelling.Degree()) - 2; math.Abs(d) > math.Abs(far) || math.Abs(d) == math.Abs(far) && d < far {
				far = d
			}
		}
		for _, i := range g {
			out[i] = direction(far)
		}
	}
	return out
}

// direction of a stem whose head lies below the middle line by d.
func direction(d float64) int {
	if d > 0 {
		return -1
	}
	return 1
}

// beam is a straight line over stems.
type beam struct{ x, y, slope float64 }

func (b beam) at(x float64) float64 { return b.y + b.slope*(x-b.x) }

const (
	stemLength  = 3.5 // an octave (Gould, from memory)
	shortest    = 2.6
	steepest    = 0.25 // of a beam, and 1.25 spaces in all
	beamAdvance = beamThickness + beamSpacing
)

// layBeam lays the first beam over a group: xs where the stems are, ys where the
// heads are, dir of the stems.
func layBeam(xs, ys []float64, flags int, dir int) beam {
	n, d := len(xs), float64(dir)
	dx := xs[n-1] - xs[0]
	rise := (ys[n-1] - ys[0]) * 0.5
	for _, y := range ys[1 : n-1] { // an inner note nearer the beam than both ends: level
		if d*y >= d*ys[0] && d*y >= d*ys[n-1] {
			rise = 0
		}
	}
	rise = max(-1.25, min(1.25, rise))
	slope := max(-steepest, min(steepest, rise/max(dx, 0.1)))
	length := shortest + beamAdvance*float64(max(flags-1, 0))
	ideal := stemLength + beamAdvance*float64(max(flags-2, 0))
	b := beam{xs[0], ys[0] + d*ideal, slope}
	// The mean stem is ideal, the shortest long enough, and no stem ends before
	// the middle line.
	sum := 0.0
	for i := range xs {
		sum += d * (b.at(xs[i]) - ys[i])
	}
	b.y += d * (ideal - sum/float64(n))
	for i := range xs {
		if lack := length - d*(b.at(xs[i])-ys[i]); lack > 0 {
			b.y += d * lack
		}
		if lack := d * (2 - b.at(xs[i])); lack > 0 {
			b.y += d * lack
		}
	}
	return b
}
