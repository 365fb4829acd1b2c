package diary

import (
	"cmp"
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/trend"
	"endpin/piece/words"
)

// Passage is measures that went slower, or faster, than the rest of a take, and how each take of
// a span went through them.
type Passage struct {
	Piece, From, To string          // printed measures
	Pace            []trend.Reading // as a share of the rest's; 1 where nothing was told of it
}

// stretch is a passage as it was told of one take.
type stretch struct {
	piece    int64
	from, to int // printed measures
	kind     finding.Kind
	share    float64
}

// Passages gives the passages of which it was told, surely enough, that they went at another
// pace, in order of the pieces and their measures. What was told of measures that overlap is
// one passage. A take that does not hold any of it has no reading.
func (w *Weeks) Passages() ([]Passage, error) {
	took := make([]map[int]bool, len(w.Takes)) // measures heard in each take
	told := make([][]stretch, len(w.Takes))
	printed := map[int64]map[string]int{}
	titles := map[int64]string{}
	var all []stretch
	var c measureColumns
	for i := range w.Takes {
		if err := c.read(w.taken[i].measures); err != nil {
			return nil, w.diary.named(spoil(words.Fault("diary.spoiled.measures", "take", w.Takes[i].ID)))
		}
		piece := w.taken[i].piece
		if printed[piece] == nil {
			printed[piece], titles[piece] = map[string]int{}, w.Takes[i].Piece
		}
		took[i] = map[int]bool{}
		for k, number := range c.Printed {
			printed[piece][c.Measure[k]] = number
			took[i][number] = c.Heard[k] > 0
		}
		eachFinding(w.taken[i].findings, func(f toldOf) {
			if f.trust == dsp.NotSure || f.kind.Row().Unit != finding.PaceShare {
				return
			}
			from, known := printed[piece][f.measure]
			to, too := printed[piece][f.to]
			if known && too {
				told[i] = append(told[i], stretch{piece, from, max(from, to), f.kind, f.value})
			}
		})
		all = append(all, told[i]...)
	}
	var out []Passage
	for _, s := range joined(all) {
		p := Passage{Piece: titles[s.piece]}
		for name, number := range printed[s.piece] {
			if number == s.from {
				p.From = name
			}
			if number == s.to {
				p.To = name
			}
		}
		for i := range w.Takes {
			if w.taken[i].piece != s.piece {
				continue
			}
			share, heard := 1.0, false
			for m := s.from; m <= s.to; m++ {
				heard = heard || took[i][m]
			}
			for _, t := range told[i] {
				if s.holds(t) && math.Abs(t.share-1) > math.Abs(share-1) {
					share = t.share
				}
			}
			if heard {
				p.Pace = append(p.Pace, trend.Reading{When: w.Takes[i].At, Value: share})
			}
		}
		out = append(out, p)
	}
	return out, nil
}

// holds reports whether a stretch is the same passage.
func (s stretch) holds(t stretch) bool {
	return s.piece == t.piece && s.kind == t.kind && t.from <= s.to && t.to >= s.from
}

// joined makes one of stretches that overlap, in order of pieces and measures.
func joined(all []stretch) (out []stretch) {
	slices.SortFunc(all, func(a, b stretch) int {
		return cmp.Or(cmp.Compare(a.piece, b.piece), cmp.Compare(a.kind, b.kind), cmp.Compare(a.from, b.from))
	})
	for _, s := range all {
		if n := len(out); n > 0 && out[n-1].holds(s) {
			out[n-1].to = max(out[n-1].to, s.to)
			continue
		}
		out = append(out, s)
	}
	slices.SortStableFunc(out, func(a, b stretch) int { return cmp.Or(cmp.Compare(a.piece, b.piece), cmp.Compare(a.from, b.from)) })
	return out
}

// Evenness gives how far stopped notes lay scattered all over, take by take, cents; 0 where that
// was not told.
func (w *Weeks) Evenness() (cents []trend.Reading) {
	for i, t := range w.Takes {
		if t.Notes == 0 {
			continue
		}
		by := 0.0
		eachFinding(w.taken[i].findings, func(f toldOf) {
			if f.kind == finding.Uneven && f.trust != dsp.NotSure {
				by = f.value
			}
		})
		cents = append(cents, trend.Reading{When: t.At, Value: by})
	}
	return cents
}
