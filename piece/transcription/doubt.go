package transcription

import (
	"math"
	"slices"

	"endpin/piece"
)

const (
	mention = 0.05 // the chance of another rhythm from which it is worth a person's look
	tries   = 400  // ways tried through one measure
)

// doubts asks of each measure how much dearer the best other rhythm of it is, the places
// around it as they are.
func (w *way) doubts(sounds []Sound) (all []Doubt) {
	places := w.metre.places()
	for from := 0; from < len(w.at); {
		to := from + 1
		for to < len(w.at) && w.at[to]/w.metre.bar == w.at[from]/w.metre.bar {
			to++
		}
		if chance := w.otherwise(sounds, from, to, places); chance > mention {
			all = append(all, Doubt{Note: from, About: OfRhythm, Chance: chance})
		}
		from = to
	}
	return all
}

// otherwise is the chance that the sounds from one to another stand elsewhere in their
// measure, by the price of the next best way from the sound before them to the two after.
func (w *way) otherwise(sounds []Sound, from, to int, places []piece.Ticks) float64 {
	end := min(to+2, len(w.at))
	if from == 0 || end <= to {
		from++ // what comes in does not move, nor does what goes out
	}
	if from >= to {
		return 0
	}
	free, last := len(sounds), len(sounds)
	if to < end {
		free, last = w.sound[to], w.sound[end-1]+1
	}
	now := []*hypothesis{w.hyps[from-1]}
	for i, k := w.sound[from], from; i < last; i++ {
		is := k < end && i == w.sound[k] // a note, as it is written
		switch {
		case i < free:
			next := w.everyWay(now, sounds, i, places)
			if sounds[i].Soft {
				next = append(next, now...)
			}
			now = next
		case is:
			now = w.there(now, sounds, i, w.at[k])
		}
		if is {
			k++
		}
		if len(now) > tries {
			slices.SortFunc(now, byCost)
			now = now[:tries]
		}
	}
	best, other := math.Inf(1), math.Inf(1)
	for _, h := range now {
		if w.sameWay(h, from, end) {
			best = min(best, h.cost)
		} else {
			other = min(other, h.cost)
		}
	}
	if math.IsInf(other, 1) {
		return 0
	}
	return 1 / (1 + math.Exp(min(other-best, 50)))
}

// everyWay goes on to every place that a sound may have.
func (w *way) everyWay(now []*hypothesis, sounds []Sound, i int, places []piece.Ticks) (next []*hypothesis) {
	for _, h := range now {
		gap := (sounds[i].Onset - h.when) / h.period
		h.each(gap*0.5, gap*1.6, w.metre, places, func(at piece.Ticks) { next = append(next, h.to(at, sounds[i], i, w.metre, w.beat)) })
	}
	return next
}

// there goes on to the place where a sound stands.
func (w *way) there(now []*hypothesis, sounds []Sound, i int, place piece.Ticks) (next []*hypothesis) {
	for _, h := range now {
		if place > h.at {
			next = append(next, h.to(place, sounds[i], i, w.metre, w.beat))
		}
	}
	return next
}

// sameWay tells whether a way has the notes that are written, where they are.
func (w *way) sameWay(h *hypothesis, from, end int) bool {
	for i := end - 1; i >= from; i, h = i-1, h.from {
		if h.at != w.at[i] || h.sound != w.sound[i] {
			return false
		}
	}
	return true
}
