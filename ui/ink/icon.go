package ink

import (
	"bytes"
	"image/png"

	"fyne.io/fyne/v2"
)

// Icon is the window's: a head in the bracket that the desk sets about what sounds.
func Icon() fyne.Resource { return fyne.NewStaticResource("endpin.png", IconOf(128)) }

// IconOf is the same as a PNG of so many pixels a side.
func IconOf(pixels int) []byte {
	const size, line, turn = 128, 10, 26
	c := Look{}.Colours()
	k := OfPixels(pixels, pixels, size)
	k.Block(0, 0, size, size, c.Paper)
	for _, y := range []float32{18, size - 18 - line} {
		k.Block(28, y, size-28, y+line, c.Cursor)
	}
	for _, x := range []float32{28, size - 28 - line} {
		k.Block(x, 18, x+line, 18+turn, c.Cursor)
		k.Block(x, size-18-turn, x+line, size-18, c.Cursor)
	}
	k.Disc(size/2, size/2, 24, c.Ink)
	var out bytes.Buffer
	if err := png.Encode(&out, k.Image()); err != nil {
		return nil
	}
	return out.Bytes()
}
