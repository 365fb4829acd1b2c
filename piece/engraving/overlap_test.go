package engraving

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"endpin/piece"
	"endpin/piece/words/pseudo"

	"github.com/stretchr/testify/assert"
)

// area is a box on the page.
type area struct{ l, t, r, b float64 }

// areas gives the boxes that a shape covers: curves and beams in slices, so
// that an arch does not count for the room under it.
func areas(s Shape) []area {
	slices := func(n int, at func(u float64) (x, top, bottom float64)) []area {
		var out []area
		for k := range n {
			x, t, b := at(float64(k) / float64(n))
			x2, t2, b2 := at(float64(k+1) / float64(n))
			out = append(out, area{min(x, x2), min(t, t2), max(x, x2), max(b, b2)})
		}
		return out
	}
	switch s := s.(type) {
	case Curve:
		return slices(32, func(u float64) (float64, float64, float64) {
			p, q := cubic(s.P[0], s.P[1], s.P[2], s.P[3], u), cubic(s.P[3], s.P[4], s.P[5], s.P[0], 1-u)
			return p.X, min(p.Y, q.Y), max(p.Y, q.Y)
		})
	case Polygon:
		if len(s) == 4 && s[0].X == s[3].X && s[1].X == s[2].X { // a beam
			return slices(16, func(u float64) (float64, float64, float64) {
				a, b := s[0].Y+(s[1].Y-s[0].Y)*u, s[3].Y+(s[2].Y-s[3].Y)*u
				return s[0].X + (s[1].X-s[0].X)*u, min(a, b), max(a, b)
			})
		}
	}
	l, t, r, b := s.Bounds()
	return []area{{l, t, r, b}}
}

func overlap(a, b Shape) bool {
	for _, p := range areas(a) {
		for _, q := range areas(b) {
			const e = 0.01
			if p.l+e < q.r && q.l+e < p.r && p.t+e < q.b && q.t+e < p.b {
				return true
			}
		}
	}
	return false
}

// What is made of several items may touch itself: the parts of a note, of a
// frame around words, of brackets; and a tie may lie in the staff.
func mayTouch(a, b Item) bool {
	if a.Class == Staff || b.Class == Staff {
		other := a
		if a.Class == Staff {
			other = b
		}
		switch other.Class {
		case Staff, Signature, Notes, Curves:
			return true
		case Articles: // dots and bows in the staff, a breath over it
			_, words := other.Shape.(Text)
			return !words
		}
		return false
	}
	if a.Class != b.Class {
		return a.Class == Notes && b.Class == Signature || a.Class == Signature && b.Class == Notes
	}
	switch a.Class {
	case Notes, Signature, Sections:
		return true
	case Articles, Frames, Under: // brackets meet themselves
		_, x := a.Shape.(Rect)
		_, y := b.Shape.(Rect)
		return x && y
	}
	return false
}

// Nothing on a page touches what it should not: every class against every
// other, all pieces, narrow and wide, with all that can stand on a page.
func TestNothingOnAPageTouchesAnother(t *testing.T) {
	for name, p := range pieces(t) {
		for _, width := range []float64{70, 110, 160} {
			for _, fingers := range []Fingering{HandFingers, AllFingers, MarkedFingers} {
				o := full(p, width)
				o.Fingers = fingers
				o.Frames = fingers != MarkedFingers
				for _, s := range touching(p, o) {
					t.Errorf("%s, %.0f wide, fingers %d, %s", name, width, fingers, s)
				}
			}
		}
	}
}

// touching are the pairs of things on a page that should not meet.
func touching(p *piece.Piece, o Options) (pairs []string) {
	page := Engrave(p, o)
	for k, s := range page.Systems {
		items := page.Items[s.First:s.Last]
		for i, a := range items {
			for _, b := range items[i+1:] {
				if !mayTouch(a, b) && overlap(a.Shape, b.Shape) {
					pairs = append(pairs, fmt.Sprintf("system %d: %s on %s", k, say(a), say(b)))
				}
			}
		}
	}
	return pairs
}

// A page is in the words of the catalogue alone, and those of a language a third
// longer have room.
func TestAPageInLongerWordsHasRoom(t *testing.T) {
	defer pseudo.Speak()()
	own := []string{"VIII", "VII", "III"}
	for name, p := range pieces(t) {
		o := full(p, 70)
		assert.Empty(t, touching(p, o), name)
		page := Engrave(p, o)
		for _, m := range p.Measures {
			for _, t := range m.Texts {
				own = append(own, strings.Fields(t.Says)...) // the composer's
			}
		}
		slices.SortFunc(own, func(a, b string) int { return len(b) - len(a) })
		for _, label := range o.Labels {
			own = append(own, label)
		}
		for _, under := range o.Under {
			for _, r := range under {
				own = append(own, r.Text)
			}
		}
		for _, b := range page.Items {
			if text, ok := b.Shape.(Text); ok && b.Class != Under {
				assert.Empty(t, pseudo.Plain(text.String, own...), name)
				assert.NotContains(t, text.String, "[", name)
			}
		}
		for _, s := range page.Systems {
			for _, m := range s.Measures {
				assert.Empty(t, pseudo.Plain(m.Title, own...), name)
			}
		}
	}
}

func say(i Item) string {
	l, t, r, b := i.Shape.Bounds()
	what := fmt.Sprintf("%T", i.Shape)
	switch s := i.Shape.(type) {
	case Text:
		what = s.String
	case Glyph:
		what = fmt.Sprintf("%U", s.Rune)
	}
	round := func(x float64) float64 { return math.Round(10*x) / 10 }
	return fmt.Sprintf("%s %s of %d (%v %v %v %v)", i.Class, what, i.Measure, round(l), round(t), round(r), round(b))
}
