package outline

import (
	"endpin/piece"
	"endpin/piece/fingerboard"
)

// Bow is how long one bow lasts, in seconds.
type Bow struct {
	Longest  float64 // on any string
	OnLowest float64 // on the fourth string and below, which take more bow
}

// How long one bow lasts in a firm tone, by level. Common practice, no source.
var (
	FirstYearBow    = Bow{4, 3}
	IntermediateBow = Bow{6, 4.5}
	AdvancedBow     = Bow{8, 6}
)

// BowAt is how long one bow lasts at a level of playing, by its word
// (first-year, intermediate, advanced); a first-year player's for any other.
func BowAt(level string) Bow {
	switch level {
	case "intermediate":
		return IntermediateBow
	case "advanced":
		return AdvancedBow
	}
	return FirstYearBow
}

// BowOf is a bow that lasts so many seconds, and as much less on the string that
// takes more bow as it is in a player's first year.
func BowOf(longest float64) Bow {
	return Bow{longest, longest * FirstYearBow.OnLowest / FirstYearBow.Longest}
}

// Limit is how long one bow lasts on a string.
func (b Bow) Limit(low bool) float64 {
	if low {
		return b.OnLowest
	}
	return b.Longest
}

// lowest is the first of the strings that take more bow.
const lowest = 4

// lift is the shortest rest in which a bow is lifted and set down again, in
// seconds. Common practice, no source.
const lift = 0.4

// Stroke is one bow: a note, or notes slurred together.
type Stroke struct {
	First, Last int       // indexes into the line
	Bow         piece.Bow // down or up
	Length      piece.Ticks
	Low         bool // some of it on the lowest string
	Retake      bool // the same way as the one before, without a rest to lift the bow
	Fresh       bool // nothing before it decides its way: the start, or after a rest
}

// strokes gives the bowing that the page implies: bows alternate, slurs keep
// the bow, marks are obeyed. At the start and after a rest long enough to lift
// the bow, the way is the one that brings the next downbeat, or the next bow
// mark, out as it should be: an upbeat of one note is taken up bow. Plucked
// notes have no stroke.
func strokes(p *piece.Piece, line []piece.Expected, fingered []fingerboard.Fingered, qpm float64) []Stroke {
	var all []Stroke
	plucked := true
	for i := range line {
		n := &line[i]
		if n.Articulation.Pizz {
			plucked = true
			continue
		}
		low := fingered[i].String >= lowest
		if k := len(all) - 1; k >= 0 && n.Slurred && all[k].Last == i-1 && n.Marks.Bow == piece.NoBow {
			all[k].Last, all[k].Low = i, all[k].Low || low
			all[k].Length = n.Onset + n.Length - line[all[k].First].Onset
			continue
		}
		fresh := plucked || i == 0 || line[i-1].RestAfter.Quarters()*60/qpm >= lift ||
			line[i-1].Articulation.Breath
		all = append(all, Stroke{First: i, Last: i, Length: n.Length, Low: low, Fresh: fresh})
		plucked = false
	}
	for k := range all {
		s := &all[k]
		before := piece.NoBow
		if k > 0 {
			before = all[k-1].Bow
		}
		switch mark := line[s.First].Marks.Bow; {
		case mark != piece.NoBow:
			s.Bow = mark
			s.Retake = !s.Fresh && mark == before
		case s.Fresh:
			s.Bow = opening(p, line, all[k:])
		default:
			s.Bow = other(before)
		}
	}
	return all
}

func other(b piece.Bow) piece.Bow {
	if b == piece.Down {
		return piece.Up
	}
	return piece.Down
}

// opening is the way of a stroke that is free: down where it stands on a
// downbeat; else what brings the next downbeat down, or the next mark right.
func opening(p *piece.Piece, line []piece.Expected, from []Stroke) piece.Bow {
	for k := range from {
		n := &line[from[k].First]
		want := piece.NoBow
		switch {
		case n.Marks.Bow != piece.NoBow:
			want = n.Marks.Bow
		case k > 0 && from[k].Fresh:
			return piece.Down // the bow is lifted before any downbeat
		case downbeat(p, n):
			want = piece.Down
		default:
			continue
		}
		if k%2 == 1 {
			return other(want)
		}
		return want
	}
	return piece.Down
}

// downbeat reports whether a note begins a whole measure; a pickup has no downbeat.
func downbeat(p *piece.Piece, n *piece.Expected) bool {
	m := &p.Measures[n.Measure]
	whole := m.Time.Beat() * piece.Ticks(m.Time.Beats)
	return m.Notes[n.Note].Start == 0 && (m.Length >= whole || !m.Implicit && n.Measure > 0)
}
