package engraving

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
)

// Code points are SMuFL's; boxes, thicknesses and anchors Bravura's metadata
// (glyphBBoxes, engravingDefaults, glyphsWithAnchors), held against the outlines in the
// font itself as golang.org/x/image/font/sfnt reads them. The metadata tells boxes to a
// thousandth of a staff space; outlines are whole font units, 250 to a space.
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
	assert.Equal(t, 5.0, heightOf(piece.Clef{Sign: "F", Line: 4, Octave: -1}, piece.Spelling{Step: "E", Octave: 2}.Degree()))
	assert.Equal(t, 2.0, heightOf(piece.Clef{Sign: "C", Line: 4}, piece.Spelling{Step: "A", Octave: 3}.Degree()))
}

func TestStemsGoDownFromTheMiddleLine(t *testing.T) {
	p := read(t, "s.abc", []byte("X:1\nM:4/4\nL:1/4\nK:C clef=bass\nC, D, E, F,|\n"))
	m := &p.Measures[0]
	for i, want := range stems(m, nil) {
		if heightOf(m.Clef, m.Notes[i].Spelling.Degree()) <= 2 {
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
				x := 1.0 // the margin
				for _, b := range s.Measures {
					assert.Equal(t, next, b.Measure, name)
					assert.InDelta(t, x, b.X, 1e-6, name)
					x += b.Width
					next++
				}
				assert.LessOrEqual(t, x, page.Width-1+0.01, name)
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
				assert.GreaterOrEqual(t, l, 0.9, name)
				assert.LessOrEqual(t, r, page.Width-0.9, "%s %v", name, it)
			}
			assert.Equal(t, printed, numbers, name)
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

func TestAMeasureOfTheSVGIsNamedByItsPrintedNumber(t *testing.T) {
	p := read(t, "pickup.abc", []byte("X:1\nT:Up\nM:4/4\nL:1/4\nK:G clef=bass\nD,|G,A,B,G,|D,4|]\n"))
	var out bytes.Buffer
	require.NoError(t, Engrave(p, Options{Under: map[int][]Remark{2: {{"right", "late"}, {"up", "a little <sharp>"}}}}).SVG(&out, SVGOptions{}))
	assert.Contains(t, out.String(), `<g data-measure="0" data-number="0" role="img"><title>Pickup</title>`)
	assert.Contains(t, out.String(), `<g data-measure="2" data-number="2" role="img"><title>Measure 2: late; a little &lt;sharp&gt;</title>`)
}

func TestStaffLinesBeginOnWholePixels(t *testing.T) {
	for _, px := range []float64{8, 11, 14} {
		for _, top := range []float64{3.3712, 10.05, 7} {
			g := gridOf(px, top)
			for line := range 5 {
				var x, y, w, h float64
				_, err := fmt.Sscanf(g.line(Rect{1, top + float64(line) - staffLineThickness/2, 50.37, staffLineThickness}), "M%f %fh%fv%f", &x, &y, &w, &h)
				require.NoError(t, err)
				assert.InDelta(t, math.Round(2*h*px), 2*h*px, 0.01) // half pixels thick, all alike
				for _, edge := range []float64{x, x + w, y + g.shift} {
					assert.InDelta(t, math.Round(edge*px), edge*px, 0.01)
				}
				assert.InDelta(t, top+float64(line), y+g.shift+h/2, 0.5/px+0.001)
			}
		}
	}
}

func TestADaCapoSaysHowFar(t *testing.T) {
	page := Engrave(pieces(t)["lamplight.musicxml"], Options{})
	assert.Contains(t, wordsOf(page, Articles), "D.C. al Fine")
	assert.Contains(t, wordsOf(page, Articles), "Fine")
}

// In the demo piece the A of measure 5 is stopped on the D string in the third
// position, again in measures 7, 13 and 14; the notes of the first position and
// those that lie on their own string name none, though the file marks them all.
func TestAStringIsNamedOnlyWhereTheNoteDoesNotSayIt(t *testing.T) {
	p := pieces(t)["demo"]
	for _, f := range []Fingering{HandFingers, AllFingers} {
		page := Engrave(p, planned(p, Options{Fingers: f}))
		var at []int
		for _, it := range page.Items {
			if x, ok := it.Shape.(Text); ok && it.Class == Fingers {
				assert.Equal(t, "sul D", x.String)
				at = append(at, it.Measure+1)
			}
		}
		assert.Equal(t, []int{5, 7, 13, 14}, at)
	}
}

func TestALoneStringMarkIsPrintedAsItStands(t *testing.T) {
	p := read(t, "one.abc", []byte("X:1\nM:4/4\nL:1/4\nK:C clef=bass\nC,D,E,F,|G,A,B,G,|\n"))
	p.Measures[1].Notes[1].Marks.String = 1
	assert.Equal(t, []string{"sul G"}, wordsOf(Engrave(p, Options{}), Fingers))
}

func TestANewKeyIsAnnouncedAtTheEndOfTheLineBefore(t *testing.T) {
	p := read(t, "keys.abc", []byte("X:1\nM:4/4\nL:1/4\nK:D clef=bass\n"+strings.Repeat("D,E,F,G,|", 8)+"[K:Bb]"+strings.Repeat("B,,C,D,E,|", 8)+"\n"))
	for _, width := range []float64{40, 60, 90} {
		page := Engrave(p, Options{Width: width})
		for k, s := range page.Systems[1:] {
			if s.Measures[0].Measure != 8 {
				continue
			}
			before, end := page.Systems[k], 0.0
			last := before.Measures[len(before.Measures)-1]
			for _, it := range page.Items[before.First:before.Last] {
				if g, ok := it.Shape.(Glyph); ok && it.Class == Signature && g.X > last.X+last.Width {
					assert.Equal(t, accidentalFlat, g.Rune)
					end = g.X
				}
			}
			assert.NotZero(t, end)
			return
		}
	}
	t.Fatal("no line begins with the new key: choose other widths")
}

func TestANewClefStandsBeforeTheBarline(t *testing.T) {
	p := read(t, "clefs.abc", []byte("X:1\nM:4/4\nL:1/4\nK:D clef=bass\nD,E,F,G,|D,E,F,G,|[K:D clef=tenor]A,B,CD|\n"))
	require.Equal(t, "C", p.Measures[2].Clef.Sign)
	page := Engrave(p, Options{OneLine: true})
	found := false
	for _, it := range page.Items {
		if g, ok := it.Shape.(Glyph); ok && g.Rune == cClefChange {
			found = true
			assert.Less(t, g.X+boxes[cClefChange].right, page.Systems[0].Measures[2].X)
		}
	}
	assert.True(t, found)
}

func TestBracketsOfASystemStandAtOneHeight(t *testing.T) {
	p := pieces(t)["demo"]
	page := Engrave(p, planned(p, Options{Width: 90}))
	for _, s := range page.Systems {
		heights := map[float64]bool{}
		for _, it := range page.Items[s.First:s.Last] {
			if q, ok := it.Shape.(Rect); ok && it.Class == Frames && q.Width > q.Height {
				heights[round2(q.Y)] = true
			}
		}
		assert.Len(t, heights, 1)
	}
}

// Numbers stand on one line unless something is in their way.
func TestNumbersStandAtOneHeight(t *testing.T) {
	p := pieces(t)["demo"]
	page := Engrave(p, planned(p, Options{Width: 110, Fingers: AllFingers}))
	for _, s := range page.Systems {
		heights := map[float64]bool{}
		for _, it := range page.Items[s.First:s.Last] {
			if x, ok := it.Shape.(Text); ok && it.Class == Numbers && x.X > 2 {
				heights[round2(x.Y)] = true
			}
		}
		assert.Len(t, heights, 1)
	}
}

func wordsOf(p *Page, c Class) []string {
	var words []string
	for _, it := range p.Items {
		if x, ok := it.Shape.(Text); ok && it.Class == c {
			words = append(words, x.String)
		}
	}
	return words
}

// The time must grow as the piece does.
func BenchmarkEngrave(b *testing.B) {
	for _, n := range []int{100, 200, 400, 800} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p := long(b, n)
			o := planned(p, Options{Width: 100})
			for b.Loop() {
				Engrave(p, o)
			}
		})
	}
}

func TestALineOfTextStandsOverItsMeasureWhole(t *testing.T) {
	p := signsPiece(t)
	page := Engrave(p, Options{Width: 80})
	said := map[int]string{}
	for _, it := range page.Items {
		if s, is := it.Shape.(Text); is && s.Style == Italic && it.Class == Articles {
			said[it.Measure] += s.String + " "
			l, _, r, _ := s.Bounds()
			assert.True(t, l >= 0 && r <= page.Width, s.String)
		}
	}
	assert.Contains(t, said[4], "dolce")
	assert.Contains(t, said[4], "Sing the line first, then play it so softly that nobody next door can hear you")
	assert.Contains(t, said[9], strings.Repeat("over and over ", 12))
}
