package page

import (
	"endpin/ui/pen"
	"image/color"
	"math"
	"slices"
)

// Round is one time through what is being mended: how far off it was, in what is let pass.
type Round struct {
	Off   float64 // above nothing: sharp, or late
	Clean bool
}

// SetRounds shows under a measure how the rounds at it went, in the place of what was heard
// in the last; measure is -1 for none.
func (v *View) SetRounds(measure int, rounds []Round) {
	if v.roundsAt == measure && slices.Equal(v.rounds, rounds) {
		return
	}
	for _, m := range []int{v.roundsAt, measure} {
		if i, _ := v.find(m); i >= 0 {
			delete(v.sheet.pictures, i)
		}
	}
	v.roundsAt, v.rounds = measure, rounds
	v.sheet.Refresh()
	if measure >= 0 {
		v.Bring(measure) // the row is lower than most marks
	}
}

// Sizes of the row of rounds, staff spaces.
const (
	roundSize = 0.62 // the radius of one
	roundStep = 1.9
	bandHalf  = 1.3 // what is let pass
	mostOff   = 2.2 // times that: what lies farther is drawn there
)

// lowest is how far below the staff's room the row comes.
func lowest(rounds []Round) float64 {
	down := bandHalf
	for _, one := range rounds {
		down = math.Max(down, roundSize-bandHalf*math.Max(-mostOff, one.Off))
	}
	const edge = 0.3 // to the edge of the page
	return markRoom/2 + down + edge
}

// rowOn draws rounds from x on, in a width: a band for what is let pass, and each above or
// below its middle, filled where it was clean. Where there is no room for all, the last are drawn.
func rowOn(p *pen.Pen, rounds []Round, x, y, w float64, ink, soft, paper color.Color) {
	middle := y + markRoom/2
	r, g, b, _ := soft.RGBA()
	band := color.NRGBA{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), 56}
	p.Rect(x+0.3, middle-bandHalf, w-0.6, 2*bandHalf)
	p.Fill(band)
	p.Rect(x+0.3, middle-0.06, w-0.6, 0.12)
	p.Fill(soft)
	if fit := max(1, int((w-1)/roundStep)); len(rounds) > fit {
		rounds = rounds[len(rounds)-fit:]
	}
	for i, one := range rounds {
		at := middle - bandHalf*math.Max(-mostOff, math.Min(mostOff, one.Off))
		cx := x + 0.6 + roundSize + float64(i)*roundStep
		p.Disc(cx, at, roundSize, ink)
		if !one.Clean {
			p.Disc(cx, at, roundSize*0.6, paper)
		}
	}
}
