package classroom

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk/classroom"
	"endpin/ui/desk/score"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// classAsk is what a teacher sets before a class is heard.
type classAsk struct {
	s        *Screen
	box      *fyne.Container
	form     *fyne.Container
	pieces   *fyne.Container
	asked    []*score.Score // that pieces was made for
	folder   *widget.Label
	roster   *widget.Label
	none     *prose.Button
	out      *widget.Label
	measures *prose.Entry
	which    *fyne.Container // the measures
	tempo    *prose.Entry
	level    *prose.Drop
	sound    *prose.Tick
	weeks    *prose.Tick
	afresh   *prose.Tick
	start    *prose.Button
	message  *widget.Label
}

// levels are those to choose from, as they are kept.
var levels = []string{finding.FirstYear.Name, finding.Intermediate.Name, finding.Advanced.Name}

func newClassAsk(s *Screen) *classAsk {
	c := s.Class
	a := &classAsk{s: s, pieces: container.NewVBox(), folder: prose.Line(""), roster: prose.Line(""), out: prose.Line("")}
	take := func(string) bool { a.submit(); return true }
	a.measures, a.tempo = prose.NewEntry(take), prose.NewEntry(take)
	piece := prose.NewButton(words.Say("window.class.piece.add"), func() { s.pickFile(piece.Endings(), c.Drop) })
	folder := prose.NewButton(words.Say("window.class.choose"), func() {
		s.pickFolder(func(path string) { c.Ask(func(x *classroom.Asked) { x.Folder = path }) })
	})
	roster := prose.NewButton(words.Say("window.class.choose"), func() { s.pickFile(rosters, c.Drop) })
	a.none = prose.NewButton(words.Say("window.class.no-roster"), func() { c.Ask(func(x *classroom.Asked) { x.Roster = "" }) })
	out := prose.NewButton(words.Say("window.class.choose"), func() {
		s.pickFolder(func(path string) { c.Ask(func(x *classroom.Asked) { x.Out = path }) })
	})
	a.measures.SetPlaceHolder(words.Say("window.class.measures.all"))
	a.tempo.SetPlaceHolder(words.Say("window.class.tempo.own"))
	var names []string
	for _, l := range levels {
		names = append(names, words.Say("window.level."+l))
	}
	a.level = prose.NewDrop(names, nil)
	a.level.SetSelectedIndex(slices.Index(levels, c.Asked.Level))
	a.level.OnChanged = func(string) { c.Ask(func(x *classroom.Asked) { x.Level = levels[a.level.SelectedIndex()] }) }
	a.sound = prose.NewTick(words.Say("window.class.sound"), nil)
	a.sound.SetChecked(!c.Asked.NoSound)
	a.sound.OnChanged = func(yes bool) { c.Ask(func(x *classroom.Asked) { x.NoSound = !yes }) }
	a.weeks = prose.NewTick(words.Say("window.class.weeks"), nil)
	a.weeks.OnChanged = func(yes bool) { c.Ask(func(x *classroom.Asked) { x.Weeks = yes }) }
	a.afresh = prose.NewTick(words.Say("window.class.afresh"), nil)
	a.afresh.OnChanged = func(yes bool) { c.Ask(func(x *classroom.Asked) { x.Afresh = yes }) }
	a.start = prose.NewButton(words.Say("window.class.start"), s.start)
	a.start.Importance = widget.HighImportance
	a.message = prose.Wrapped("")
	a.message.TextStyle.Bold = true

	wide := float32(130)
	row := func(name string, o fyne.CanvasObject, buttons ...fyne.CanvasObject) fyne.CanvasObject {
		return container.NewBorder(nil, nil, fit.Wide(prose.Bold(name), wide), container.NewHBox(buttons...), o)
	}
	for _, key := range []string{"window.class.piece", "window.class.folder", "window.class.roster", "window.class.out", "window.class.hear"} {
		wide = max(wide, prose.Bold(words.Say(key)).MinSize().Width)
	}
	under := func(o fyne.CanvasObject) fyne.CanvasObject { return fit.Row(fit.Wide(fit.Space(1), wide), o) } // the rows' names, or the edge
	a.which = container.NewHBox(widget.NewLabel(words.Say("window.class.hear.measures")), fit.Wide(a.measures, prose.Room(110, words.Say("window.class.measures.all"))))
	a.form = container.NewVBox(
		prose.Heading(words.Say("window.class.ask")),
		prose.Wrapped(words.Say("window.class.ask.how")),
		row(words.Say("window.class.piece"), a.pieces, container.NewVBox(piece)),
		row(words.Say("window.class.folder"), a.folder, folder),
		row(words.Say("window.class.roster"), a.roster, a.none, roster),
		row(words.Say("window.class.out"), a.out, out),
		row(words.Say("window.class.hear"), fit.Row(
			a.which,
			container.NewHBox(widget.NewLabel(words.Say("window.class.hear.tempo")), fit.Wide(a.tempo, prose.Room(170, words.Say("window.class.tempo.own")))),
			container.NewHBox(widget.NewLabel(words.Say("window.class.hear.level")), fit.Wide(a.level, prose.Room(170, names...))))),
		under(a.sound),
		under(a.weeks),
		under(a.afresh),
		container.NewBorder(nil, nil, fit.Wide(widget.NewLabel(""), wide+8), nil, container.NewHBox(fit.Wide(a.start, max(190, a.start.MinSize().Width)), layout.NewSpacer())),
		a.message,
	)
	a.box = fit.Centred(container.NewVScroll(a.form), 900)
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

// toPlay shows the pieces, of several each with a button that leaves it out.
func (a *classAsk) toPlay(now []*score.Score) {
	if slices.Equal(a.asked, now) {
		return
	}
	a.asked = slices.Clone(now)
	a.pieces.RemoveAll()
	for i, s := range now {
		title := s.Title()
		if s == a.s.desk.Score {
			title = words.Say("window.class.piece.here", "piece", title)
		}
		out := prose.NewButton(words.Say("window.class.piece.leave-out"), func() { a.s.Class.LeaveOut(i) })
		fit.Hide(out, len(now) == 1)
		a.pieces.Add(container.NewBorder(nil, nil, nil, out, prose.Line(title)))
	}
	a.form.Refresh() // a line more moves all below it
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
	a.toPlay(asked.Scores)
	fit.Hide(a.which, len(asked.Scores) > 1)
	set(a.folder, or(asked.Folder, words.Say("window.class.folder.none")))
	set(a.roster, or(asked.Roster, words.Say("window.class.roster.none")))
	set(a.out, or(asked.Out, words.Say("window.class.out.beside")))
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
