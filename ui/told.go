package ui

import (
	"strings"
	"unicode"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/ui/desk"
	"endpin/ui/ink"
)

// newTold is one finding of the take shown: its shape, its sentence, and a way to
// put it aside. With a head it stands in the list beside the page: measure and
// mark over the sentence, and a tap looks closer.
func newTold(w *Window, i int, head bool) fyne.CanvasObject {
	d := w.desk
	f := &d.Shown.Hearing.Findings[i]
	reason, set := d.Dismissed(i)
	text := f.Text
	if head {
		text = turn(d, i) + text
	}
	if set {
		text = "Put aside (" + reason + "): " + text
	}
	sentence := wrapped(text)
	sentence.TextStyle.Italic = set
	button := widget.NewButton("Put aside", func() { w.putAside(i) })
	if set {
		button = widget.NewButton("Take it back", func() { d.Dismiss(i, ""); w.win.Canvas().Unfocus() })
	}
	button.Importance = widget.LowImportance
	c := Look{d.Settings.Dark}.Colours()
	const side = 20
	k := ink.New(fyne.NewSize(side, side), scaleOf(w))
	colour := c.Ink
	if set {
		colour = c.Soft
	}
	k.Shape(ink.Of(f.Kind), side/2, side/2, 8, f.Trust != dsp.Sure || set, colour, c.Paper)
	drawn := k.Object()
	drawn.SetMinSize(fyne.NewSize(side, side))
	shape := container.NewPadded(drawn)
	if !head {
		return container.NewBorder(nil, nil, container.NewCenter(shape), button, sentence)
	}
	title := widget.NewLabel(place(f))
	title.TextStyle.Bold = !set
	title.Truncation = fyne.TextTruncateEllipsis
	box := container.New(&closeLines{}, container.NewBorder(nil, nil, container.NewCenter(shape), button, title), sentence)
	if !d.HasMeasure(i) {
		return box
	}
	return newTappable(w, box, func() { d.LookAt(i) })
}

// turn says when a finding's turn comes of those that are worth fixing first:
// those put aside have none.
func turn(d *desk.Desk, i int) string {
	n := 0
	for _, k := range d.Shown.Hearing.WorthFixing {
		_, set := d.Dismissed(k)
		switch {
		case set:
		case k != i:
			n++
		case n == 0:
			return "First: "
		default:
			return "Then: "
		}
	}
	return ""
}

// place names where a finding is and its mark.
func place(f *finding.Finding) string {
	short := strings.Replace(f.Short, " cents", "", 1) // as on the page
	if f.Kind == finding.Tempo || f.Kind == finding.Tuning || f.Kind == finding.NotSure {
		return capital(f.Short)
	}
	if short == "" {
		return "Measure " + f.Measure
	}
	return "Measure " + f.Measure + "  ·  " + short
}

func capital(s string) string {
	r := []rune(s)
	if len(r) > 0 {
		r[0] = unicode.ToUpper(r[0])
	}
	return string(r)
}

// aside is how many findings of the take shown were put aside.
func (w *Window) aside() int {
	if w.desk.Shown == nil {
		return 0
	}
	return len(w.desk.Shown.Take.Dismissed)
}

func scaleOf(w *Window) float32 { return max(1, w.win.Canvas().Scale()) }

// putAside asks why a finding is put aside; the reason is kept with the take.
func (w *Window) putAside(i int) {
	d := w.desk
	var c *dialog.CustomDialog
	done := func(reason string) {
		c.Hide()
		d.Dismiss(i, reason)
		w.win.Canvas().Unfocus()
	}
	box := container.NewVBox(wrapped(d.Shown.Hearing.Findings[i].Text))
	for _, reason := range desk.Reasons {
		b := widget.NewButton(reason, func() { done(reason) })
		b.Alignment = widget.ButtonAlignLeading
		box.Add(b)
	}
	own := widget.NewEntry()
	own.SetPlaceHolder("Or in your own words")
	keep := func() {
		if reason := strings.TrimSpace(own.Text); reason != "" {
			done(reason)
		}
	}
	own.OnSubmitted = func(string) { keep() }
	box.Add(container.NewBorder(nil, nil, nil, widget.NewButton("Keep this reason", keep), own))
	c = dialog.NewCustom("Why put it aside?", "Leave it", box, w.win)
	c.Resize(fyne.NewSize(620, 430))
	c.Show()
}

// tappable is a part of the window that does something where it is tapped.
type tappable struct {
	widget.BaseWidget
	w       *Window
	content fyne.CanvasObject
	under   *canvas.Rectangle
	do      func()
}

func newTappable(w *Window, content fyne.CanvasObject, do func()) *tappable {
	t := &tappable{w: w, content: content, under: canvas.NewRectangle(nil), do: do}
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
	t.under.FillColor = Look{t.w.desk.Settings.Dark}.Colours().Chosen
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
