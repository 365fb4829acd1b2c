package engraving

import (
	"fmt"
	"strings"
	"sync"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"endpin/assets"
	"endpin/piece/words"
)

// music is the music font, opened once.
var music = sync.OnceValues(func() (*sfnt.Font, error) { return sfnt.Parse(assets.MusicFont) })

// Outline gives a glyph's outline in staff spaces, y down, from its origin.
func Outline(r rune) (sfnt.Segments, float64, error) {
	f, err := music()
	if err != nil {
		return nil, 0, words.Fault("engraving.font", "err", err)
	}
	var buf sfnt.Buffer
	g, err := f.GlyphIndex(&buf, r)
	if err != nil || g == 0 {
		return nil, 0, words.Fault("engraving.font.absent", "character", fmt.Sprintf("%U", r))
	}
	em := f.UnitsPerEm()
	s, err := f.LoadGlyph(&buf, g, fixed.I(int(em)), nil)
	if err != nil {
		return nil, 0, words.Fault("engraving.font.character", "character", fmt.Sprintf("%U", r), "err", err)
	}
	return s, float64(em) * 64 / 4, nil
}

// pathOf is a glyph's outline as an SVG path in thousandths of a staff space.
func pathOf(r rune) (string, error) {
	s, unit, err := Outline(r)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	x, y := 0, 0
	at := func(p fixed.Point26_6) string { // relative to the last point
		return fmt.Sprintf("%d %d", thousandths(p.X, unit)-x, thousandths(p.Y, unit)-y)
	}
	for _, g := range s {
		op, n := "m", 1
		switch g.Op {
		case sfnt.SegmentOpMoveTo:
			if b.Len() > 0 {
				b.WriteByte('z')
				x, y = 0, 0
				op = "M"
			}
		case sfnt.SegmentOpLineTo:
			op = "l"
		case sfnt.SegmentOpQuadTo:
			op, n = "q", 2
		case sfnt.SegmentOpCubeTo:
			op, n = "c", 3
		}
		b.WriteString(op)
		for i := range n {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(at(g.Args[i]))
		}
		x, y = thousandths(g.Args[n-1].X, unit), thousandths(g.Args[n-1].Y, unit)
	}
	b.WriteByte('z')
	return b.String(), nil
}

func thousandths(v fixed.Int26_6, unit float64) int {
	t := float64(v) / unit * 1000
	if t < 0 {
		return int(t - 0.5)
	}
	return int(t + 0.5)
}
