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
	end := min(to+2, len(sounds))
	if from == 0 || end <= to {
		from++ // what comes in does not move, nor does what goes out
	}
	if from >= to {
		return 0
	}
	now := []*hypothesis{w.hyps[from-1]}
	for i := from; i < end; i++ {
		now = w.everyWay(now, sounds[i].Onset, places, i >= to, w.at[i])
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

// everyWay goes on to every place, or to the one where the sound stands, and keeps every
// way there that is cheap enough.
func (w *way) everyWay(now []*hypothesis, onset float64, places []piece.Ticks, fixed bool, place piece.Ticks) (next []*hypothesis) {
	for _, h := range now {
		if fixed {
			if place > h.at {
				next = append(next, h.to(place, onset, w.metre, w.beat))
			}
			continue
		}
		gap := (onset - h.when) / h.period
		h.each(gap*0.5, gap*1.6, w.metre, places, func(at piece.Ticks) { next = append(next, h.to(at, onset, w.metre, w.beat)) })
	}
	slices.SortFunc(next, func(a, b *hypothesis) int {
		switch {
		case a.cost < b.cost:
			return -1
		case a.cost > b.cost:
			return 1
		}
		return int(a.at - b.at)
	})
	return next[:min(tries, len(next))]
}

func (w *way) sameWay(h *hypothesis, from, end int) bool {
	for i := end - 1; i >= from; i, h = i-1, h.from {
		if h.at != w.at[i] {
			return false
		}
	}
	return true
}
