package piece

import "slices"

// repeated is one stretch of music between repeat signs, with the endings that
// close it.
type repeated struct {
	from   int   // the measure gone back to
	rounds int   // how many times it is played in all
	named  []int // the rounds that its endings name, in order
}

// none says that a measure belongs to no repeat.
const none = -1

// form is what the repeat signs and endings of a piece mean, worked out once
// before anything is played. The slices go by measure and hold an index into
// repeats, or none.
type form struct {
	repeats []repeated
	sign    []int // the repeat that this measure's sign goes back in
	ending  []int // the repeat whose bracket this measure stands under
	last    []int // the repeat that this measure is the last of
}

// formOf pairs every sign that goes back with the place that it goes back to:
// the nearest open forward sign (so that repeats may be nested); where there
// is none, the measure after the last repeat, or the beginning.
func formOf(measures []Measure) form {
	n := len(measures)
	f := form{sign: slices.Repeat([]int{none}, n), ending: slices.Repeat([]int{none}, n), last: slices.Repeat([]int{none}, n)}
	var open []int
	after := 0
	close := func(last int, r repeated) {
		r.from = after
		if k := len(open); k > 0 {
			r.from, open = open[k-1], open[:k-1]
		}
		after = last + 1
		f.last[last] = len(f.repeats)
		f.repeats = append(f.repeats, r)
	}
	hasJump := slices.ContainsFunc(measures, func(m Measure) bool { return m.Jump != NoJump })

	for i := 0; i < n; {
		m := &measures[i]
		if m.RepeatStart {
			open = append(open, i)
		}
		if m.Coda && len(open) == 0 {
			after = i // a repeat in the coda stays in the coda
		}
		if len(m.Endings) == 0 {
			if m.RepeatTimes > 0 {
				f.sign[i] = len(f.repeats)
				close(i, repeated{rounds: m.RepeatTimes})
			}
			i++
			continue
		}
		end := bracketsEnd(measures, i)
		r, goesBack := bracketed(measures[i:end])
		if goesBack || hasJump { // else the brackets are played one after another
			for j := i; j < end; j++ {
				f.ending[j] = len(f.repeats)
				if measures[j].RepeatTimes > 0 {
					f.sign[j] = len(f.repeats)
				}
			}
			close(end-1, r)
		}
		i = end
	}
	return f
}

// bracketsEnd gives the measure after a row of endings that begins at i.
func bracketsEnd(measures []Measure, i int) int {
	for i++; i < len(measures) && len(measures[i].Endings) > 0 && !measures[i].RepeatStart; i++ {
	}
	return i
}

// bracketed reads a row of endings: it is reached as often as its highest
// number says, and once more where its only bracket goes back and leaves the
// way on unbracketed.
func bracketed(row []Measure) (r repeated, goesBack bool) {
	only := true
	for i := range row {
		r.named = append(r.named, row[i].Endings...)
		goesBack = goesBack || row[i].RepeatTimes > 0
		only = only && slices.Equal(row[i].Endings, row[0].Endings)
	}
	slices.Sort(r.named)
	r.named = slices.Compact(r.named)
	r.rounds = r.named[len(r.named)-1]
	if only && row[len(row)-1].RepeatTimes > 0 {
		r.rounds++
	}
	return r, goesBack
}

// ending gives the number of the bracket taken in a round: its own, else the
// next higher one; 0 where the brackets are past.
func (r repeated) ending(round int) int {
	if i, _ := slices.BinarySearch(r.named, round); i < len(r.named) {
		return r.named[i]
	}
	return 0
}
