package ui

import (
	"image"
	"image/color"
	"math"
)

// paint fills simple shapes into a picture, soft at their edges; places and
// sizes are in units, of which each has scale pixels.
type paint struct {
	to    *image.RGBA
	scale float64
}

// newPaint begins a picture of so many pixels that is units wide; what lies
// behind it shows where nothing is painted.
func newPaint(w, h int, units float32) paint {
	return paint{image.NewRGBA(image.Rect(0, 0, w, h)), float64(w) / math.Max(1, float64(units))}
}

// mix is a colour so far on the way from one to another.
func mix(from, to color.NRGBA, share float64) color.NRGBA {
	m := func(a, b uint8) uint8 { return uint8(float64(a) + (float64(b)-float64(a))*share + 0.5) }
	return color.NRGBA{m(from.R, to.R), m(from.G, to.G), m(from.B, to.B), 255}
}

func (p paint) dab(x, y int, c color.NRGBA, share float64) {
	if share <= 0 || !(image.Point{X: x, Y: y}).In(p.to.Bounds()) {
		return
	}
	share = math.Min(1, share)
	over := func(below, c uint8) uint8 { return uint8(float64(below)*(1-share) + float64(c)*share + 0.5) }
	b := p.to.RGBAAt(x, y)
	p.to.SetRGBA(x, y, color.RGBA{over(b.R, c.R), over(b.G, c.G), over(b.B, c.B), over(b.A, 255)})
}

// rect fills from one corner to the other.
func (p paint) rect(x0, y0, x1, y1 float64, c color.NRGBA) { p.veil(x0, y0, x1, y1, c, 1) }

// veil is a rectangle that lets what lies below it through.
func (p paint) veil(x0, y0, x1, y1 float64, c color.NRGBA, share float64) {
	x0, y0, x1, y1 = x0*p.scale, y0*p.scale, x1*p.scale, y1*p.scale
	for y := int(math.Floor(y0)); float64(y) < y1; y++ {
		tall := math.Min(y1, float64(y+1)) - math.Max(y0, float64(y))
		for x := int(math.Floor(x0)); float64(x) < x1; x++ {
			wide := math.Min(x1, float64(x+1)) - math.Max(x0, float64(x))
			p.dab(x, y, c, share*tall*wide)
		}
	}
}

// frame draws the edge of a rectangle.
func (p paint) frame(x0, y0, x1, y1, width float64, c color.NRGBA) {
	p.rect(x0, y0, x1, y0+width, c)
	p.rect(x0, y1-width, x1, y1, c)
	p.rect(x0, y0+width, x0+width, y1-width, c)
	p.rect(x1-width, y0+width, x1, y1-width, c)
}

// ring draws a circle by its edge.
func (p paint) ring(x, y, radius, width float64, c color.NRGBA) {
	x, y, radius, half := x*p.scale, y*p.scale, radius*p.scale, width*p.scale/2
	p.around(x, y, radius+half, func(d float64) float64 { return half + 0.5 - math.Abs(d-radius) }, c)
}

// disc fills a circle.
func (p paint) disc(x, y, radius float64, c color.NRGBA) {
	x, y, radius = x*p.scale, y*p.scale, radius*p.scale
	p.around(x, y, radius, func(d float64) float64 { return radius + 0.5 - d }, c)
}

func (p paint) around(x, y, reach float64, share func(distance float64) float64, c color.NRGBA) {
	for py := int(y - reach - 1); py <= int(y+reach+1); py++ {
		for px := int(x - reach - 1); px <= int(x+reach+1); px++ {
			p.dab(px, py, c, share(math.Hypot(float64(px)+0.5-x, float64(py)+0.5-y)))
		}
	}
}

// inside fills what a test says, tried sixteen times a pixel.
func (p paint) inside(in func(x, y float64) bool, c color.NRGBA) {
	b := p.to.Bounds()
	for y := range b.Dy() {
		for x := range b.Dx() {
			n := 0
			for k := range 16 {
				if in((float64(x)+(float64(k%4)+0.5)/4)/p.scale, (float64(y)+(float64(k/4)+0.5)/4)/p.scale) {
					n++
				}
			}
			p.dab(x, y, c, float64(n)/16)
		}
	}
}
