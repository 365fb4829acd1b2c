package classroom

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// studentRow is one student in the list.
type studentRow struct {
	widget.BaseWidget
	back  *canvas.Rectangle
	name  *widget.Label
	about *widget.Label
	tap   func()
	at    string // what it shows
}

func newStudentRow(tap func()) *studentRow {
	r := &studentRow{back: canvas.NewRectangle(color.Transparent), name: prose.Bold(""), about: prose.Wrapped(""), tap: tap}
	r.ExtendBaseWidget(r)
	return r
}

// show shows a student, and reports whether anything changed.
func (r *studentRow) show(name, about string, heard, chosen bool, c ink.Colours) bool {
	at := fmt.Sprint(name, "\x00", about, heard, chosen, c.Paper)
	if at == r.at {
		return false
	}
	r.at = at
	r.name.SetText(name)
	r.about.Importance = widget.MediumImportance
	if !heard {
		r.about.Importance = widget.LowImportance
	}
	r.about.SetText(about)
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
	lines := fit.Close(r.name, r.about)
	return widget.NewSimpleRenderer(container.NewStack(r.back, lines))
}
