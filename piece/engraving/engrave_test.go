package engraving

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
)

// The metadata tells boxes to a thousandth of a staff space; outlines are whole
// font units, 250 to a space.
func TestTheBoxesAreThoseOfTheFont(t *testing.T) {
	for r, want := range boxes {
		s, unit, err := Outline(r)
		require.NoError(t, err)
		b := s.Bounds()
		for i, v := range []float64{float64(b.Min.X) / unit, float64(b.Min.Y) / unit, float64(b.Max.X) / unit, float64(b.Max.Y) / unit} {
			// Segments.Bounds takes control points in: it is never smaller.
			w := []float64{want.left, want.top, want.right, want.bottom}[i]
			if i < 2 {
				assert.LessOrEqual(t, v, w+0.005, "%U", r)
			} else {
				assert.GreaterOrEqual(t, v, w-0.005, "%U", r)
			}
			assert.InDelta(t, w, v, 0.25, "%U", r)
		}
	}
}

func TestTheLowEOfABassStandsOnOneLedgerLineUnderTheStaff(t *testing.T) {
	assert.Equal(t, 5.0, heightOf(piece.Clef{Sign: "F", Line: 4, Octave: -1}, degree(piece.Spelling{Step: "E", Octave: 2})))
	assert.Equal(t, 2.0, heightOf(piece.Clef{Sign: "C", Line: 4}, degree(piece.Spelling{Step: "A", Octave: 3})))
}

func TestStemsGoDownFromTheMiddleLine(t *testing.T) {
	p := read(t, "s.abc", []byte("X:1\nM:4/4\nL:1/4\nK:C clef=bass\nC, D, E, F,|\n"))
	m := &p.Measures[0]
	for i, want := range stems(m, nil) {
		if heightOf(m.Clef, degree(m.Notes[i].Spelling)) <= 2 {
			assert.Equal(t, 1, want)
		} else {
			assert.Equal(t, -1, want)
		}
	}
}

func TestADottedHalfTakesMoreRoomThanAQuarterButLessThanTwice(t *testing.T) {
	q := roomOf(piece.Quarter)
	assert.Greater(t, roomOf(3*piece.Quarter), q)
	assert.Less(t, roomOf(3*piece.Quarter), 2*q)
}

func TestAnAccidentalHoldsForItsMeasure(t *testing.T) {
	n := func(alter int) piece.Note {
		return piece.Note{Length: piece.Quarter, Spelling: piece.Spelling{Step: "F", Alter: alter, Octave: 3}}
	}
	m := &piece.Measure{Key: piece.Key{Fifths: 1}, Notes: []piece.Note{n(1), n(0), n(0), n(1)}}
	got := accidentals(m, func(int) bool { return false })
	assert.Equal(t, []rune{0, accidentalNatural, 0, accidentalSharp}, got)
}

func TestNoBeamCrossesABeat(t *testing.T) {
	p := long(t, 8)
	for i := range p.Measures {
		m := &p.Measures[i]
		for j := range m.Notes {
			m.Notes[j].Beam = ""
		}
		for _, g := range beamGroups(m) {
			assert.Equal(t, m.Notes[g[0]].Start/piece.Quarter, m.Notes[g[len(g)-1]].Start/piece.Quarter)
		}
	}
}

func TestBoxesTileEachSystemAndEveryMeasureHasItsNumber(t *testing.T) {
	for name, p := range pieces(t) {
		for _, width := range []float64{60, 90, 140} {
			page := Engrave(p, planned(p, Options{Width: width}))
			next, numbers := 0, 0
			for _, s := range page.Systems {
				x := 0.0
				for _, b := range s.Measures {
					assert.Equal(t, next, b.Measure, name)
					assert.InDelta(t, x, b.X, 1e-6, name)
					x += b.Width
					next++
				}
				assert.LessOrEqual(t, x, page.Width+0.01, name)
			}
			assert.Equal(t, len(p.Measures), next, name)
			printed := 0
			for _, m := range p.Measures {
				if !m.Implicit {
					printed++
				}
			}
			for _, it := range page.Items {
				if it.Class == Numbers {
					numbers++
				}
				l, top, r, bottom := it.Shape.Bounds()
				assert.GreaterOrEqual(t, top, 0.0, name)
				assert.LessOrEqual(t, bottom, page.Height, name)
				assert.GreaterOrEqual(t, l, -1.0, name)
				assert.LessOrEqual(t, r, page.Width+1.0, "%s %v", name, it)
			}
			assert.Equal(t, printed, numbers, name)
		}
	}
}

// Fingers and numbers keep clear of each other and of heads and stems.
func TestFingersAndNumbersTouchNothing(t *testing.T) {
	for name, p := range pieces(t) {
		page := Engrave(p, planned(p, Options{Width: 90, Fingers: AllFingers}))
		for _, s := range page.Systems {
			items := page.Items[s.First:s.Last]
			for i, a := range items {
				if a.Class != Fingers && a.Class != Numbers {
					continue
				}
				l, u, r, d := a.Shape.Bounds()
				for j, b := range items {
					if i == j || b.Class != Fingers && b.Class != Numbers && b.Class != Notes {
						continue
					}
					l2, u2, r2, d2 := b.Shape.Bounds()
					assert.False(t, l < r2 && l2 < r && u < d2 && u2 < d, "%s: %v on %v", name, a, b)
				}
			}
		}
	}
}

func TestTheSVGIsWellFormedAndSmall(t *testing.T) {
	for name, p := range pieces(t) {
		var out bytes.Buffer
		require.NoError(t, Engrave(p, planned(p, Options{Width: 90})).SVG(&out, SVGOptions{}))
		assert.Less(t, out.Len(), 40_000, name)
		for d := xml.NewDecoder(&out); ; {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if !assert.NoError(t, err, name) {
				break
			}
		}
	}
}

func BenchmarkEngrave400Measures(b *testing.B) {
	p := long(b, 400)
	o := planned(p, Options{Width: 100})
	for b.Loop() {
		Engrave(p, o)
	}
}
