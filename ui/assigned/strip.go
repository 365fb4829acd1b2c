package assigned

import (
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/homework"
	"endpin/piece/player"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
	"endpin/ui/takes"
)

// lowWindow is a height in which the page needs all the room while somebody plays.
const lowWindow = 720

// The teacher's words are as large as two lines of them may be, of a window's height.
const (
	askedLeast = 24
	askedMost  = 64
	askedShare = 0.06
	askedLines = 2
)

// homeworkEnd is how a file of homework is called.
const homeworkEnd = ".endpin"

// Strip stands over the page where homework lies on the desk: the teacher's words,
// large, the day, and what is done with it.
type Strip struct {
	Box *fyne.Container

	desk   *desk.Desk
	win    fyne.Window
	keeper *takes.Keeper
	choose Choose
	stands func() // called when it comes to stand there
	of     *homework.File
	says   []*prose.Para
	wide   float32       // that they have
	after  bool          // a take came to something
	show   *prose.Button // plays the teacher's own recording
	handIn *prose.Button
}

// Choose asks for a file; title and yes are messages of the catalogue.
type Choose func(title, yes string, is func(path string) bool, take func(path string))

// New sets it out; a keeper asks where files go, choose for one that is there. stands is
// called when it comes to stand there.
func New(d *desk.Desk, win fyne.Window, keeper *takes.Keeper, choose Choose, stands func()) *Strip {
	a := &Strip{desk: d, win: win, keeper: keeper, choose: choose, stands: stands}
	free := func(do func()) func() { return func() { do(); win.Canvas().Unfocus() } }
	a.show = prose.NewButton(words.Say("window.homework.listen"), free(d.PlayExample))
	a.handIn = prose.NewButton(words.Say("window.homework.hand-in"), a.Ask)
	a.handIn.Importance = widget.HighImportance
	a.Box = container.NewStack()
	a.Box.Hide()
	a.set()
	return a
}

// set writes down what the homework on the desk asks, if there is any.
func (a *Strip) set() {
	h := a.desk.Score.Homework
	a.of, a.says, a.Box.Objects = h, nil, nil
	if h == nil {
		a.Box.Hide()
		return
	}
	said := h.Text
	if said == "" {
		said = h.Lines()[0].String()
	}
	a.says = []*prose.Para{prose.NewPara(said, askedLeast, true, nil)}
	if day, err := h.Day(); err == nil && !day.IsZero() { // the rest the desk is set to
		a.says = append(a.says, prose.NewPara(words.Say("homework.says.until", "day", words.DayOfWeek(day)), theme.TextSize(), false, nil))
	}
	lines := container.New(a)
	for _, p := range a.says {
		lines.Add(p)
	}
	deeds := container.NewHBox(a.show, a.handIn, fit.Gap(6))
	a.Box.Add(container.NewBorder(nil, widget.NewSeparator(), fit.Gap(edge), container.NewCenter(deeds), lines))
}

// narrowest is the width that the words break for at least. A window with no room beside
// them has no size yet: it would keep the height that words and bar ask for together then.
const (
	narrowest = 650
	besides   = 150
)

// MinSize implements fyne.Layout.
func (a *Strip) MinSize([]fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(100, 2*edge)
	for i := range a.says {
		size.Height += a.high(i)
	}
	return size
}

// high is how high some of what is said is, the teacher's words as large as they may be: after a
// take that is said larger.
func (a *Strip) high(i int) float32 {
	p, wide := a.says[i], max(narrowest, a.wide)
	if i > 0 {
		return p.HeightFor(wide)
	}
	const step = 0.94
	size := min(askedMost, askedShare*a.win.Canvas().Size().Height)
	if a.desk.Result != nil {
		size = askedLeast
	}
	for size > askedLeast && len(prose.Lines(p.Says(), size, true, wide)) > askedLines {
		size *= step
	}
	return p.HeightIn(wide, max(askedLeast, size))
}

const edge = 6

// Layout implements fyne.Layout.
func (a *Strip) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	a.wide = size.Width
	y := float32(edge)
	for i, p := range a.says {
		high := a.high(i)
		p.Move(fyne.NewPos(0, y))
		p.Resize(fyne.NewSize(max(narrowest, a.wide), high))
		p.Refresh() // in other letters, perhaps
		y += high
	}
}

// Refresh shows the desk as it is now.
func (a *Strip) Refresh() {
	d := a.desk
	if a.of != d.Score.Homework {
		a.set()
	}
	if a.of == nil {
		return
	}
	size, stood := a.win.Canvas().Size(), a.Box.Visible()
	if after := d.Result != nil; after != a.after {
		a.after = after
		a.Box.Refresh()
	}
	fit.Hide(a.Box, size.Width < narrowest+besides || (d.Running || d.Closer() != nil) && size.Height < lowWindow) // the page needs its room
	if a.Box.Visible() && !stood && !d.Running {
		a.stands()
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

// Ask asks whose take it is that is handed in, and where the file goes.
func (a *Strip) Ask() {
	d := a.desk
	if why := d.MayHandIn(); why != "" {
		d.Say(why)
		return
	}
	var keep func()
	name := prose.NewEntry(func(string) bool { keep(); return false })
	if name.SetText(d.Settings.Player); d.Shown.Take.Player != "" {
		name.SetText(d.Shown.Take.Player)
	}
	more, owns := []*widget.FormItem{widget.NewFormItem(words.Say("window.homework.player"), name)}, prose.NewTick(words.Say("window.homework.diary"), nil)
	if d.Settings.Player == "" { // whose takes go into no diary yet
		more = append(more, widget.NewFormItem("", owns))
	}
	keep = a.keeper.Ask(takes.Kept{
		Title: words.Say("window.homework.hand-in"), Name: d.ExportName(homeworkEnd), End: homeworkEnd, More: more,
		Ready: func() error { _, err := player.Name(name.Text); return err },
		Write: func(path string) { d.HandIn(path, name.Text, owns.Checked) },
	})
	a.win.Canvas().Focus(name)
}

// taken lets what was typed stand.
func taken(string) bool { return true }

// levels are those that homework may ask for.
var levels = []string{finding.FirstYear.Name, finding.Intermediate.Name, finding.Advanced.Name}

// untilUsual is how many days there are to homework: until the next lesson.
const untilUsual = 7

// Make asks for what goes with what the desk is set to: the teacher's words and recording,
// the level and the day.
func (a *Strip) Make() {
	d := a.desk
	h := d.AsHomework()
	level := slices.Index(levels, h.Level)
	h.Level = "" // which is asked
	var lines []string
	for _, line := range h.Lines() {
		lines = append(lines, line.String())
	}
	text, until := prose.NewEntry(taken), prose.NewEntry(taken)
	until.SetPlaceHolder(h.Made.AddDate(0, 0, untilUsual).Format(time.DateOnly))
	var names []string
	for _, l := range levels {
		names = append(names, words.Say("window.level."+l))
	}
	asked := prose.NewDrop(names, nil)
	asked.SetSelectedIndex(max(0, level))
	example := a.example()
	a.keeper.Ask(takes.Kept{
		Title: words.Say("window.homework.make"), Name: d.PieceName(h.Measures) + homeworkEnd, End: homeworkEnd,
		More: []*widget.FormItem{
			widget.NewFormItem("", prose.Wrapped(strings.Join(lines, " "))),
			widget.NewFormItem(words.Say("window.homework.text"), text),
			widget.NewFormItem(words.Say("window.homework.level"), asked),
			widget.NewFormItem(words.Say("window.homework.until"), until),
			widget.NewFormItem(words.Say("window.homework.recording"), example.box),
		},
		Ready: func() (err error) {
			h.Text, h.Until, h.Level = text.Text, strings.TrimSpace(until.Text), levels[asked.SelectedIndex()]
			_, err = h.Check()
			return err
		},
		Write: func(path string) { d.WriteHomework(path, h, example.file) },
	})
	a.win.Canvas().Focus(text)
}

// example is the teacher's own recording, as it is chosen: a file, or the take on the page.
type example struct {
	box  *fyne.Container
	file string // "" for none
}

func (a *Strip) example() *example {
	x := &example{}
	name := widget.NewLabel(words.Say("window.homework.recording.none"))
	name.Truncation = fyne.TextTruncateEllipsis
	set := func(file, says string) {
		x.file = file
		name.SetText(says)
	}
	buttons := container.NewHBox()
	if sound := a.desk.TakeShown(); sound != "" {
		buttons.Add(prose.NewButton(words.Say("window.homework.with-take"), func() { set(sound, words.Say("window.homework.recording.take")) }))
	}
	buttons.Add(prose.NewButton(words.Say("window.homework.recording.choose"), func() {
		a.choose("window.homework.recording", "window.homework.recording.yes", class.IsMedia, func(path string) { set(path, filepath.Base(path)) })
	}))
	x.box = container.NewBorder(nil, nil, nil, buttons, name)
	return x
}
