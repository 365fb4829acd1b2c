package weeks

import (
	"cmp"
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece/diary/packed"
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
	var c packed.Measures
	for i := range w.Takes {
		if err := packed.Read(w.Takes[i].Measures, &c); err != nil {
			return nil, w.Spoiled(words.Fault("diary.spoiled.measures", "take", w.Takes[i].ID))
		}
		piece := w.Takes[i].Of
		if printed[piece] == nil {
			printed[piece], titles[piece] = map[string]int{}, w.Takes[i].Piece
		}
		took[i] = map[int]bool{}
		for k, number := range c.Printed {
			printed[piece][c.Measure[k]] = number
			took[i][number] = c.Heard[k] > 0
		}
		packed.EachTold(w.Takes[i].Told, func(f packed.Told) {
			if f.Trust == dsp.NotSure || f.Kind.Row().Unit != finding.PaceShare {
				return
			}
			from, known := printed[piece][f.Measure]
			to, too := printed[piece][f.To]
			if known && too {
				told[i] = append(told[i], stretch{piece, from, max(from, to), f.Kind, f.Value})
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
			if w.Takes[i].Of != s.piece {
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

// Alone is how a kind of finding that weeks follow by itself went, take by take.
type Alone struct {
	Kind   finding.Kind
	Counts []trend.Count   // how often it was told, of how many notes
	Values []trend.Reading // how large it was; 0 where it was not told, or not surely
}

// Alone gives the kinds that are followed so.
func (w *Weeks) Alone(how finding.Following) (all []Alone) {
	for _, kind := range finding.Followed(how) {
		a := Alone{Kind: kind}
		for i := range w.Takes {
			t := &w.Takes[i]
			if t.Notes == 0 {
				continue
			}
			count, value := trend.Count{When: t.At, Chance: t.Notes}, trend.Reading{When: t.At}
			packed.EachTold(t.Told, func(f packed.Told) {
				if f.Kind != kind {
					return
				}
				if count.Told++; f.Trust != dsp.NotSure {
					value.Value = f.Value
				}
			})
			a.Counts, a.Values = append(a.Counts, count), append(a.Values, value)
		}
		all = append(all, a)
	}
	return all
}
