package transcription

import (
	"endpin/piece"
	"endpin/piece/writing"
)

const (
	lifted  = 0.06 // s that a detached note may end early, one standard deviation,
	shortly = 0.08 // and that share of its written length beside (common practice, no source)
	resting = 1.2  // nats that a rest costs, and as much again where one sign does not say it
)

// lengths gives every note its written length, and so the rests: to the next note, unless
// the sound ends so early that a rest is simpler.
func (w *way) lengths(sounds []Sound, line []writing.Note) {
	for i := range line {
		s := sounds[i]
		sounded := (s.Offset - s.Onset) / w.period[i]
		if i == len(line)-1 {
			line[i].Length = w.last(i, line[i].Start, sounded)
			continue
		}
		gap := line[i+1].Start - line[i].Start
		line[i].Length = gap
		if line[i+1].SlurFrom {
			continue
		}
		cost := w.early(i, sounded, gap)
		for _, at := range w.metre.places() {
			for end := line[i].Start/w.metre.bar*w.metre.bar + at; end < line[i+1].Start; end += w.metre.bar {
				length := end - line[i].Start
				if length < piece.Quarter/4 || w.metre.dividing(end%w.metre.bar) > parts {
					continue
				}
				c := w.early(i, sounded, length) + w.metre.held(line[i].Start, end) + resting
				if !printable(gap-length, false) {
					c += resting
				}
				if w.metre.dividing(end%w.metre.bar) != whole {
					c += resting
				}
				if c < cost {
					cost, line[i].Length = c, length
				}
			}
		}
	}
}

// early is what it costs that a note sounds for so many quarter notes and is written
// so long. That it rings beyond is half as strange.
func (w *way) early(i int, sounded float64, written piece.Ticks) float64 {
	length := written.Quarters() * w.period[i]
	off := (length - sounded*w.period[i]) / (lifted + shortly*length)
	if off < 0 {
		off /= 2
	}
	return off * off / 2
}

// last is the length of the last note: what sounded of it, to a place of the metre, and
// to the end of the measure where that is about as long.
func (w *way) last(i int, from piece.Ticks, sounded float64) piece.Ticks {
	toBar := w.metre.bar - from%w.metre.bar
	best, cost := toBar, w.early(i, sounded, toBar)
	for _, at := range w.metre.places() {
		length := at - from%w.metre.bar
		if length <= 0 || w.metre.dividing(at) > parts {
			continue
		}
		if c := w.early(i, sounded, length) + w.metre.held(from, from+length) + resting; c < cost {
			best, cost = length, c
		}
	}
	return best
}
