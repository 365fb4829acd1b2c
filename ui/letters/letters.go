// Package letters keeps outlines: of the fonts of words, and of the music font, whose
// accidentals stand among words too.
package letters

import (
	"math"
	"sync"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"endpin/piece/engraving"
)

// Width is how wide a text is, in the unit of size.
func Width(s string, size float64, style engraving.Style) float64 {
	f, w := Of(style), 0.0
	for _, r := range s {
		w += f.Letter(r).Advance * size
	}
	return w
}

// Em is how many units an em of a font of words has.
const Em = 64.0 * 1000

// Font is one of words, with the letters used so far.
type Font struct {
	fonts []*sfnt.Font
	mu    sync.Mutex
	known map[rune]Letter
}

// Letter is one of a font of words.
type Letter struct {
	Outline sfnt.Segments // Em units an em, its origin on the baseline
	Advance float64       // ems
}

var fonts = func() map[engraving.Style]*Font {
	all := map[engraving.Style]*Font{}
	for style, r := range map[engraving.Style]fyne.Resource{
		engraving.Roman: theme.DefaultTextFont(), engraving.Bold: theme.DefaultTextBoldFont(), engraving.Italic: theme.DefaultTextItalicFont(),
	} {
		l := &Font{known: map[rune]Letter{}}
		for _, r := range []fyne.Resource{r, theme.DefaultSymbolFont()} {
			if f, err := sfnt.Parse(r.Content()); err == nil {
				l.fonts = append(l.fonts, f)
			}
		}
		all[style] = l
	}
	return all
}()

// Of is the font of words in a style.
func Of(style engraving.Style) *Font { return fonts[style] }

// Letter is a character in it, an empty one where it has none.
func (l *Font) Letter(r rune) Letter {
	l.mu.Lock()
	defer l.mu.Unlock()
	if g, ok := l.known[r]; ok {
		return g
	}
	seek := r
	if r == '−' {
		seek = '–' // the fonts have no minus; their dash is as long
	}
	g := l.sign(r)
	var buf sfnt.Buffer
	for _, f := range l.fonts {
		i, err := f.GlyphIndex(&buf, seek)
		if err != nil || i == 0 || g.Outline != nil {
			continue
		}
		o, err := f.LoadGlyph(&buf, i, fixed.I(1000), nil)
		if err != nil {
			continue
		}
		g.Outline = append(sfnt.Segments(nil), o...)
		if a, err := f.GlyphAdvance(&buf, i, fixed.I(1000), font.HintingNone); err == nil {
			g.Advance = float64(a) / Em
		}
		break
	}
	l.known[r] = g
	return g
}

// The accidentals of the music font stand among words for those that fonts of words
// have not (SMuFL, standard accidentals).
var accidentals = map[rune]rune{'♭': 0xE260, '♮': 0xE261, '♯': 0xE262, '𝄪': 0xE263, '𝄫': 0xE264}

const (
	signScale = 0.3  // ems a staff space
	signRaise = 0.33 // ems that an accidental's middle lies over the baseline
	signRoom  = 0.05 // ems on either side
)

// sign is an accidental among words, without an outline for any other character.
func (l *Font) sign(r rune) (g Letter) {
	c, ok := accidentals[r]
	if !ok {
		return g
	}
	outline, unit, err := Music(c)
	if err != nil {
		return g
	}
	scale := signScale * Em / unit
	left, right := math.Inf(1), math.Inf(-1)
	for _, s := range outline {
		for i := range Points(s.Op) {
			left, right = min(left, float64(s.Args[i].X)), max(right, float64(s.Args[i].X))
		}
	}
	for _, s := range outline {
		for i := range Points(s.Op) {
			s.Args[i].X = fixed.Int26_6((float64(s.Args[i].X)-left)*scale + signRoom*Em)
			s.Args[i].Y = fixed.Int26_6(float64(s.Args[i].Y)*scale - signRaise*Em)
		}
		g.Outline = append(g.Outline, s)
	}
	g.Advance = (right-left)*scale/Em + 2*signRoom
	return g
}

// Music is the outline of a character of the music font, and its units a staff space.
func Music(r rune) (sfnt.Segments, float64, error) {
	if g, ok := music.Load(r); ok {
		g := g.(outlined)
		return g.s, g.unit, nil
	}
	s, unit, err := engraving.Outline(r)
	if err == nil {
		music.Store(r, outlined{append(sfnt.Segments(nil), s...), unit})
	}
	return s, unit, err
}

type outlined struct {
	s    sfnt.Segments
	unit float64
}

var music sync.Map

// Points is how many points a step of an outline has.
func Points(op sfnt.SegmentOp) int {
	switch op {
	case sfnt.SegmentOpQuadTo:
		return 2
	case sfnt.SegmentOpCubeTo:
		return 3
	}
	return 1
}
