package ink

import (
	"image/color"
	"testing"

	"fyne.io/fyne/v2"
	"github.com/stretchr/testify/assert"

	"endpin/piece/finding"
)

var black = color.NRGBA{A: 255}

// alpha is how much is painted at a pixel.
func alpha(k *Picture, x, y int) uint8 { return k.to.RGBAAt(x, y).A }

func TestWhatRunsOverAnEdgeIsCutThere(t *testing.T) {
	k := OfPixels(12, 10, 12)
	k.Block(-5, -5, 30, 3, black)
	k.Disc(11.5, 9.5, 4, black)
	assert.EqualValues(t, 255, alpha(k, 0, 0))
	assert.EqualValues(t, 255, alpha(k, 11, 2))
	assert.EqualValues(t, 0, alpha(k, 0, 5), "nothing comes in again at the other side")
	assert.EqualValues(t, 255, alpha(k, 11, 9))
	k.Block(20, 20, 30, 30, black) // nowhere to be seen
	k.Fill(black, []fyne.Position{{X: -1, Y: 6}, {X: 5, Y: 20}, {X: 2, Y: 6}})
}

func TestARingIsHollowAndADiscIsNot(t *testing.T) {
	k := OfPixels(20, 20, 20)
	k.Ring(10, 10, 7, 2, black)
	assert.EqualValues(t, 0, alpha(k, 10, 10))
	assert.EqualValues(t, 255, alpha(k, 16, 10))
	k.Disc(10, 10, 3, black)
	assert.EqualValues(t, 255, alpha(k, 10, 10))
}

func TestAColourMayLetWhatLiesBelowThrough(t *testing.T) {
	k := OfPixels(4, 4, 4)
	k.Block(0, 0, 4, 4, color.NRGBA{R: 255, G: 255, B: 255, A: 255})
	k.Block(0, 0, 4, 4, color.NRGBA{A: 128})
	assert.InDelta(t, 127, int(k.to.RGBAAt(2, 2).R), 1)
	assert.EqualValues(t, 255, alpha(k, 2, 2))
}

func TestHeldShortIsABarThatEndsBeforeItsLine(t *testing.T) {
	k := OfPixels(40, 40, 40)
	k.Shape(Of(finding.HeldShort), 20, 20, 18, true, black, color.NRGBA{R: 255, G: 255, B: 255, A: 255})
	ink := func(x, y int) bool { return k.to.RGBAAt(x, y).A == 255 && k.to.RGBAAt(x, y).R == 0 }
	assert.True(t, ink(3, 20), "the bar begins")
	assert.False(t, ink(12, 20), "and is hollow where it is not sure")
	assert.False(t, ink(26, 20), "it ends")
	assert.True(t, ink(32, 20) && ink(32, 5) && ink(32, 35), "before the line")
}
