package ui

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
)

// classAsk is what a teacher sets before a class is heard.
type classAsk struct {
	s        *classScreen
	box      *fyne.Container
	piece    *widget.Label
	folder   *widget.Label
	roster   *widget.Label
	none     *widget.Button
	out      *widget.Label
	measures *widget.Entry
	tempo    *widget.Entry
	level    *widget.Select
	sound    *widget.Check
	afresh   *widget.Check
	start    *widget.Button
	message  *widget.Label
}

func newClassAsk(s *classScreen) *classAsk {
	c := s.class
	a := &classAsk{s: s, piece: value(), folder: value(), roster: value(), out: value(), measures: widget.NewEntry(), tempo: widget.NewEntry()}
	piece := widget.NewButton("Choose …", func() { s.pickFile(pieces, c.Drop) })
	folder := widget.NewButton("Choose …", func() { s.pickFolder(c.Drop) })
	roster := widget.NewButton("Choose …", func() { s.pickFile(rosters, c.Drop) })
	a.none = widget.NewButton("None", func() { c.Ask(func(x *desk.ClassAsked) { x.Roster = "" }) })
	out := widget.NewButton("Choose …", func() {
		s.pickFolder(func(path string) { c.Ask(func(x *desk.ClassAsked) { x.Out = path }) })
	})
	a.measures.SetPlaceHolder("all")
	a.tempo.SetPlaceHolder("the piece’s own")
	a.measures.OnSubmitted = func(string) { a.submit(); s.w.win.Canvas().Unfocus() }
	a.tempo.OnSubmitted = a.measures.OnSubmitted
	a.level = widget.NewSelect([]string{"first-year", "intermediate", "advanced"}, nil)
	a.level.SetSelected(c.Asked.Level)
	a.level.OnChanged = func(v string) { c.Ask(func(x *desk.ClassAsked) { x.Level = v }) }
	a.sound = widget.NewCheck("Put two seconds of sound beside each thing to work on", nil)
	a.sound.SetChecked(!c.Asked.NoSound)
	a.sound.OnChanged = func(yes bool) { c.Ask(func(x *desk.ClassAsked) { x.NoSound = !yes }) }
	a.afresh = widget.NewCheck("Hear all again, also what an earlier run has heard", nil)
	a.afresh.OnChanged = func(yes bool) { c.Ask(func(x *desk.ClassAsked) { x.Afresh = yes }) }
	a.start = widget.NewButton("Hear the class", s.start)
	a.start.Importance = widget.HighImportance
	a.message = wrapped("")
	a.message.TextStyle.Bold = true

	row := func(name string, o fyne.CanvasObject, buttons ...fyne.CanvasObject) fyne.CanvasObject {
		return container.NewBorder(nil, nil, wide(bold(name), 130), container.NewHBox(buttons...), o)
	}
	form := container.NewVBox(
		heading("Hear a class"),
		wrapped("Drop the folder with your students’ recordings here, or choose it. Everything stays on this computer."),
		row("Piece", a.piece, piece),
		row("Recordings", a.folder, folder),
		row("Roster", a.roster, a.none, roster),
		row("Pages", a.out, out),
		row("Hear", container.NewHBox(widget.NewLabel("measures"), wide(a.measures, 110), widget.NewLabel("at ♩ ="), wide(a.tempo, 170),
			widget.NewLabel("as"), wide(a.level, 170))),
		row("", a.sound),
		row("", a.afresh),
		container.NewBorder(nil, nil, wide(widget.NewLabel(""), 138), nil, container.NewHBox(wide(a.start, 190), layout.NewSpacer())),
		a.message,
	)
	a.box = container.New(&middle{900}, container.NewVScroll(form))
	return a
}

// value is one line that may end in an ellipsis.
func value() *widget.Label {
	l := widget.NewLabel("")
	l.Truncation = fyne.TextTruncateEllipsis
	return l
}

// submit takes over what was typed, entered or not.
func (a *classAsk) submit() {
	c, measures, tempo := a.s.class, a.measures.Text, a.tempo.Text
	c.Message = ""
	c.TypeTempo(tempo)
	if c.Message == "" {
		a.measures.SetText(measures) // taking over the tempo showed what was asked before
		c.TypeMeasures(measures)
	}
}

func (a *classAsk) refresh() {
	c, asked := a.s.class, &a.s.class.Asked
	set := func(l *widget.Label, text string) {
		if l.Text != text {
			l.SetText(text)
		}
	}
	or := func(text, none string) string {
		if text == "" {
			return none
		}
		return ending(text, 62)
	}
	title := asked.Score.Title()
	if asked.Score == a.s.w.desk.Score {
		title += ", which lies on the desk"
	}
	set(a.piece, title)
	set(a.folder, or(asked.Folder, "none chosen yet"))
	set(a.roster, or(asked.Roster, "none: names come from the files"))
	set(a.out, or(asked.Out, "beside the recordings"))
	hide(a.none, asked.Roster == "")
	tempo := ""
	if asked.QPM > 0 {
		tempo = fmt.Sprintf("%.4g", asked.QPM)
	}
	if !focused(a.tempo) && c.Message == "" && a.tempo.Text != tempo {
		a.tempo.SetText(tempo)
	}
	if !focused(a.measures) && c.Message == "" && !strings.EqualFold(a.measures.Text, asked.Measures) {
		a.measures.SetText(asked.Measures)
	}
	if a.afresh.Checked != asked.Afresh {
		a.afresh.SetChecked(asked.Afresh)
	}
	set(a.message, c.Message)
	hide(a.message, c.Message == "")
}

// middle gives one object a width at most, in the middle of what there is.
type middle struct{ width float32 }

func (m *middle) MinSize(all []fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(0, 100)
	for _, o := range all {
		size = size.Max(o.MinSize())
	}
	return size
}

func (m *middle) Layout(all []fyne.CanvasObject, size fyne.Size) {
	w := min(m.width, size.Width)
	for _, o := range all {
		o.Move(fyne.NewPos((size.Width-w)/2, 0))
		o.Resize(fyne.NewSize(w, size.Height))
	}
}
