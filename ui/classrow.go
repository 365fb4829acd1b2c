package ui

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/page"
)

// studentRow is one student in the list.
type studentRow struct {
	widget.BaseWidget
	back  *canvas.Rectangle
	name  *widget.Label
	words *widget.Label
	tap   func()
	at    string // what it shows
}

func newStudentRow(tap func()) *studentRow {
	r := &studentRow{back: canvas.NewRectangle(color.Transparent), name: bold(""), words: wrapped(""), tap: tap}
	r.ExtendBaseWidget(r)
	return r
}

// show shows a student, and reports whether anything changed.
func (r *studentRow) show(name, words string, heard, chosen bool, c page.Colours) bool {
	at := fmt.Sprint(name, "\x00", words, heard, chosen, c.Paper)
	if at == r.at {
		return false
	}
	r.at = at
	r.name.SetText(name)
	r.words.Importance = widget.MediumImportance
	if !heard {
		r.words.Importance = widget.LowImportance
	}
	r.words.SetText(words)
	r.back.FillColor = color.Transparent
	if chosen {
		r.back.FillColor = c.Chosen
	}
	r.Refresh()
	return true
}

// Tapped implements fyne.Tappable.
func (r *studentRow) Tapped(*fyne.PointEvent) { r.tap() }

// CreateRenderer implements fyne.Widget.
func (r *studentRow) CreateRenderer() fyne.WidgetRenderer {
	lines := container.New(&tight{}, r.name, r.words)
	return widget.NewSimpleRenderer(container.NewStack(r.back, lines))
}

// tight sets lines closer than a form would.
type tight struct{}

const lapped = 16 // of the padding that two labels have between them

func (t *tight) MinSize(all []fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(0, lapped)
	for _, o := range all {
		size.Width = max(size.Width, o.MinSize().Width)
		size.Height += o.MinSize().Height - lapped
	}
	return size
}

func (t *tight) Layout(all []fyne.CanvasObject, size fyne.Size) {
	y := float32(0)
	for _, o := range all {
		h := o.MinSize().Height
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(size.Width, h))
		y += o.MinSize().Height - lapped
	}
}

// parts sets two objects beside each other, or one below the other, with a line
// between them; the first has a share of the room.
type parts struct {
	first float32
	down  bool
}

func (p *parts) MinSize(all []fyne.CanvasObject) fyne.Size { return fyne.NewSize(200, 100) }

func (p *parts) Layout(all []fyne.CanvasObject, size fyne.Size) {
	const gap = 12
	if p.down {
		h := (size.Height - gap) * p.first
		all[0].Resize(fyne.NewSize(size.Width, h))
		all[1].Move(fyne.NewPos(0, h+gap/2))
		all[1].Resize(fyne.NewSize(size.Width, 1))
		all[2].Move(fyne.NewPos(0, h+gap))
		all[2].Resize(fyne.NewSize(size.Width, size.Height-h-gap))
		return
	}
	w := (size.Width - gap) * p.first
	all[0].Resize(fyne.NewSize(w, size.Height))
	all[1].Move(fyne.NewPos(w+gap/2, 0))
	all[1].Resize(fyne.NewSize(1, size.Height))
	all[2].Move(fyne.NewPos(w+gap, 0))
	all[2].Resize(fyne.NewSize(size.Width-w-gap, size.Height))
}

// thin gives one object a height.
type thin struct{ height float32 }

func (t *thin) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(100, t.height) }
func (t *thin) Layout(all []fyne.CanvasObject, size fyne.Size) {
	for _, o := range all {
		o.Resize(fyne.NewSize(size.Width, t.height))
	}
}
