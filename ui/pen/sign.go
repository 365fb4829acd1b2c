package pen

import (
	"image"
	"image/color"
	"math"

	"endpin/piece/engraving"
	"endpin/ui/letters"
)

// Sign draws one character of the music font by itself, px pixels a staff space,
// in a picture of just its size. It is nil for a character that the font has not.
func Sign(r rune, px float64, c color.Color) image.Image {
	outline, unit, err := letters.Music(r)
	if err != nil || len(outline) == 0 {
		return nil
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, s := range outline {
		for i := range letters.Points(s.Op) {
			x, y := float64(s.Args[i].X)/unit, float64(s.Args[i].Y)/unit
			x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
		}
	}
	img := image.NewRGBA(image.Rect(0, 0, int(math.Ceil((x1-x0)*px))+2, int(math.Ceil((y1-y0)*px))+2))
	p := &Pen{To: img, Space: px, Left: x0 - 1/px, Top: y0 - 1/px}
	p.Item(engraving.Item{Shape: engraving.Glyph{Rune: r, Scale: 1}}, c)
	return img
}

// The bow signs (SMuFL, stringsDownBow and stringsUpBow).
const (
	DownBow rune = 0xE610
	UpBow   rune = 0xE612
)
