package ui

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
)

// side stands beside the page: the takes, and what was heard in the one shown,
// a sentence each. It also holds the bar of progress and the offer of a take
// that was cut off, which stand under the page.
type side struct {
	w        *Window
	box      *fyne.Container
	takes    *fyne.Container
	heard    *fyne.Container
	open     bool
	progress *fyne.Container
	bar      *widget.ProgressBar
	offer    *fyne.Container
	shown    *desk.Shown
	set      int // dismissals shown
	listed   int
	first    string
}

func newSide(w *Window) *side {
	s := &side{w: w, takes: container.NewVBox(), heard: container.NewVBox(), listed: -1}
	scroll := container.NewVScroll(container.NewVBox(s.heard, s.takes))
	s.box = container.New(&column{380}, scroll)
	s.box.Hide()
	s.bar = widget.NewProgressBar()
	s.progress = container.NewBorder(nil, nil, widget.NewLabel("Hearing the take"), widget.NewButton("Cancel", w.desk.Cancel), s.bar)
	s.progress.Hide()
	s.offer = container.NewHBox()
	s.offer.Hide()
	return s
}

// column gives one object a width of its own and all the height there is.
type column struct{ width float32 }

func (c *column) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(c.width, 100) }
func (c *column) Layout(all []fyne.CanvasObject, size fyne.Size) {
	for _, o := range all {
		o.Move(fyne.NewPos(0, 0))
		o.Resize(size)
	}
}

func (s *side) toggle() {
	s.open = !s.open
	if s.open && s.w.plan.open {
		s.w.plan.toggle() // one thing beside the page at a time
	}
	hide(s.box, !s.open)
	s.w.body.Refresh()
	s.refresh()
}

func (s *side) refresh() {
	d := s.w.desk
	hide(s.progress, !d.Judging)
	if d.Judging && d.Heard >= 0 && d.Heard != s.bar.Value {
		s.bar.SetValue(d.Heard)
	}
	s.offering()
	if !s.open {
		return
	}
	found := ""
	if len(d.Takes) > 0 {
		found = d.Takes[0].Sound + d.Takes[0].Found
	}
	if len(d.Takes) != s.listed || found != s.first {
		s.listed, s.first = len(d.Takes), found
		s.list()
	}
	if d.Shown != nil && (d.Shown != s.shown || len(d.Shown.Take.Dismissed) != s.set) {
		s.shown, s.set = d.Shown, len(d.Shown.Take.Dismissed)
		s.sentences()
	}
}

func (s *side) offering() {
	d := s.w.desk
	t := d.CutOff
	if t == nil || d.Running || d.Judging {
		hide(s.offer, true)
		return
	}
	if len(s.offer.Objects) == 0 {
		s.offer.Add(widget.NewLabel(fmt.Sprintf("A take of %s was cut off after %.0f seconds. All of it is here.", t.Made.Format("2 January, 15:04"), t.Seconds)))
		s.offer.Add(widget.NewButton("Hear it", func() { d.Again(t) }))
	}
	hide(s.offer, false)
}

// list shows the takes.
func (s *side) list() {
	s.takes.RemoveAll()
	s.takes.Add(heading("Takes"))
	if len(s.w.desk.Takes) == 0 {
		s.takes.Add(widget.NewLabel("None yet."))
	}
	for _, t := range s.w.desk.Takes {
		measures := "all measures"
		if t.Measures != "" {
			measures = "measures " + t.Measures
		}
		text := fmt.Sprintf("%s  ·  %s\n♩ = %.4g  ·  %s", t.Made.Format("2 Jan 15:04"), measures, t.QPM, t.Found)
		b := widget.NewButton(text, func() { s.w.desk.Again(t) })
		b.Alignment = widget.ButtonAlignLeading
		b.Importance = widget.LowImportance
		s.takes.Add(b)
	}
}

// sentences tells the findings of the take shown.
func (s *side) sentences() {
	d := s.w.desk
	s.heard.RemoveAll()
	s.heard.Add(heading("Heard"))
	h := d.Shown.Hearing
	if len(h.Findings) == 0 {
		s.heard.Add(widget.NewLabel("Nothing to mend."))
	}
	first := map[int]bool{}
	for _, i := range h.WorthFixing {
		first[i] = true
	}
	for i := range h.Findings {
		text := h.Findings[i].Text
		if first[i] {
			text = "First: " + text
		}
		reason, set := d.Dismissed(i)
		if set {
			text = "Put aside (" + reason + "): " + text
		}
		l := widget.NewLabel(text)
		l.Wrapping = fyne.TextWrapWord
		l.TextStyle.Bold = first[i] && !set
		l.TextStyle.Italic = set
		s.heard.Add(l)
		if set {
			s.heard.Add(widget.NewButton("Take it back", func() { d.Dismiss(i, "") }))
			continue
		}
		row := container.NewHBox(widget.NewLabel("      "))
		choose := widget.NewSelect(desk.Reasons, func(reason string) { d.Dismiss(i, reason) })
		choose.PlaceHolder = "Put aside …"
		row.Add(choose)
		s.heard.Add(row)
	}
	row := container.NewHBox(widget.NewButton("Keep the report", s.w.saveReport), widget.NewButton("Keep the sound", s.w.saveSound))
	s.heard.Add(row)
	s.heard.Add(widget.NewSeparator())
}

func heading(text string) fyne.CanvasObject {
	l := widget.NewLabel(text)
	l.TextStyle.Bold = true
	l.SizeName = "headingText"
	return l
}
