// Package timetable lays out in time what one attempt is to be: its beats, the notes of
// its measures, what sounds meanwhile, and what both hands do at each note.
//
//	Score, Work ─> Timetable ──┬─> Place, Count: where the beat is
//	                           ├─> Sounds.Entries: what the loudspeaker plays
//	                           └─> Cues: bow, finger and string
//
// Its times are seconds from the first click of the count-in. Read Timetable first.
package timetable

import (
	"sort"

	"endpin/piece"
	"endpin/ui/desk/score"
	"endpin/ui/desk/work"
)

// Timetable says when each beat of some measures falls, in seconds from the
// first click of the count-in.
type Timetable struct {
	Start float64 // when the first measure begins: the count-in lasts until here
	End   float64 // when the last measure ends
	Turn  float64 // when the player begins the first measure: Start, and in an echo after End
	Beats []Beat  // in order of time; the count-in's first

	bars []bar
}

// Beat is one beat of the click.
type Beat struct {
	At     float64
	Number int  // in its measure, from 1
	Before bool // part of the count-in
}

// bar is one measure as it is played.
type bar struct {
	measure int
	at, end float64
}

// tooFast is a click's length below which three of a compound time are one, s.
const tooFast = 0.34

// New plays measures out once, at a tempo asked for at the first of them
// and in the piece's own proportions after that. The first time through is
// taken: what a repeat brings back is another attempt.
func New(s *score.Score, w work.Work) *Timetable {
	t := new(Timetable)
	bars := once(s, w.First, w.Last)
	if len(bars) == 0 || w.QPM <= 0 {
		return t
	}
	first := bars[0]
	scale := w.QPM / s.Tempo(first, 0)
	quarter := func(measure int, at piece.Ticks) float64 { return 60 / (s.Tempo(measure, at) * scale) }

	now := 0.0
	if w.Way.Leads() {
		now = t.countIn(&s.Piece.Measures[first], w.CountIn, quarter(first, 0), 0)
	}
	t.Start = now
	for _, i := range bars {
		m := &s.Piece.Measures[i]
		b := bar{measure: i, at: now}
		step := click(m, quarter(i, 0))
		at, n := piece.Ticks(0), 1
		if short := full(m) - m.Length; m.Implicit && short > 0 { // a pickup ends on the last beat
			n += int(short / step)
		}
		for ; at < m.Length; at += step {
			t.Beats = append(t.Beats, Beat{At: now, Number: n})
			now += min(step, m.Length-at).Quarters() * quarter(i, at)
			n++
		}
		b.end = now
		t.bars = append(t.bars, b)
	}
	t.End, t.Turn = now, t.Start
	if w.Way == work.Echo {
		t.Turn = t.countIn(&s.Piece.Measures[first], w.CountIn, quarter(first, 0), now)
	}
	return t
}

// Over is when the player's last measure ends.
func (t *Timetable) Over() float64 { return t.Turn + t.End - t.Start }

// countIn counts whole measures from a time on, and what a pickup leaves of its
// own, and gives the time at which the music begins.
func (t *Timetable) countIn(m *piece.Measure, measures int, quarter, from float64) float64 {
	if measures == 0 {
		return from
	}
	step, whole := click(m, quarter), full(m)
	length := piece.Ticks(measures) * whole
	if short := whole - m.Length; m.Implicit && short > 0 {
		length += short
	}
	n := 0
	per := max(1, int(whole/step))
	for at := piece.Ticks(0); at < length; at += step {
		t.Beats = append(t.Beats, Beat{At: from + at.Quarters()*quarter, Number: n%per + 1, Before: true})
		n++
	}
	return from + length.Quarters()*quarter
}

// full is what a measure holds by its time signature.
func full(m *piece.Measure) piece.Ticks {
	if m.Time.Beats == 0 {
		return m.Length
	}
	return m.Time.Beat() * piece.Ticks(m.Time.Beats)
}

// click is the length of one click in a measure; three eighths of a quick
// compound time are one.
func click(m *piece.Measure, quarter float64) piece.Ticks {
	beat := m.Time.Beat()
	if m.Time.Beats > 3 && m.Time.Beats%3 == 0 && beat.Quarters()*quarter < tooFast {
		return 3 * beat
	}
	return max(beat, 1)
}

// once is the first time through the measures first..last, in playing order.
func once(s *score.Score, first, last int) []int {
	var out []int
	for _, p := range s.Played {
		in := p.Measure >= first && p.Measure <= last
		switch {
		case in && (len(out) == 0 || p.Measure > out[len(out)-1]):
			out = append(out, p.Measure)
		case len(out) > 0:
			return out
		}
	}
	return out
}

// Place is where the beat is at a time: a measure, and what share of it has
// gone by. It is false before the music and after it. The player's turn of an
// echo goes through the same measures again.
func (t *Timetable) Place(at float64) (measure int, share float64, ok bool) {
	if at >= t.Turn {
		at += t.Start - t.Turn
	}
	i := sort.Search(len(t.bars), func(i int) bool { return t.bars[i].end > at })
	if i == len(t.bars) || at < t.bars[i].at {
		return 0, 0, false
	}
	b := t.bars[i]
	return b.measure, (at - b.at) / (b.end - b.at), true
}

// Count is the number to be counted at a time of a count-in; 0 outside it.
func (t *Timetable) Count(at float64) int {
	if at >= t.Turn || at >= t.Start && at < t.End {
		return 0
	}
	count := 0
	for _, b := range t.Beats {
		if b.At > at {
			break
		}
		if b.Before {
			count = b.Number
		}
	}
	return count
}

// Each goes through the notes of the line that a timetable plays: their index,
// their time and how long a quarter note lasts there, s.
func (t *Timetable) Each(s *score.Score, f func(k int, at, quarter float64)) {
	k := 0
	for _, b := range t.bars {
		m := &s.Piece.Measures[b.measure]
		quarter := (b.end - b.at) / m.Length.Quarters()
		next := k
		for next < len(s.Line) && s.Line[next].Measure != b.measure {
			next++
		}
		if next == len(s.Line) {
			continue // a measure of rest
		}
		for k = next; k < len(s.Line) && s.Line[k].Measure == b.measure; k++ {
			f(k, b.at+m.Notes[s.Line[k].Note].Start.Quarters()*quarter, quarter)
		}
	}
}

// Passed is how many of the measures have passed at a time.
func (t *Timetable) Passed(at float64) int {
	n := 0
	for _, b := range t.bars {
		if b.end <= at {
			n++
		}
	}
	return n
}

// When is the time at which a share of a measure has gone by; false for a measure that
// is not played.
func (t *Timetable) When(measure int, share float64) (at float64, ok bool) {
	for _, b := range t.bars {
		if b.measure == measure {
			return b.at + share*(b.end-b.at), true
		}
	}
	return 0, false
}
