package timetable

import (
	"math"
	"sort"

	"endpin/piece"
	"endpin/piece/finding"
)

// Kept is the beat that a player keeps in a take, as the hearing tells it: the time in the
// recording of every moment of the line.
type Kept struct {
	ticks []piece.Ticks
	times []float64
	pace  float64 // s a tick, of the take
}

// Note is a note of a hearing at its place in the line.
type Note struct {
	*finding.Note
	At int // index in the line
	E  *piece.Expected
}

// Placed puts notes of a hearing to their places in the line of the whole piece.
func Placed(line []piece.Expected, h *finding.Hearing, notes []finding.Note) (all []Note) {
	by := h.Offset(line)
	for i := range notes {
		n := &notes[i]
		if k := n.Line + by; n.Line >= 0 && k >= 0 && k < len(line) {
			all = append(all, Note{n, k, &line[k]})
		}
	}
	return all
}

// NewKept takes the beat from the notes: each lies so much after it. Of tries
// that were given up only the onsets are known. It is nil where nothing is.
func NewKept(notes []Note, h *finding.Hearing) *Kept {
	k := &Kept{pace: 60 / 80. / float64(piece.Quarter)}
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
			if m := len(k.ticks); m > 0 && (n.E.Onset <= k.ticks[m-1] || at <= k.times[m-1]) {
				continue
			}
			k.ticks, k.times = append(k.ticks, n.E.Onset), append(k.times, at)
		}
		if len(k.ticks) > 0 {
			return k
		}
	}
	return nil
}

// At is when a moment of the music comes, s.
func (k *Kept) At(t piece.Ticks) float64 {
	return k.between(sort.Search(len(k.ticks), func(i int) bool { return k.ticks[i] > t }), t)
}

// Until is when what lies before a moment of the music is over, s. It is another
// time than At where the player stopped there.
func (k *Kept) Until(t piece.Ticks) float64 {
	return k.between(sort.Search(len(k.ticks), func(i int) bool { return k.ticks[i] >= t }), t)
}

// Moment is where in the music a time of the recording lies, the other way round.
func (k *Kept) Moment(at float64) piece.Ticks {
	i := sort.SearchFloat64s(k.times, at)
	if i == 0 {
		return k.ticks[0] - piece.Ticks((k.times[0]-at)/k.pace)
	}
	gone := piece.Ticks((at - k.times[i-1]) / k.pace)
	if i == len(k.times) {
		return k.ticks[i-1] + gone
	}
	from, to := k.ticks[i-1], k.ticks[i]
	if pace := (k.times[i] - k.times[i-1]) / float64(to-from); pace > k.pace/2 && pace < 2*k.pace {
		return from + piece.Ticks((at-k.times[i-1])/pace)
	}
	return min(to, from+gone) // he stopped, and waits there
}

// between interpolates before anchor i, where the player went on there; a stop
// or going back is no tempo.
func (k *Kept) between(i int, t piece.Ticks) float64 {
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
