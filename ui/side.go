package ui

import (
	"fmt"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
)

// side stands beside the page: what was heard in the take shown, or the takes. It
// also holds the bar of progress and the offer of a take that was cut off, which
// stand under the page.
type side struct {
	w       *Window
	box     *fyne.Container
	open    bool
	takes   bool // the takes, not what was heard
	tabs    [2]*widget.Button
	heard   *fyne.Container
	scroll  *container.Scroll
	list    *takeList
	shown   *desk.Shown
	set     int // dismissals shown
	dark    bool
	listing string // what the list was last made of

	progress *fyne.Container
	hearing  *widget.Label
	bar      *widget.ProgressBar
	offer    *fyne.Container
}

const sideWidth = 446

func newSide(w *Window) *side {
	s := &side{w: w, heard: container.NewVBox(), list: newTakeList(w), takes: true}
	for i, label := range []string{"Heard", "All takes"} {
		s.tabs[i] = widget.NewButton(label, func() { s.turn(i == 1); w.win.Canvas().Unfocus() })
	}
	s.scroll = container.NewVScroll(s.heard)
	s.box = container.New(&column{sideWidth}, container.NewBorder(container.NewGridWithColumns(2, s.tabs[0], s.tabs[1]), nil, nil, nil,
		container.NewStack(s.scroll, s.list.box)))
	s.box.Hide()
	s.bar = widget.NewProgressBar()
	s.hearing = widget.NewLabel("")
	s.progress = container.NewBorder(nil, nil, s.hearing, widget.NewButton("Cancel", w.desk.Cancel), s.bar)
	s.progress.Hide()
	s.offer = container.NewHBox()
	s.offer.Hide()
	s.turn(true)
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

// toggle opens the column, or closes it.
func (s *side) toggle() {
	s.open = !s.open
	if s.open && s.w.plan.open {
		s.w.plan.toggle() // one thing beside the page at a time
	}
	if s.open {
		s.turn(s.w.desk.Shown == nil)
	}
	hide(s.box, !s.open)
	s.w.body.Refresh()
	s.refresh()
}

// turn shows the takes, or what was heard.
func (s *side) turn(takes bool) {
	s.takes = takes
	hide(s.scroll, takes)
	hide(s.list.box, !takes)
	for i, b := range s.tabs {
		b.Importance = widget.LowImportance
		if takes == (i == 1) {
			b.Importance = widget.MediumImportance
		}
		b.Refresh()
	}
}

func (s *side) refresh() {
	d := s.w.desk
	hide(s.progress, !d.Judging)
	if d.Judging {
		if text := "Hearing " + d.HearingOf() + " "; s.hearing.Text != text {
			s.hearing.SetText(text)
		}
		if at := max(0, d.Heard); at != s.bar.Value {
			s.bar.SetValue(at)
		}
	}
	s.offering()
	if !s.open {
		return
	}
	set := s.w.aside()
	if d.Shown != s.shown || set != s.set || s.dark != d.Settings.Dark || len(s.heard.Objects) == 0 {
		if d.Shown != s.shown && d.Shown != nil {
			s.turn(false)
		}
		s.shown, s.set, s.dark = d.Shown, set, d.Settings.Dark
		s.sentences()
	}
	s.list.refresh()
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

// sentences tells the findings of the take shown.
func (s *side) sentences() {
	d := s.w.desk
	s.heard.RemoveAll()
	if d.Shown == nil {
		s.heard.Add(wrapped("No take is shown. Play one, or open one of the takes."))
		return
	}
	t, h := d.Shown.Take, d.Shown.Hearing
	title := wrapped(takeName(t))
	title.SizeName = "subHeadingText"
	title.TextStyle.Bold = true
	s.heard.Add(container.New(&closeLines{}, title, wrapped(strings.Join(about(t), "  ·  "))))
	s.heard.Add(container.NewGridWithColumns(2, widget.NewButton("Keep the report", s.w.saveReport), widget.NewButton("Keep the sound", s.w.saveSound)))
	s.heard.Add(widget.NewSeparator())
	if len(h.Findings) == 0 {
		s.heard.Add(wrapped("Nothing to mend."))
	}
	for i := range h.Findings {
		s.heard.Add(newTold(s.w, i, true))
		s.heard.Add(widget.NewSeparator())
	}
	for _, remark := range h.Remarks {
		l := wrapped(remark)
		l.Importance = widget.LowImportance
		s.heard.Add(l)
	}
	s.scroll.ScrollToTop()
}

// takeName is what a take is called: when it was played, or the recording's file
// and who plays in it, where that is known.
func takeName(t *desk.Take) string {
	switch {
	case t.Elsewhere() && t.Player != "":
		return t.Player + ", " + filepath.Base(t.Sound)
	case t.Elsewhere():
		return filepath.Base(t.Sound)
	}
	return "Take of " + t.Made.Format("2 January, 15:04")
}

// about tells a take's measures, tempo and what was found.
func about(t *desk.Take) []string {
	measures := "all measures"
	if t.Measures != "" {
		measures = "measures " + strings.ReplaceAll(t.Measures, "-", "–")
		if !strings.Contains(t.Measures, "-") {
			measures = "measure " + t.Measures
		}
	}
	all := []string{measures}
	if qpm := t.Tempo(); qpm > 0 {
		all = append(all, fmt.Sprintf("♩ = %.0f", qpm))
	}
	if t.Found != "" {
		all = append(all, t.Found)
	}
	return all
}

// takeList is the list of takes. Only the rows in sight are there.
type takeList struct {
	w    *Window
	box  *fyne.Container
	rows *widget.List
	none *widget.Label
	of   string
}

func newTakeList(w *Window) *takeList {
	l := &takeList{w: w, none: wrapped("None yet. A take is kept each time you play, and each recording that you open stands here too.")}
	l.rows = widget.NewList(func() int { return len(w.desk.Takes) }, func() fyne.CanvasObject { return newTakeRow(w) },
		func(i widget.ListItemID, o fyne.CanvasObject) {
			if i < len(w.desk.Takes) {
				o.(*takeRow).show(w.desk.Takes[i])
			}
		})
	l.rows.OnSelected = func(i widget.ListItemID) {
		l.rows.UnselectAll()
		w.win.Canvas().Unfocus()
		if i < len(w.desk.Takes) {
			w.desk.Again(w.desk.Takes[i])
		}
	}
	l.box = container.NewStack(container.NewVBox(l.none), l.rows)
	return l
}

func (l *takeList) refresh() {
	d := l.w.desk
	of := fmt.Sprint(len(d.Takes), d.Settings.Dark)
	for _, t := range d.Takes {
		of += t.Sound + t.Found
	}
	if d.Shown != nil {
		of += " " + d.Shown.Take.Sound
	}
	if of == l.of {
		return
	}
	l.of = of
	hide(l.none, len(d.Takes) > 0)
	hide(l.rows, len(d.Takes) == 0)
	l.rows.Refresh()
}

// takeRow is one take in the list.
type takeRow struct {
	widget.BaseWidget
	w      *Window
	take   *desk.Take
	when   *widget.Label
	what   *widget.Label
	remove *widget.Button
}

func newTakeRow(w *Window) *takeRow {
	r := &takeRow{w: w, when: widget.NewLabel(" "), what: widget.NewLabel(" ")}
	r.when.TextStyle.Bold = true
	r.when.Truncation, r.what.Truncation = fyne.TextTruncateEllipsis, fyne.TextTruncateEllipsis
	r.remove = widget.NewButton("Remove", func() { r.w.removeTake(r.take) })
	r.remove.Importance = widget.LowImportance
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer implements fyne.Widget.
func (r *takeRow) CreateRenderer() fyne.WidgetRenderer {
	lines := container.New(&closeLines{}, container.NewBorder(nil, nil, nil, r.remove, r.when), r.what)
	return widget.NewSimpleRenderer(lines)
}

// closeLines sets two lines nearer together than labels stand by themselves.
type closeLines struct{}

const nearer = 15

func (closeLines) MinSize(all []fyne.CanvasObject) fyne.Size {
	a, b := all[0].MinSize(), all[1].MinSize()
	return fyne.NewSize(max(a.Width, b.Width), a.Height+b.Height-nearer)
}

func (closeLines) Layout(all []fyne.CanvasObject, size fyne.Size) {
	a := all[0].MinSize().Height
	all[0].Move(fyne.NewPos(0, 0))
	all[0].Resize(fyne.NewSize(size.Width, a))
	all[1].Move(fyne.NewPos(0, a-nearer))
	all[1].Resize(fyne.NewSize(size.Width, size.Height-a+nearer))
}

func (r *takeRow) show(t *desk.Take) {
	r.take = t
	when := strings.TrimPrefix(takeName(t), "Take of ")
	if s := r.w.desk.Shown; s != nil && s.Take == t {
		when = "▸ " + when
	}
	r.when.SetText(when)
	r.what.SetText(strings.Join(about(t), "  ·  "))
}

// removeTake asks before a take goes for good.
func (w *Window) removeTake(t *desk.Take) {
	name := strings.Replace(takeName(t), "Take", "the take", 1)
	text := "Its sound and what was found in it will be gone."
	if t.Elsewhere() {
		name = filepath.Base(t.Sound) // whatever it is called
		text = "It leaves this list, with what was put aside in it.\nThe recording itself stays where it is."
	}
	c := dialog.NewConfirm("Remove "+name+"?", text, func(yes bool) {
		if yes {
			w.desk.Remove(t)
		}
		w.win.Canvas().Unfocus()
	}, w.win)
	c.SetConfirmText("Remove it")
	c.SetDismissText("Leave it")
	c.Show()
}

func heading(text string) fyne.CanvasObject {
	l := widget.NewLabel(text)
	l.TextStyle.Bold = true
	l.SizeName = "headingText"
	return l
}
