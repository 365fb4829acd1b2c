package finding

import (
	"math"

	"endpin/dsp"
	"endpin/piece/pace"
	"endpin/piece/words"
)

// What is a pause (design).
const (
	pauseBeats   = 0.5
	waitLeast    = 0.4 // s
	pausesAsOne  = 3   // are told once
	countedBeats = 2   // long notes, and rests, are counted: only there a whole beat too many is a miscount
)

// leastPause is how long the beat must be put off before a note for a pause, s.
func (ev *evidence) leastPause(i int) float64 {
	return math.Max(waitLeast, pauseBeats*ev.match(i).Rate*ev.secondsPerBeat(i))
}

// mayWait reports whether the page lets the beat wait before a note.
func (ev *evidence) mayWait(i int) bool {
	if i == 0 {
		return false
	}
	e := &ev.line[i-1]
	return e.Articulation.Fermata || e.Articulation.Breath || e.Free
}

// countable reports whether there is something to count before a note: a rest, or a long
// note. There a beat too many is a beat too many, and elsewhere a pause.
func (ev *evidence) countable(i int) bool {
	return i > 0 && (ev.line[i-1].RestAfter > 0 || ev.beatsOf(i-1) >= countedBeats)
}

// waits counts the pauses of a take that are no beat counted too many.
func (t *take) waits() (n int) {
	for i := 1; i < t.align.Last; i++ {
		m := t.match(i)
		_, _, whole := t.beatsOff(i)
		if m.Heard >= 0 && m.Step >= t.leastPause(i) && !(whole && t.countable(i)) && !t.mayWait(i) {
			n++
		}
	}
	return n
}

// miscounted tells whether a beat counted too many, off a whole one by so many beats, is
// likelier than one more wait of a player who waits so many times elsewhere. A beat counted
// is as near a whole one as onsets scatter; a wait is as long as it happens to be.
func (t *take) miscounted(i int, off float64, waits int) bool {
	scatter := math.Sqrt2 * math.Max(t.beat.jitter, leastJitter) / 1000
	by := math.Abs(off) * t.match(i).Rate * t.secondsPerBeat(i)
	return by < scatter*math.Sqrt(2*math.Log(math.Max(1, pace.PutOff/scatter/float64(1+waits))))
}

// paused tells of pauses before notes of the line.
func (t *take) paused(before []int) {
	if len(before) < pausesAsOne {
		for _, i := range before {
			t.pause(i, i, Finding{Value: t.match(i).Step, Notes: 1, Trust: sureUnless(t.match(i).Note.Trust == dsp.NotSure || t.match(max(0, i-1)).Guessed)})
		}
		return
	}
	shifts := map[int]bool{}
	for _, s := range t.plan.Shifts {
		shifts[s.Note] = true
	}
	f := Finding{Notes: len(before), Trust: dsp.Sure}
	atShifts := 0
	for k, i := range before {
		f.Value = math.Max(f.Value, t.match(i).Step)
		if shifts[i] {
			atShifts++
		}
		if k > 0 {
			f.Places = append(f.Places, t.placeOf(i))
		}
	}
	key := "finding.paused.often"
	if 2*atShifts > len(before) {
		key = "finding.paused.shifts"
	}
	first, last := before[0], before[len(before)-1]
	f.Located = true
	f.Said = words.Of(key, "n", len(before), "shifts", atShifts, "measure", t.line[first].Number, "to", t.line[last].Number, "seconds", words.Fixed(f.Value, 1))
	t.pause(first, last, f)
}

func (t *take) pause(first, last int, f Finding) {
	f.Kind, f.Tolerance = Paused, t.leastPause(first)
	t.add(f, first, last)
}

// placeOf is where a note of the line stands.
func (ev *evidence) placeOf(i int) Place {
	e := &ev.line[i]
	return Place{e.Number, e.Pass, round(e.Beat, 3)}
}
