package closelook

import (
	"math"
	"sort"

	"endpin/piece"
	"endpin/piece/finding"
)

// kept is the beat that a player keeps, as the hearing tells it: the time in the
// recording of every moment of the music.
type kept struct {
	ticks []piece.Ticks
	times []float64
	pace  float64 // s a tick, of the take
}

// newKept takes the beat from the notes: each lies so much after it. Of tries
// that were given up only the onsets are known. It is nil where nothing is.
func newKept(notes []heardNote, h *finding.Hearing) *kept {
	k := &kept{pace: 60 / 80. / float64(piece.Quarter)}
	for _, qpm := range []float64{h.TempoAsked, h.TempoHeard} {
		if qpm > 0 && !math.IsInf(qpm, 0) {
			k.pace = 60 / qpm / float64(piece.Quarter)
		}
	}
	for _, judged := range []bool{true, false} {
		for _, n := range notes {
			if n.Onset == nil || judged && n.LateMS == nil {
				continue
			}
			at := *n.Onset
			if judged {
				at -= *n.LateMS / 1000
			}
			if m := len(k.ticks); m > 0 && (n.e.Onset <= k.ticks[m-1] || at <= k.times[m-1]) {
				continue
			}
			k.ticks, k.times = append(k.ticks, n.e.Onset), append(k.times, at)
		}
		if len(k.ticks) > 0 {
			return k
		}
	}
	return nil
}

// at is when a moment of the music comes, s.
func (k *kept) at(t piece.Ticks) float64 {
	return k.between(sort.Search(len(k.ticks), func(i int) bool { return k.ticks[i] > t }), t)
}

// until is when what lies before a moment of the music is over, s. It is another
// time than at where the player stopped there.
func (k *kept) until(t piece.Ticks) float64 {
	return k.between(sort.Search(len(k.ticks), func(i int) bool { return k.ticks[i] >= t }), t)
}

// between interpolates before anchor i, where the player went on there; a stop
// or going back is no tempo.
func (k *kept) between(i int, t piece.Ticks) float64 {
	if i == 0 {
		return k.times[0] - float64(k.ticks[0]-t)*k.pace
	}
	from, at := k.ticks[i-1], k.times[i-1]
	if i < len(k.ticks) {
		if pace := (k.times[i] - at) / float64(k.ticks[i]-from); pace > k.pace/2 && pace < 2*k.pace {
			return at + float64(t-from)*pace
		}
	}
	return at + float64(t-from)*k.pace
}
