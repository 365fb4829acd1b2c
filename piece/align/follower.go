package align

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece"
)

// Follower follows a player while he plays: the same ways as Align's, at every pace that
// he may have, note by note. What a note is may change with the notes behind it, and is
// settled once so many more were heard as a landing looks ahead.
type Follower struct {
	sounds
	ways []*walk
}

// walk is the search at one pace, and how it stood before each note.
type walk struct {
	*trellis
	before []footing
}

// Follow begins to follow a line; clock as for Align.
func Follow(line []piece.Expected, clock []float64) *Follower {
	f := &Follower{}
	score := scoreOf(line, clock)
	for k := -pacesEachWay; k <= pacesEachWay; k++ {
		m := &model{score: score, pace: math.Exp2(float64(k) / pacesAnOctave)}
		f.ways = append(f.ways, &walk{trellis: m.trellis()})
	}
	return f
}

// Hear takes in a note as it begins. One that begins with the last, or so soon after it
// that it is still the same attack, takes its place.
func (f *Follower) Hear(n dsp.Note) {
	heard := f.heard
	if last := len(heard) - 1; last >= 0 && n.Onset < heard[last].Onset+oneAttack {
		n.Onset = min(n.Onset, heard[last].Onset)
		heard = heard[:last]
	}
	f.take(append(heard, n))
}

// Revise takes in all that was heard so far, as it is known by now. What began after the
// last of these notes stays as Hear had it.
func (f *Follower) Revise(heard []dsp.Note) {
	if len(heard) == 0 {
		return
	}
	after := f.heard
	for len(after) > 0 && after[0].Onset < heard[len(heard)-1].Onset+oneAttack {
		after = after[1:]
	}
	f.take(append(slices.Clone(heard), after...))
}

const (
	oneAttack = 0.1  // s: no note is so short
	onsetMove = 0.02 // s by which an onset may move, and a pitch,
	pitchMove = 0.1  // semitones, and be what was heard before
)

// take goes on from the first note that is heard otherwise than before.
func (f *Follower) take(heard []dsp.Note) {
	from := 0
	for from < min(len(heard), len(f.heard)) && math.Abs(heard[from].Onset-f.heard[from].Onset) < onsetMove && math.Abs(heard[from].Pitch-f.heard[from].Pitch) < pitchMove {
		from++
	}
	f.sounds = soundsOf(heard)
	least := math.Inf(1)
	for _, w := range f.ways {
		w.sounds = f.sounds
		w.again(max(0, from-aheadNotes))
		least = min(least, w.here().cost)
	}
	f.ways = slices.DeleteFunc(f.ways, func(w *walk) bool { return w.here().cost > least+beamWidth })
}

// again goes on from a note heard.
func (w *walk) again(from int) {
	from = min(from, len(w.before))
	if from < len(w.before) {
		w.footing, w.rows, w.best = w.before[from], w.rows[:from], w.best[:from]
	}
	w.before = w.before[:from]
	for j := from; j < len(w.heard); j++ {
		w.before = append(w.before, w.footing)
		w.fill(j)
	}
}

// here is where the least-cost way stands: at the last note heard, or before it.
func (w *walk) here() foothold {
	last := len(w.heard) - 1
	if put := w.away.cost + w.extraAt(last); put < w.best[last].cost {
		return foothold{put, w.away.j, w.away.cell}
	}
	return w.best[last]
}

// At gives the note of the line that the player has come to, -1 where that is not
// known, whether it is the last note heard, and for how many notes he has gone on to it
// since he leapt, as all that was heard since tells.
func (f *Follower) At() (note int, now bool, onward int) {
	var at *walk
	best := nowhere
	for _, w := range f.ways {
		if len(f.heard) == 0 {
			continue
		}
		if h := w.here(); h.j >= 0 && h.cost < best.cost {
			at, best = w, h
		}
	}
	if at == nil {
		return -1, false, 0
	}
	c := at.rows[best.j][best.cell]
	note, now = int(c.i), best.j == len(f.heard)-1
	for ; !c.jump && c.fromJ >= 0; onward++ {
		c = at.rows[c.fromJ][c.fromCell]
	}
	return note, now, onward
}
