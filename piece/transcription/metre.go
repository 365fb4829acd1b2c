package transcription

import (
	"math"

	"endpin/piece"
)

// metre is a time signature with what its places cost, in nats: the negative logarithm of
// how often music for beginners has them, so far as it matters which is simpler. From
// memory and common practice, no source; tuned on the composed tunes of seeds 1 to 20.
type metre struct {
	piece.Time
	bar, beat piece.Ticks
	compound  bool // a beat has three parts
}

func metreOf(t piece.Time) metre {
	m := metre{Time: t, bar: t.Beat() * piece.Ticks(t.Beats), beat: t.Beat()}
	switch {
	case t.Unit == 8 && t.Beats%3 == 0:
		m.compound, m.beat = true, 3*piece.Quarter/2
	case t.Unit == 2:
		m.beat = piece.Quarter
	}
	return m
}

const (
	onBeat     = 0.1  // beside the first of the measure
	onPart     = 0.9  // half of a beat
	onThird    = 0.3  // a third of a compound one
	onSmall    = 2.4  // a quarter of a beat, a sixth of a compound one
	onTriplet  = 3.2  // a third of a simple beat
	onFine     = 5    // an eighth of a beat, a twelfth of a compound one
	alongThat  = 0.2  // the same division, where the beat has it already
	tied       = 1.6  // a note longer than one sign can say
	overBar    = 1.4  // it is held across the bar line
	overBeat   = 0.8  // it begins off the beat and is held across the next one, or off its parts and across one
	silent     = 0.35 // each beat that a note is held beyond its first
	weakLong   = 0.7  // it is longer than a beat and begins on a weak one
	upbeat     = 1.6  // each beat of a pickup, or what there is of one
	upbeatPart = 1.0  // it begins inside a beat
)

// division is how a place divides its beat.
type division int

const (
	whole division = iota
	parts
	small
	triplet
	fine
	none
)

// part is what a beat divides into: two halves, or three thirds of a compound one.
func (m metre) part() piece.Ticks {
	if m.compound {
		return m.beat / 3
	}
	return m.beat / 2
}

// dividing tells how a place, ticks from the beginning of a measure, divides its beat.
func (m metre) dividing(at piece.Ticks) division {
	in, half, quarter, third := at%m.beat, m.part(), m.part()/2, m.beat/3
	if m.compound {
		third = 0
	}
	switch {
	case in == 0:
		return whole
	case in%half == 0:
		return parts
	case in%quarter == 0:
		return small
	case third > 0 && in%third == 0:
		return triplet
	case in%(quarter/2) == 0:
		return fine
	}
	return none
}

// landing is what a note costs at a place, after one at from. Both count from the
// beginning of the first measure.
func (m metre) landing(from, at piece.Ticks) float64 {
	d := m.dividing(at % m.bar)
	price := 0.0
	switch d {
	case whole:
		if at%m.bar != 0 {
			price = onBeat
		}
	case parts:
		price = onPart
		if m.compound {
			price = onThird
		}
	case small:
		price = onSmall
	case triplet:
		price = onTriplet
	case fine:
		price = onFine
	}
	before := m.dividing(from % m.bar)
	if at/m.beat == from/m.beat && before == d && d != whole {
		price = alongThat
	}
	return price + m.held(from, at)
}

// held is what a note costs that lasts from one place to another.
func (m metre) held(from, to piece.Ticks) (price float64) {
	if !printable(to-from, m.dividing(from%m.bar) == triplet || m.dividing(to%m.bar) == triplet) {
		price += tied
	}
	if to/m.bar > from/m.bar && to%m.bar != 0 {
		price += overBar
	}
	if from%m.beat != 0 && to > (from/m.beat+1)*m.beat {
		price += overBeat
	}
	if d := m.dividing(from % m.bar); (d == small || d == fine) && to > (from/m.part()+1)*m.part() {
		price += overBeat
	}
	if to-from > m.beat {
		price += silent * (float64(to-from)/float64(m.beat) - 1)
		if !m.strong(from % m.bar) {
			price += weakLong
		}
	}
	return price
}

// strong tells whether a place of the measure is its first, or its middle where it has one.
func (m metre) strong(at piece.Ticks) bool {
	return at == 0 || m.bar/m.beat%2 == 0 && 2*at == m.bar
}

// printable tells whether one sign, dotted or not, says a length.
func printable(length piece.Ticks, inTriplet bool) bool {
	if inTriplet {
		length = length * 3 / 2
	}
	for value := 4 * piece.Quarter; value >= piece.Quarter/8; value /= 2 {
		if length == value || 2*length == 3*value {
			return true
		}
	}
	return false
}

// entering is what it costs to begin the page at a place.
func (m metre) entering(at piece.Ticks) float64 {
	if at%m.bar == 0 {
		return 0
	}
	price := upbeat * math.Ceil(float64(m.bar-at)/float64(m.beat))
	if at%m.beat != 0 {
		price += upbeatPart
	}
	return price
}

// nearest is the place nearest to so many quarter notes after the beginning.
func (m metre) nearest(quarters float64) (best piece.Ticks) {
	want := max(0, quarters) * float64(piece.Quarter)
	bar := piece.Ticks(want) / m.bar * m.bar
	for _, p := range append(m.places(), m.bar) {
		if math.Abs(float64(bar+p)-want) < math.Abs(float64(best)-want) {
			best = bar + p
		}
	}
	return best
}

// beside is how far a place of the measure lies from so many quarter notes after the first
// of one, quarter notes, whichever measure it is in.
func (m metre) beside(at piece.Ticks, quarters float64) float64 {
	bar := m.bar.Quarters()
	off := math.Mod(quarters-at.Quarters(), bar)
	return off - bar*math.Round(off/bar)
}

// places are the places of a measure that a note may begin at, in order.
func (m metre) places() (all []piece.Ticks) {
	for at := piece.Ticks(0); at < m.bar; at += piece.Quarter / 24 {
		if m.dividing(at) != none {
			all = append(all, at)
		}
	}
	return all
}
