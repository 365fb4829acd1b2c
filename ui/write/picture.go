package write

import (
	"image"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// picture is a scan or a photograph of a printed page, beside the one that is written.
type picture struct {
	s      *Screen
	file   string
	turned int // quarter turns
	times  float32
	from   image.Image
	image  *canvas.Image
	scroll *container.Scroll
	box    *fyne.Container
}

func newPicture(s *Screen) *picture {
	p := &picture{s: s, times: 1, image: canvas.NewImageFromImage(image.NewNRGBA(image.Rect(0, 0, 1, 1)))}
	p.image.FillMode = canvas.ImageFillContain
	p.scroll = container.NewScroll(p.image)
	button := func(name string, do func()) *prose.Button {
		b := prose.NewButton(words.Say("window.write.picture."+name), func() { s.freed(do) })
		b.Importance = widget.LowImportance
		return b
	}
	tools := fit.Row(button("larger", func() { p.zoom(1.25) }), button("smaller", func() { p.zoom(0.8) }), button("turn", p.turn), button("away", func() { s.writing.SetPicture("") }))
	p.box = container.NewBorder(tools, nil, nil, nil, p.scroll)
	return p
}

// IsPicture reports whether a file is named as a picture that can lie beside the page.
func IsPicture(path string) bool {
	return slices.Contains([]string{".png", ".jpg", ".jpeg"}, strings.ToLower(filepath.Ext(path)))
}

// beside lays the picture beside what is written.
func (p *picture) beside(page fyne.CanvasObject) fyne.CanvasObject {
	fit.Hide(p.box, true)
	return container.New(aside{p}, p.box, page)
}

// aside gives the picture its share where it is seen.
type aside struct{ p *picture }

// MinSize implements fyne.Layout.
func (aside) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(320, 120) }

// Layout implements fyne.Layout.
func (a aside) Layout(all []fyne.CanvasObject, size fyne.Size) {
	const share, gap = 0.42, 10
	left := float32(0)
	if all[0].Visible() {
		left = size.Width * share
		all[0].Resize(fyne.NewSize(left-gap, size.Height))
		all[0].Move(fyne.NewPos(0, 0))
		a.p.fit()
	}
	all[1].Move(fyne.NewPos(left, 0))
	all[1].Resize(fyne.NewSize(size.Width-left, size.Height))
}

// refresh shows the picture chosen.
func (p *picture) refresh() {
	file := p.s.writing.Picture
	if file == p.file {
		return
	}
	p.file, p.turned, p.times = file, 0, 1
	if file != "" {
		p.from = p.s.writing.Scan
	}
	p.draw()
	if seen := file != ""; p.box.Visible() != seen {
		fit.Hide(p.box, !seen)
		p.s.box.Refresh()
	}
}

func (p *picture) turn() {
	p.turned = (p.turned + 1) % 4
	p.draw()
}

func (p *picture) zoom(by float32) {
	p.times = max(0.5, min(6, p.times*by))
	p.fit()
}

// draw draws the picture as it is turned.
func (p *picture) draw() {
	if p.from == nil {
		return
	}
	img := p.from
	for range p.turned {
		b := img.Bounds()
		out := image.NewRGBA(image.Rect(0, 0, b.Dy(), b.Dx()))
		for y := range b.Dy() {
			for x := range b.Dx() {
				out.Set(b.Dy()-1-y, x, img.At(b.Min.X+x, b.Min.Y+y))
			}
		}
		img = out
	}
	p.image.Image = img
	p.image.Refresh()
	p.fit()
}

// fit makes the picture as wide as its column, so many times.
func (p *picture) fit() {
	b := p.image.Image.Bounds()
	w := max(10, p.scroll.Size().Width) * p.times
	p.image.SetMinSize(fyne.NewSize(w, w*float32(b.Dy())/float32(max(1, b.Dx()))))
	p.scroll.Refresh()
}

// askPicture asks for a picture.
func (s *Screen) askPicture() {
	s.choose("window.write.picture.title", "window.write.picture.yes", IsPicture, s.writing.SetPicture)
}
