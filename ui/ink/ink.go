package ink

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"golang.org/x/image/vector"
)

// Picture is what is drawn on, in Fyne's units.
type Picture struct {
	to     *image.RGBA
	scale  float32
	raster vector.Rasterizer
}

// New takes a clear picture of a size; scale is pixels a unit.
func New(size fyne.Size, scale float32) *Picture {
	return &Picture{to: image.NewRGBA(image.Rect(0, 0, int(size.Width*scale)+1, int(size.Height*scale)+1)), scale: scale}
}

// OfPixels takes a clear picture of so many pixels that is wide units wide, for a
// canvas.Raster.
func OfPixels(w, h int, wide float32) *Picture {
	return &Picture{to: image.NewRGBA(image.Rect(0, 0, w, h)), scale: float32(w) / max(1, wide)}
}

// Image is what was drawn.
func (k *Picture) Image() image.Image { return k.to }

// Object is the picture as it stands on a canvas.
func (k *Picture) Object() *canvas.Image {
	img := canvas.NewImageFromImage(k.to)
	img.FillMode, img.ScaleMode = canvas.ImageFillStretch, canvas.ImageScaleFastest
	img.Resize(fyne.NewSize(float32(k.to.Rect.Dx())/k.scale, float32(k.to.Rect.Dy())/k.scale))
	return img
}

// Mixed is a colour between two, share of the way to the second.
func Mixed(a, b color.NRGBA, share float64) color.NRGBA {
	m := func(x, y uint8) uint8 { return uint8(float64(x) + share*(float64(y)-float64(x)) + 0.5) }
	return color.NRGBA{R: m(a.R, b.R), G: m(a.G, b.G), B: m(a.B, b.B), A: 255}
}

// Fill paints what outlines enclose; all of them turn the same way round, but for
// holes. A colour may let what lies below it through.
func (k *Picture) Fill(c color.NRGBA, outlines ...[]fyne.Position) {
	low, high := fyne.NewPos(math.MaxFloat32, math.MaxFloat32), fyne.NewPos(-math.MaxFloat32, -math.MaxFloat32)
	for _, o := range outlines {
		for _, p := range o {
			low.X, low.Y = min(low.X, p.X), min(low.Y, p.Y)
			high.X, high.Y = max(high.X, p.X), max(high.Y, p.Y)
		}
	}
	box := image.Rect(int(math.Floor(float64(low.X*k.scale))), int(math.Floor(float64(low.Y*k.scale))),
		int(math.Ceil(float64(high.X*k.scale)))+1, int(math.Ceil(float64(high.Y*k.scale)))+1)
	if box.Intersect(k.to.Bounds()).Empty() || box.Dx() > 4*k.to.Rect.Dx()+16 || box.Dy() > 4*k.to.Rect.Dy()+16 {
		return
	}
	k.raster.Reset(box.Dx(), box.Dy())
	for _, o := range outlines {
		for i, p := range o {
			x, y := p.X*k.scale-float32(box.Min.X), p.Y*k.scale-float32(box.Min.Y)
			if i == 0 {
				k.raster.MoveTo(x, y)
			} else {
				k.raster.LineTo(x, y)
			}
		}
		k.raster.ClosePath()
	}
	if box.In(k.to.Bounds()) {
		k.raster.Draw(k.to, box, image.NewUniform(c), image.Point{})
		return
	}
	mask := image.NewAlpha(image.Rect(0, 0, box.Dx(), box.Dy())) // the rasteriser draws past an edge
	k.raster.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	draw.DrawMask(k.to, box, image.NewUniform(c), image.Point{}, mask, image.Point{}, draw.Over)
}

// Box fills a rectangle; thin ones keep to whole pixels, so that all lines look alike.
func (k *Picture) Box(x, y, w, h float32, c color.NRGBA) {
	if w <= 0 || h <= 0 {
		return
	}
	snap := func(at, long float32) (float32, float32) {
		if long*k.scale < 4 {
			thick := max(1, float32(math.Round(float64(long*k.scale))))
			from := float32(math.Round(float64((at+long/2)*k.scale - thick/2)))
			return from / k.scale, thick / k.scale
		}
		return at, long
	}
	x, w = snap(x, w)
	y, h = snap(y, h)
	k.Fill(c, []fyne.Position{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}})
}

// Block fills a rectangle to the very edge, thin or not.
func (k *Picture) Block(x0, y0, x1, y1 float32, c color.NRGBA) {
	k.Fill(c, []fyne.Position{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}})
}

// Edge draws the edge of a rectangle, on its inside.
func (k *Picture) Edge(x0, y0, x1, y1, thick float32, c color.NRGBA) {
	k.Block(x0, y0, x1, y0+thick, c)
	k.Block(x0, y1-thick, x1, y1, c)
	k.Block(x0, y0+thick, x0+thick, y1-thick, c)
	k.Block(x1-thick, y0+thick, x1, y1-thick, c)
}

// Disc fills a circle.
func (k *Picture) Disc(x, y, r float32, c color.NRGBA) { k.Fill(c, round(x, y, r)) }

// Ring draws a circle by its edge, thick about r.
func (k *Picture) Ring(x, y, r, thick float32, c color.NRGBA) {
	hole := round(x, y, r-thick/2)
	slices.Reverse(hole)
	k.Fill(c, round(x, y, r+thick/2), hole)
}

// round is the outline of a circle, near enough at the sizes of dots.
func round(x, y, r float32) []fyne.Position {
	all := make([]fyne.Position, 24)
	for i := range all {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(all)))
		all[i] = fyne.NewPos(x+r*float32(cos), y+r*float32(sin))
	}
	return all
}

// Dashed draws a rectangle's edge in dashes.
func (k *Picture) Dashed(x, y, w, h float32, c color.NRGBA) {
	const dash, gap, thick = 6, 4, 1.5
	for at := float32(0); at < w; at += dash + gap {
		long := min(dash, w-at)
		k.Box(x+at, y, long, thick, c)
		k.Box(x+at, y+h-thick, long, thick, c)
	}
	for at := float32(0); at < h; at += dash + gap {
		long := min(dash, h-at)
		k.Box(x, y+at, thick, long, c)
		k.Box(x+w-thick, y+at, thick, long, c)
	}
}

// Stroke draws a line through points with round joints.
func (k *Picture) Stroke(points []fyne.Position, thick float32, c color.NRGBA) {
	r := thick / 2
	var all [][]fyne.Position
	for i, p := range points {
		disc := make([]fyne.Position, 8)
		for j := range disc {
			sin, cos := math.Sincos(2 * math.Pi * float64(j) / 8)
			disc[j] = fyne.NewPos(p.X+r*float32(cos), p.Y+r*float32(sin))
		}
		all = append(all, disc)
		if i == 0 {
			continue
		}
		q := points[i-1]
		dx, dy := p.X-q.X, p.Y-q.Y
		long := float32(math.Hypot(float64(dx), float64(dy)))
		if long == 0 {
			continue
		}
		nx, ny := -dy/long*r, dx/long*r
		all = append(all, []fyne.Position{{X: q.X - nx, Y: q.Y - ny}, {X: p.X - nx, Y: p.Y - ny}, {X: p.X + nx, Y: p.Y + ny}, {X: q.X + nx, Y: q.Y + ny}})
	}
	k.Fill(c, all...)
}
