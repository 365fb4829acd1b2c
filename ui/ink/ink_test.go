package ink

import (
	"image/color"
	"testing"

	"fyne.io/fyne/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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

// Every kind of finding is told by a form of its own shape on the desk as on paper.
func TestEveryKindOfFindingHasItsForm(t *testing.T) {
	white := color.NRGBA{R: 255, G: 255, B: 255, A: 255}
	const side = 48
	drawn := func(form Form, hollow bool) (k *Picture, inked int) {
		k = OfPixels(side, side, side)
		k.Block(0, 0, side, side, white)
		k.Shape(form, side/2, side/2, 0.45*side, hollow, black, white)
		for i := 0; i < len(k.to.Pix); i += 4 {
			inked += 255 - int(k.to.Pix[i])
		}
		return k, inked / 255
	}
	shapes := map[finding.Shape]*Picture{}
	for _, kind := range finding.Kinds() {
		shape := kind.Row().Shape
		form, ok := forms[shape]
		require.True(t, ok, "%s: nothing draws %q here", kind, shape)
		for _, outline := range form.Filled() {
			assert.Positive(t, area(outline), "%s goes round another way than the others", shape)
		}
		for _, hollow := range []bool{false, true} {
			for _, hole := range form.Cut(hollow) {
				assert.Negative(t, area(hole), "%s: a hole goes round as what it is cut out of", shape)
			}
		}
		picture, full := drawn(Of(kind), false)
		_, hollow := drawn(Of(kind), true)
		assert.Greater(t, full, side*side/20, "%s is seen", shape)
		if kind == finding.NotSure {
			assert.Equal(t, full, hollow, "it says so by itself")
		} else {
			assert.Less(t, hollow, full*4/5, "%s: hollow where it is not sure", shape)
			assert.Greater(t, hollow, full/5, shape)
		}
		shapes[shape] = picture
	}
	for a, x := range shapes {
		for b, y := range shapes {
			unlike := 0
			for i := 0; i < len(x.to.Pix); i += 4 {
				if max(x.to.Pix[i], y.to.Pix[i])-min(x.to.Pix[i], y.to.Pix[i]) > 127 {
					unlike++
				}
			}
			assert.True(t, a == b || unlike > side*side/20, "%s and %s look alike", a, b)
		}
	}
}

// area is what an outline encloses, negative where it goes round the other way.
func area(outline []fyne.Position) (twice float32) {
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		twice += p.X*q.Y - q.X*p.Y
	}
	return twice
}
