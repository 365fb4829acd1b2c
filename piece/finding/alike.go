package finding

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece"
	"endpin/piece/words"
)

// Of the notes written alike, how many must have been played as one other to be told once:
// so many, and half (design); and how near whole semitones they lie, cents: as near as a hand
// may lie off that is let pass at the intermediate level.
const (
	wrongAlike = 3
	alikeNear  = 18.0
)

// alike are notes written alike that were played alike as another: a sharp or a flat of the
// key was forgotten, or a note learnt wrong.
type alike struct {
	notes     []int // of the line, in order
	semitones int   // that they sounded higher than written
}

// playedAlike finds the notes that were played alike as others. Their cents are from then
// on those of what was played: of the hand and the reference they tell as any other does.
func (ev *evidence) playedAlike() (all []alike) {
	var heard []float64
	byName := map[words.Note][]int{}
	var names []words.Note
	for i := range ev.line {
		if math.IsNaN(ev.cents[i]) || !ev.pitched(i) {
			continue
		}
		name := ev.noteName(i)
		if byName[name] == nil {
			names = append(names, name)
		}
		heard, byName[name] = append(heard, ev.cents[i]), append(byName[name], i)
	}
	if len(heard) == 0 {
		return nil
	}
	usual := robust.Median(heard)
	off := func(i int) int { return int(math.Round((ev.cents[i] - usual) / 100)) }
	wholly := func(same []int) bool {
		var cents []float64
		for _, i := range same {
			cents = append(cents, ev.cents[i]-usual-100*float64(off(i)))
		}
		return math.Abs(robust.Median(cents)) < alikeNear
	}
	for _, name := range names {
		by := map[int][]int{}
		for _, i := range byName[name] {
			by[off(i)] = append(by[off(i)], i)
		}
		for _, i := range byName[name] { // the first that are enough: no two sets are half and more, but of a tie
			same := by[off(i)]
			if off(i)%12 != 0 && len(same) >= wrongAlike && 2*len(same) >= len(byName[name]) && wholly(same) && !ev.handDid(same, off) {
				all = append(all, alike{same, off(i)})
				break
			}
		}
	}
	for _, a := range all {
		for _, i := range a.notes {
			ev.cents[i] -= 100 * float64(a.semitones)
		}
	}
	return all
}

// handDid reports whether the hands that played notes alike played most of their other
// notes as far off: then it was the hand.
func (ev *evidence) handDid(same []int, off func(int) int) bool {
	frames := map[int]bool{}
	name := ev.noteName(same[0])
	for _, i := range same {
		if f := ev.plan.Notes[i]; f.Stopped() {
			frames[f.Frame] = true
		}
	}
	others, with := 0, 0
	for i, f := range ev.plan.Notes {
		if f.Stopped() && frames[f.Frame] && !math.IsNaN(ev.cents[i]) && ev.noteName(i) != name {
			others++
			if off(i) == off(same[0]) {
				with++
			}
		}
	}
	return 2*with > others
}

// tellAlike tells once of notes that were played alike as others.
func (t *take) tellAlike() {
	for k := range t.others {
		a := &t.others[k]
		first := &t.match(a.notes[0]).Note
		f := Finding{Kind: WrongNote, Value: float64(a.semitones), Trust: dsp.Fair, Spread: first.Spread, Tolerance: halfSemitone, Notes: len(a.notes), Said: t.alikeText(a), Located: true}
		for n, i := range a.notes {
			t.wrong[i] = true
			if t.match(i).Note.Trust == dsp.Sure {
				f.Trust = dsp.Sure // each bears the others out
			}
			if n > 0 {
				f.Places = append(f.Places, t.placeOf(i))
			}
		}
		t.add(f, a.notes[0], a.notes[len(a.notes)-1])
	}
}

// inOctaves tells once of a passage that was played an octave away: of so many of the wrong notes,
// and half of what was heard between them. The notes come in order.
func (t *take) inOctaves(all []Finding) (told []Finding) {
	heard := func(from, to int) (n int) {
		for i := from; i <= to; i++ {
			if !math.IsNaN(t.cents[i]) {
				n++
			}
		}
		return n
	}
	for len(all) > 0 {
		f := all[0]
		run := []int{0}
		for k := 1; k < len(all) && math.Abs(f.Value) == piece.Octave; k++ {
			if all[k].Value == f.Value && 2*(len(run)+1) >= heard(f.First, all[k].First) {
				run = append(run, k)
			}
		}
		if len(run) < wrongAlike {
			run = run[:1]
		} else {
			last := &all[run[len(run)-1]]
			f.Last, f.ToMeasure, f.Notes, f.Located = last.First, last.Measure, len(run), true
			f.Said = words.Of("finding.wrong_note.octaves-"+upDown(f.Value, "higher", "lower")+one(f.Measure == f.ToMeasure), "n", len(run), "measure", f.Measure, "to", f.ToMeasure)
		}
		for n, k := range run {
			if n > 0 {
				f.Places = append(f.Places, t.placeOf(all[k].First))
			}
			if all[k].Trust == dsp.Sure {
				f.Trust = dsp.Sure
			}
		}
		if len(run) > 1 {
			t.tell(&f)
		}
		told = append(told, f)
		for n := len(run) - 1; n >= 0; n-- {
			all = slices.Delete(all, run[n], run[n]+1)
		}
	}
	return told
}

// soundedHigher is by how many cents a note of the line was played higher, as another.
func (ev *evidence) soundedHigher(i int) float64 {
	for _, a := range ev.others {
		for _, k := range a.notes {
			if k == i {
				return 100 * float64(a.semitones)
			}
		}
	}
	return 0
}
