package ui

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/player"
	"endpin/piece/words"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
	"endpin/ui/takes"
)

// asked is the size of the teacher's words.
const asked = 24

// homeworkEnd is how a file of homework is called.
const homeworkEnd = ".endpin"

// assigned stands over the page where homework lies on the desk: the teacher's words,
// large, the day, and what is done with it.
type assigned struct {
	w      *Window
	box    *fyne.Container
	says   []*prose.Para
	wide   float32        // that they have
	show   *widget.Button // plays the teacher's own recording
	handIn *widget.Button
}

func newAssigned(w *Window) *assigned {
	a := &assigned{w: w}
	free := func(do func()) func() { return func() { do(); w.win.Canvas().Unfocus() } }
	a.show = widget.NewButton(words.Say("window.homework.listen"), free(w.desk.PlayExample))
	a.handIn = widget.NewButton(words.Say("window.homework.hand-in"), a.ask)
	a.handIn.Importance = widget.HighImportance
	h := w.desk.Score.Homework
	if h == nil {
		a.box = container.NewWithoutLayout()
		a.box.Hide()
		return a
	}
	said := h.Text
	if said == "" {
		said = h.Lines()[0].String()
	}
	a.says = []*prose.Para{prose.NewPara(said, asked, true, nil)}
	if day, err := h.Day(); err == nil && !day.IsZero() { // the rest the desk is set to
		a.says = append(a.says, prose.NewPara(words.Say("homework.says.until", "day", words.DayOfWeek(day)), theme.TextSize(), false, nil))
	}
	lines := container.New(a)
	for _, p := range a.says {
		lines.Add(p)
	}
	deeds := container.NewHBox(a.show, a.handIn, fit.Gap(6))
	a.box = container.NewBorder(nil, widget.NewSeparator(), fit.Gap(headEdge), container.NewCenter(deeds), lines)
	a.box.Hide()
	return a
}

// narrowest is the width that the words break for at least. A window with no room beside
// them has no size yet: it would keep the height that words and bar ask for together then.
const (
	narrowest = 650
	besides   = 150
)

// MinSize implements fyne.Layout.
func (a *assigned) MinSize([]fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(100, 2*lineEdge)
	for _, p := range a.says {
		size.Height += p.HeightFor(max(narrowest, a.wide))
	}
	return size
}

const lineEdge = 4

// Layout implements fyne.Layout.
func (a *assigned) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	a.wide = size.Width
	y := float32(lineEdge)
	for _, p := range a.says {
		high := p.HeightFor(max(narrowest, a.wide))
		p.Move(fyne.NewPos(0, y))
		p.Resize(fyne.NewSize(max(narrowest, a.wide), high))
		y += high
	}
}

func (a *assigned) refresh() {
	d := a.w.desk
	if d.Score.Homework == nil {
		return
	}
	size, stood := a.w.win.Canvas().Size(), a.box.Visible()
	fit.Hide(a.box, size.Width < narrowest+besides || (d.Running || d.Closer() != nil) && size.Height < lowWindow) // the page needs its room
	if a.box.Visible() && !stood && !d.Running {
		a.w.body.Refresh()
		a.w.page.Bring(d.Work.First)
	}
	ink := ink.Look{Dark: d.Settings.Dark}.Colours().Ink
	for i, p := range a.says {
		p.Say(p.Says(), i == 0, ink)
	}
	there, plays := d.Example()
	fit.Hide(a.show, !there || d.Running)
	text := words.Say("window.homework.listen")
	if plays {
		text = words.Say("window.homework.listen.stop")
	}
	if a.show.Text != text {
		a.show.SetText(text)
	}
	fit.Hide(a.handIn, d.Running)
	if none := d.Shown == nil; none != a.handIn.Disabled() {
		if none {
			a.handIn.Disable()
		} else {
			a.handIn.Enable()
		}
	}
}

// ask asks whose take it is that is handed in, and where the file goes.
func (a *assigned) ask() {
	d := a.w.desk
	if why := d.MayHandIn(); why != "" {
		d.Say(why)
		return
	}
	name := prose.NewEntry(taken)
	if name.SetText(d.Settings.Player); d.Shown.Take.Player != "" {
		name.SetText(d.Shown.Take.Player)
	}
	a.w.side.Ask(takes.Kept{
		Title: words.Say("window.homework.hand-in"), Name: d.ExportName(homeworkEnd), End: homeworkEnd,
		More:  []*widget.FormItem{widget.NewFormItem(words.Say("window.homework.player"), name)},
		Ready: func() error { _, err := player.Name(name.Text); return err },
		Write: func(path string) { d.HandIn(path, name.Text) },
	})
	a.w.win.Canvas().Focus(name)
}

// taken lets what was typed stand.
func taken(string) bool { return true }

// makeHomework asks for the words that go with what the desk is set to.
func (w *Window) makeHomework() {
	d := w.desk
	h := d.AsHomework()
	var lines []string
	for _, line := range h.Lines() {
		lines = append(lines, line.String())
	}
	text, until := prose.NewEntry(taken), prose.NewEntry(taken)
	until.SetPlaceHolder(h.Made.Format("2006-01-02"))
	withTake := prose.NewTick(words.Say("window.homework.with-take"), nil)
	items := []*widget.FormItem{
		widget.NewFormItem("", prose.Wrapped(strings.Join(lines, " "))),
		widget.NewFormItem(words.Say("window.homework.text"), text),
		widget.NewFormItem(words.Say("window.homework.until"), until),
	}
	if d.Shown != nil {
		items = append(items, widget.NewFormItem("", withTake))
	}
	w.side.Ask(takes.Kept{
		Title: words.Say("window.homework.make"), Name: d.HomeworkName() + homeworkEnd, End: homeworkEnd, More: items,
		Ready: func() (err error) {
			h.Text, h.Until = text.Text, strings.TrimSpace(until.Text)
			_, err = h.Check()
			return err
		},
		Write: func(path string) { d.WriteHomework(path, h, withTake.Checked) },
	})
	w.win.Canvas().Focus(text)
}
