package align

import (
	"math"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece"
)

// model is a line, the notes heard, and a supposition of pace and tuning under
// which the least-cost way of one through the other is sought.
type model struct {
	line   []piece.Expected
	clock  []float64
	heard  []dsp.Note
	pace   float64 // seconds heard for each nominal second
	octave float64 // semitones
	tuning float64 // semitones
	shift  float64 // of the reference from 440 Hz, semitones: the notes are free of it, the frames are not
	strict bool    // pace and tuning are known well
	tails  []bool  // of the notes heard, those that only ring on, or begin under a ring as another
}

// Costs. A note that fits costs nothing; all else is weighed against leaving a
// note out and putting one in.
const (
	missingCost = 1.6
	extraCost   = 1.6
	wrongCost   = 2.4 // another pitch in its place: less than one left out and one put in
	octaveOff   = 1.5 // a tracker's slip, or the string's octave
	timeMost    = 1.8
	jumpCost    = 4.5  // going back, or skipping
	jumpInside  = 0.8  // and more where it does not lead to the start of a measure
	outsideCost = 0.25 // a note before the first or after the last
	outsideMost = 5.0
	lateStart   = 2.0 // beginning elsewhere than at the beginning
	partCost    = 4.0 // most for playing a part of the line only: less than a jump, or one note would be taken for its other end
	reward      = 1.0 // for each note matched: hearing nothing must not be the best way through
	maxExtras   = 4
	maxMissing  = 6
	tailCost    = 1.0 // what only rings on is hardly a note, nor what becomes another at once
	landsOn     = 1.0 // no one begins, or goes back to, a note whose pitch costs more
	beam        = 9.0 // how far behind the best a way may fall before it is given up
)

// pitchCost weighs a pitch heard against the one expected. A hand that landed
// about a semitone off displaces all its notes: that is not a wrong note yet.
func (m *model) pitchCost(i, j int) float64 {
	n := &m.heard[j]
	off := math.Abs(n.Pitch - m.tuning - m.octave - float64(m.line[i].MIDI))
	cost := wrongCost
	switch {
	case off < 0.5:
		cost = 0.2 * (off / 0.5) * (off / 0.5)
	case off < 1.6:
		cost = 0.2 + (off-0.5)*1.0
	case math.Abs(off-12) < 0.6 || math.Abs(off-24) < 0.6:
		cost = octaveOff
	case off < 3:
		cost = 1.9
	}
	if n.Trust == dsp.NotSure {
		cost = 0.5 + 0.5*cost
	}
	if j < len(m.tails) && m.tails[j] {
		cost += tailCost
	}
	return cost
}

// timeCost weighs the time between two notes heard against that expected.
func (m *model) timeCost(i0, i, j0, j int) float64 {
	want := (m.clock[i] - m.clock[i0]) * m.pace
	got := m.heard[j].Onset - m.heard[j0].Onset
	scale := 0.06 + 0.30*want
	if m.strict {
		scale = 0.06 + 0.20*want
	}
	d := (got - want) / scale
	if d *= 0.5 * d; d < timeMost {
		return d
	}
	return timeMost
}

func (m *model) extra(j int) float64 {
	switch {
	case m.heard[j].Trust == dsp.NotSure:
		return 0.5 * extraCost
	case m.tails[j] || m.bitOf(j, j+1) || m.bitOf(j, j-1):
		return 0.3 * extraCost
	case m.heard[j].Strength < 2 && j > 0 && math.Abs(m.heard[j].Pitch-m.heard[j-1].Pitch) < 0.5:
		return 0.6 * extraCost // a note split in two
	}
	return extraCost
}

// bitOf tells whether a short note hangs together with its neighbour, about a
// semitone off: the scoop or the wavering of that one.
func (m *model) bitOf(j, with int) bool {
	if with < 0 || with >= len(m.heard) {
		return false
	}
	a, b := &m.heard[j], &m.heard[with]
	gap := math.Max(a.Onset, b.Onset) - math.Min(a.Offset, b.Offset)
	return a.Offset-a.Onset < 0.25 && a.Offset-a.Onset < b.Offset-b.Onset && gap < 0.03 && math.Abs(a.Pitch-b.Pitch) < 1.3 &&
		(a.Kind == dsp.PitchChange || b.Kind == dsp.PitchChange)
}

// missing is dearer for a note alone than for one that repeats its neighbour,
// whose onset is easily not heard.
func (m *model) missing(i int) float64 {
	if i > 0 && m.line[i].MIDI == m.line[i-1].MIDI {
		return 0.7 * missingCost
	}
	return missingCost
}

func (m *model) startsMeasure(i int) bool {
	return i == 0 || m.line[i].Measure != m.line[i-1].Measure || m.line[i].Pass != m.line[i-1].Pass
}

// cell says that note j is note i of the line, at the least cost so far, and
// which cell came before.
type cell struct {
	i        int32
	fromJ    int32 // -1: the first
	fromCell int32
	jump     bool
	cost     float64
}

// way is a whole way through.
type way struct {
	model *model
	cost  float64
	steps []step
}

type step struct {
	i, j int
	jump bool
}

type arrival struct {
	cost            float64
	fromJ, fromCell int32
}

// align finds the least-cost way (dynamic programming with a beam).
func (m *model) align() *way {
	n, size := len(m.heard), len(m.line)
	m.tails = make([]bool, n)
	for j := range m.tails {
		m.tails[j] = m.tail(j) || m.underRing(j)
	}
	rows := make([][]cell, n)
	// arrivals at the next rows, a ring
	ring := make([][]arrival, maxExtras+1)
	for r := range ring {
		ring[r] = make([]arrival, size)
		reset(ring[r])
	}
	extras := make([]float64, n+1) // running sums
	missing := make([]float64, size+1)
	for j := range m.heard {
		extras[j+1] = extras[j] + m.extra(j)
	}
	for i := range m.line {
		missing[i+1] = missing[i] + m.missing(i)
	}
	bestAt := make([]float64, n) // of each row
	bestCell := make([]int32, n)
	jumpFrom, jumpJ := math.Inf(1), -1
	endBest, endJ, endCell := math.Inf(1), -1, int32(0)
	for j := 0; j < n; j++ {
		arrivals := ring[j%len(ring)]
		before := math.Min(outsideMost, outsideCost*float64(j))
		if j > 0 { // from the best row before, whatever came in between
			jumpFrom += m.extra(j - 1)
			if bestAt[j-1] < jumpFrom {
				jumpFrom, jumpJ = bestAt[j-1], j-1
			}
		}
		row := make([]cell, 0, 32)
		bestAt[j] = math.Inf(1)
		for i := 0; i < size; i++ {
			a := arrivals[i]
			c := cell{i: int32(i), fromJ: a.fromJ, fromCell: a.fromCell, cost: a.cost}
			pitch := m.pitchCost(i, j)
			start := before
			if i > 0 {
				start += math.Min(partCost, lateStart+missing[i]/4)
			}
			if start < c.cost && pitch < landsOn {
				c.cost, c.fromJ = start, -1
			}
			if jumpJ >= 0 && pitch < landsOn {
				jump := jumpFrom + jumpCost
				if !m.startsMeasure(i) {
					jump += jumpInside
				}
				if jump < c.cost {
					c.cost, c.fromJ, c.fromCell, c.jump = jump, int32(jumpJ), bestCell[jumpJ], true
				}
			}
			if math.IsInf(c.cost, 1) || c.cost > bestAt[j]+beam {
				continue
			}
			c.cost += pitch - reward
			if c.cost < bestAt[j] {
				bestAt[j], bestCell[j] = c.cost, int32(len(row))
			}
			row = append(row, c)
		}
		rows[j] = row
		reset(arrivals)
		after := math.Min(outsideMost, outsideCost*float64(n-1-j))
		for k := range row {
			c := &row[k]
			if c.cost > bestAt[j]+beam {
				continue
			}
			i := int(c.i)
			end := c.cost + after
			if i < size-1 {
				end += math.Min(partCost, lateStart+(missing[size]-missing[i+1])/4)
			}
			if end < endBest {
				endBest, endJ, endCell = end, j, int32(k)
			}
			for nj := j + 1; nj <= min(n-1, j+maxExtras); nj++ {
				to := ring[nj%len(ring)]
				put := c.cost + extras[nj] - extras[j+1]
				for ni := i + 1; ni <= min(size-1, i+maxMissing); ni++ {
					cost := put + missing[ni] - missing[i+1]
					if cost < to[ni].cost {
						if cost += m.timeCost(i, ni, j, nj); cost < to[ni].cost {
							to[ni] = arrival{cost, int32(j), int32(k)}
						}
					}
				}
			}
		}
	}
	if endJ < 0 {
		return nil
	}
	w := &way{model: m, cost: endBest}
	for j, k := endJ, endCell; ; {
		c := rows[j][k]
		w.steps = append(w.steps, step{i: int(c.i), j: j, jump: c.jump})
		if c.fromJ < 0 {
			break
		}
		j, k = int(c.fromJ), c.fromCell
	}
	for a, b := 0, len(w.steps)-1; a < b; a, b = a+1, b-1 {
		w.steps[a], w.steps[b] = w.steps[b], w.steps[a]
	}
	return w
}

func reset(row []arrival) {
	for i := range row {
		row[i] = arrival{cost: math.Inf(1), fromJ: -1}
	}
}

// fit is the mean cost of the notes heard from the first to the last matched.
func (w *way) fit() float64 {
	first, last := w.steps[0], w.steps[len(w.steps)-1]
	return (w.cost + reward*float64(len(w.steps))) / float64(max(last.j-first.j+1, (last.i-first.i+1)*2/3, 1))
}

// agreeing counts notes heard at the pitch expected.
func (w *way) agreeing() int {
	n := 0
	for _, s := range w.steps {
		if w.model.pitchCost(s.i, s.j) < 0.3 {
			n++
		}
	}
	return n
}

// pace is the seconds heard for each nominal one, from the way's intervals.
func (w *way) pace() float64 {
	var ratios []float64
	for k := 1; k < len(w.steps); k++ {
		a, b := w.steps[k-1], w.steps[k]
		if want := w.model.clock[b.i] - w.model.clock[a.i]; !b.jump && want > 0 {
			ratios = append(ratios, (w.model.heard[b.j].Onset-w.model.heard[a.j].Onset)/want)
		}
	}
	if p := robust.MedianOf(ratios); p > 0.05 {
		return p
	}
	return w.model.pace
}

// tuning is how far the notes lie from where they are expected, semitones.
func (w *way) tuning() float64 {
	var off []float64
	for _, s := range w.steps {
		if d := w.model.heard[s.j].Pitch - w.model.octave - float64(w.model.line[s.i].MIDI); math.Abs(d) < 0.8 {
			off = append(off, d)
		}
	}
	if len(off) == 0 {
		return 0
	}
	return robust.MedianOf(off)
}
