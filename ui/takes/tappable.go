package takes

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
	"endpin/ui/ink"
)

// tappable is a part of the window that does something where it is tapped.
type tappable struct {
	widget.BaseWidget
	desk    *desk.Desk
	content fyne.CanvasObject
	under   *canvas.Rectangle
	do      func()
}

func newTappable(d *desk.Desk, content fyne.CanvasObject, do func()) *tappable {
	t := &tappable{desk: d, content: content, under: canvas.NewRectangle(nil), do: do}
	t.under.CornerRadius = 6
	t.under.Hide()
	t.ExtendBaseWidget(t)
	return t
}

// CreateRenderer implements fyne.Widget.
func (t *tappable) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.NewStack(t.under, t.content))
}

// Tapped implements fyne.Tappable.
func (t *tappable) Tapped(*fyne.PointEvent) { t.do() }

// Cursor implements desktop.Cursorable.
func (t *tappable) Cursor() desktop.Cursor { return desktop.PointerCursor }

// MouseIn implements desktop.Hoverable.
func (t *tappable) MouseIn(*desktop.MouseEvent) {
	t.under.FillColor = ink.Look{Dark: t.desk.Settings.Dark}.Colours().Chosen
	t.under.Show()
	t.under.Refresh()
}

// MouseMoved implements desktop.Hoverable.
func (t *tappable) MouseMoved(*desktop.MouseEvent) {}

// MouseOut implements desktop.Hoverable.
func (t *tappable) MouseOut() {
	t.under.Hide()
	t.under.Refresh()
}
