package page

import (
	"image"
	"image/color"
	"image/draw"
	"testing"

	"endpin/ui/pen"
	"github.com/stretchr/testify/assert"
)

// ofInk counts the pixels of a colour in the columns of a picture.
func ofInk(img *image.RGBA, c color.RGBA, left, right int) (n int) {
	for y := range img.Rect.Dy() {
		for x := left; x < right; x++ {
			if img.RGBAAt(x, y) == c {
				n++
			}
		}
	}
	return n
}

func TestARoundThatWasCleanIsFilledAndTheLastAreSeenWhereThereIsNoRoom(t *testing.T) {
	ink, soft, paper := color.RGBA{A: 255}, color.RGBA{128, 128, 128, 255}, color.RGBA{255, 255, 255, 255}
	draws := func(rounds ...Round) *image.RGBA {
		img := image.NewRGBA(image.Rect(0, 0, 240, 140))
		draw.Draw(img, img.Bounds(), image.NewUniform(paper), image.Point{}, draw.Src)
		p := &pen.Pen{To: img, Space: 20}
		rowOn(p, rounds, 0, 0, 12, ink, soft, paper)
		return img
	}
	at := func(img *image.RGBA, k int) int { // the column of a round
		return ofInk(img, ink, int(20*(0.5+roundStep*float64(k))), int(20*(0.5+roundStep*float64(k+1))))
	}
	two := draws(Round{Off: 1.5}, Round{Clean: true})
	assert.Greater(t, at(two, 0), 0)
	assert.Greater(t, at(two, 1), at(two, 0), "filled")
	many := make([]Round, 20)
	many[19].Clean = true
	img := draws(many...)
	const fit = 5 // in the room of twelve staff spaces
	assert.Greater(t, at(img, fit-1), at(img, 0), "the last one is the clean one")
}

func TestTheRowOfRoundsIsInSightInALowWindow(t *testing.T) {
	p := read(t, tune(24))
	v, _ := shown(t, p, 960, 200, 12.5, day)
	measure := 12
	i, _ := v.find(measure)
	low := v.units(v.page.Systems[i].Top + v.page.Systems[i].Height)
	v.Bring(measure)
	assert.Less(t, v.Offset()+v.scroll.Size().Height, low, "without it what is below its marks may be hidden")
	v.SetRounds(measure, []Round{{Off: 1}, {Off: -1, Clean: true}})
	assert.GreaterOrEqual(t, v.Offset()+v.scroll.Size().Height, low-v.units(1))
}
