package align

import (
	"math"

	"endpin/dsp"
	"endpin/dsp/robust"
)

// way is a whole way through.
type way struct {
	model *model
	cost  float64
	steps []step
}

// step says that note j heard is note i of the line.
type step struct {
	i, j int
	jump bool // back or ahead, to here
}

// likely tells whether a way shows that the piece was played. Of a take that goes on before
// and behind what fits, something fits by chance in one of so many places: what a place in
// the take is worth is the logarithm of how many there are, as a part of the line has its
// price (see part).
func (w *way) likely() bool {
	return -w.inside() > math.Log(float64(w.places())) && w.fit() <= worstFit && (w.agreeing() >= agreeLeast || w.agreeing() >= len(w.model.line))
}

// places is in how many places of the take the way might lie, by what else sounded for sure.
func (w *way) places() int {
	n := 1
	for j := range w.model.heard {
		if (j < w.steps[0].j || j > w.steps[len(w.steps)-1].j) && w.model.heard[j].Trust != dsp.NotSure && !w.model.rings[j] {
			n++
		}
	}
	return n
}

// inside is what it costs from the first to the last note matched.
func (w *way) inside() float64 {
	first, last := w.steps[0].j, w.steps[len(w.steps)-1].j
	return w.cost - outsideCost*float64(first+len(w.model.heard)-1-last)
}

// fitNotes of three notes of the line count at least, where fewer were heard.
const fitNotes = 2

// fit is the mean cost of the notes heard from the first to the last matched.
func (w *way) fit() float64 {
	first, last := w.steps[0], w.steps[len(w.steps)-1]
	return (w.inside() + matchReward*float64(len(w.steps))) / float64(max(last.j-first.j+1, (last.i-first.i+1)*fitNotes/3, 1))
}

// agreeing counts notes heard at the pitch expected.
func (w *way) agreeing() int {
	n := 0
	for _, s := range w.steps {
		if w.model.pitchCost(s.i, s.j) < agreeingCost {
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
	if p := robust.MedianOf(ratios); p > slowestPace {
		return p
	}
	return w.model.pace
}

// tuning is how far the notes lie from where they are expected, semitones.
func (w *way) tuning() float64 {
	var off []float64
	for _, s := range w.steps {
		if d := w.model.heard[s.j].Pitch - w.model.octave - float64(w.model.line[s.i].MIDI); math.Abs(d) < tunedWithin {
			off = append(off, d)
		}
	}
	if len(off) == 0 {
		return 0
	}
	return robust.MedianOf(off)
}
