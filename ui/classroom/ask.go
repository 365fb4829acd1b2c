package classroom

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// classAsk is what a teacher sets before a class is heard.
type classAsk struct {
	s        *Screen
	box      *fyne.Container
	piece    *widget.Label
	folder   *widget.Label
	roster   *widget.Label
	none     *widget.Button
	out      *widget.Label
	measures *prose.Entry
	tempo    *prose.Entry
	level    *widget.Select
	sound    *widget.Check
	afresh   *widget.Check
	start    *widget.Button
	message  *widget.Label
}

func newClassAsk(s *Screen) *classAsk {
	c := s.Class
	a := &classAsk{s: s, piece: prose.Line(""), folder: prose.Line(""), roster: prose.Line(""), out: prose.Line("")}
	take := func(string) bool { a.submit(); return true }
	a.measures, a.tempo = prose.NewEntry(take), prose.NewEntry(take)
	piece := widget.NewButton("Choose …", func() { s.pickFile(pieces, c.Drop) })
	folder := widget.NewButton("Choose …", func() { s.pickFolder(c.Drop) })
	roster := widget.NewButton("Choose …", func() { s.pickFile(rosters, c.Drop) })
	a.none = widget.NewButton("None", func() { c.Ask(func(x *desk.ClassAsked) { x.Roster = "" }) })
	out := widget.NewButton("Choose …", func() {
		s.pickFolder(func(path string) { c.Ask(func(x *desk.ClassAsked) { x.Out = path }) })
	})
	a.measures.SetPlaceHolder("all")
	a.tempo.SetPlaceHolder("the piece’s own")
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
	a.message = prose.Wrapped("")
	a.message.TextStyle.Bold = true

	row := func(name string, o fyne.CanvasObject, buttons ...fyne.CanvasObject) fyne.CanvasObject {
		return container.NewBorder(nil, nil, fit.Wide(prose.Bold(name), 130), container.NewHBox(buttons...), o)
	}
	form := container.NewVBox(
		prose.Heading("Hear a class"),
		prose.Wrapped("Drop the folder with your students’ recordings here, or choose it. Everything stays on this computer."),
		row("Piece", a.piece, piece),
		row("Recordings", a.folder, folder),
		row("Roster", a.roster, a.none, roster),
		row("Pages to print", a.out, out),
		row("Hear", container.NewHBox(widget.NewLabel("measures"), fit.Wide(a.measures, 110), widget.NewLabel("at ♩ ="), fit.Wide(a.tempo, 170),
			widget.NewLabel("as"), fit.Wide(a.level, 170))),
		row("", a.sound),
		row("", a.afresh),
		container.NewBorder(nil, nil, fit.Wide(widget.NewLabel(""), 138), nil, container.NewHBox(fit.Wide(a.start, 190), layout.NewSpacer())),
		a.message,
	)
	a.box = fit.Centred(container.NewVScroll(form), 900)
	return a
}

// submit takes over what was typed, entered or not.
func (a *classAsk) submit() {
	c, measures, tempo := a.s.Class, a.measures.Text, a.tempo.Text
	c.Message = ""
	c.TypeTempo(tempo)
	if c.Message == "" {
		a.measures.SetText(measures) // taking over the tempo showed what was asked before
		c.TypeMeasures(measures)
	}
}

func (a *classAsk) refresh() {
	c, asked := a.s.Class, &a.s.Class.Asked
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
	if asked.Score == a.s.desk.Score {
		title += ", which lies on the desk"
	}
	set(a.piece, title)
	set(a.folder, or(asked.Folder, "none chosen yet"))
	set(a.roster, or(asked.Roster, "none: names come from the files"))
	set(a.out, or(asked.Out, "beside the recordings"))
	fit.Hide(a.none, asked.Roster == "")
	tempo := ""
	if asked.QPM > 0 {
		tempo = fmt.Sprintf("%.4g", asked.QPM)
	}
	if !a.tempo.Entered() && c.Message == "" && a.tempo.Text != tempo {
		a.tempo.SetText(tempo)
	}
	if !a.measures.Entered() && c.Message == "" && !strings.EqualFold(a.measures.Text, asked.Measures) {
		a.measures.SetText(asked.Measures)
	}
	if a.afresh.Checked != asked.Afresh {
		a.afresh.SetChecked(asked.Afresh)
	}
	set(a.message, c.Message)
	fit.Hide(a.message, c.Message == "")
}
