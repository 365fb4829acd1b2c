package classroom

import (
	"path/filepath"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/class"
	"endpin/piece/words"
	"endpin/ui/desk/score"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/page"
	"endpin/ui/prose"
)

// classHeard shows the students: a row each as they are heard, and beside them
// what the class needs taught again, or one student's page and sentences.
type classHeard struct {
	s       *Screen
	box     *fyne.Container
	title   *widget.Label
	says    *widget.Label
	bar     *widget.ProgressBar
	thin    *fyne.Container // the bar
	now     *widget.Label
	stop    *prose.Button
	goOn    *prose.Button
	sheet   *prose.Button
	again   *prose.Button
	message *widget.Label
	whole   *studentRow // the class
	rows    []*studentRow
	list    *fyne.Container
	scroll  *container.Scroll

	beside  *fyne.Container   // one of the two
	lesson  *container.Scroll // teach, scrolled
	teach   *fyne.Container
	taught  *class.Term // that teach was written from
	student *fyne.Container
	page    *page.View
	of      *score.Score // that the page is of
	told    *fyne.Container
	shown   *class.Student // whose findings are told
	plays   map[int]*prose.Button
	playing int
}

func newClassHeard(s *Screen) *classHeard {
	h := &classHeard{s: s, title: prose.Bold(""), says: prose.Wrapped(""), bar: widget.NewProgressBar(), now: prose.Line(""), list: container.NewVBox(),
		teach: container.NewVBox(), told: container.NewVBox(), plays: map[int]*prose.Button{}, playing: -1}
	h.title.SizeName, h.title.Truncation = "subHeadingText", fyne.TextTruncateEllipsis
	h.stop = prose.NewButton(words.Say("window.class.stop"), s.Class.Stop)
	h.goOn = prose.NewButton(words.Say("window.class.go-on"), s.Class.Start)
	h.goOn.Importance = widget.HighImportance
	h.sheet = prose.NewButton(words.Say("window.class.sheet"), s.openSheet)
	h.sheet.Importance = widget.HighImportance
	h.again = prose.NewButton(words.Say("window.class.another"), s.back)
	h.message = prose.Wrapped("")
	h.message.TextStyle.Bold = true
	buttons := container.NewHBox(h.stop, h.goOn, h.sheet, h.again)
	h.thin = fit.Tall(h.bar, 10)
	top := container.NewVBox(
		container.NewBorder(nil, nil, nil, buttons, h.title),
		h.says, h.thin, h.now, h.message, widget.NewSeparator(),
	)
	h.bar.TextFormatter = func() string { return "" }
	h.whole = newStudentRow(func() { s.Class.Choose(-1) })
	h.list.Add(h.whole)
	h.scroll = container.NewVScroll(h.list)
	h.lesson = container.NewVScroll(h.teach)
	h.beside = container.NewStack()
	h.student = container.NewStack()
	h.box = container.NewBorder(top, nil, nil, nil, fit.Beside(0.42, h.scroll, widget.NewSeparator(), h.beside))
	return h
}

func (h *classHeard) refresh() {
	c := h.s.Class
	set := func(l *widget.Label, text string) {
		if l.Text != text {
			l.SetText(text)
		}
	}
	title := filepath.Base(c.Asked.Folder)
	if all := c.Asked.Scores; len(all) > 1 || all[0] != h.s.desk.Score {
		var pieces []string
		for _, s := range all {
			pieces = append(pieces, s.Title())
		}
		title = words.Say("window.class.title", "piece", words.Row(pieces...), "folder", title)
	}
	set(h.title, title)
	set(h.says, c.Says())
	fit.Hide(h.says, c.Says() == "")
	fit.Hide(h.thin, !c.Going)
	fit.Hide(h.now, !c.Going)
	if c.Going {
		h.bar.SetValue(c.Told.Heard)
		now := words.Many("window.class.done", c.Told.Of, "done", c.Told.Done)
		if len(c.Told.Hearing) > 0 {
			now = words.Of("window.class.done.hearing", "done", now, "names", words.Row(c.Told.Hearing...))
		}
		set(h.now, now.String())
	}
	fit.Hide(h.stop, !c.Going)
	fit.Hide(h.goOn, c.Going || !c.Stopped)
	fit.Hide(h.sheet, c.Going || c.Written == "")
	fit.Hide(h.again, c.Going)
	message := c.Message
	if message == "" && c.Written != "" && !c.Going {
		message = words.Say("window.class.pages", "folder", filepath.Dir(c.Written))
	}
	set(h.message, message)
	fit.Hide(h.message, message == "")
	h.students()
	if c.Student() != nil {
		h.look()
	} else {
		h.shown = nil
		h.toTeach()
	}
}

// students keeps a row for each student.
func (h *classHeard) students() {
	c := h.s.Class
	n := len(c.Students())
	for len(h.rows) < n {
		i := len(h.rows)
		r := newStudentRow(func() { c.Choose(i) })
		h.rows = append(h.rows, r)
		h.list.Add(r)
	}
	if len(h.rows) > n {
		h.rows = h.rows[:n]
		h.list.Objects = h.list.Objects[:n+1]
		h.list.Refresh()
	}
	colours := ink.Look{Dark: h.s.desk.Settings.Dark}.Colours()
	if h.whole.show(words.Say("window.class.whole"), words.Say("window.class.whole.what"), true, c.Chosen < 0, colours) && c.Chosen < 0 {
		h.bring(h.whole)
	}
	for i, r := range h.rows {
		heard := slices.ContainsFunc(c.Heard.Sheets, func(s *class.Sheet) bool { return s.Students[i].Status == class.Heard })
		if r.show(c.Students()[i].Name, c.Row(i), heard, i == c.Chosen, colours) && i == c.Chosen {
			h.bring(r)
		}
	}
}

// bring scrolls a row into sight.
func (h *classHeard) bring(r *studentRow) {
	top, end := r.Position().Y, r.Position().Y+r.Size().Height
	switch y := h.scroll.Offset.Y; {
	case top < y:
		h.scroll.Offset.Y = top
	case end > y+h.scroll.Size().Height:
		h.scroll.Offset.Y = end - h.scroll.Size().Height
	default:
		return
	}
	h.scroll.Refresh()
}

// toTeach asks whose recordings are that name nobody, and says what several students had at
// the same place.
func (h *classHeard) toTeach() {
	c := h.s.Class
	h.stand(h.lesson)
	if h.taught == c.Heard && len(h.teach.Objects) > 0 {
		return
	}
	h.taught = c.Heard
	h.teach.RemoveAll()
	if c.Heard == nil {
		h.teach.Add(prose.Heading(words.Say("window.class.teach")))
		return
	}
	if asked := c.Heard.Questions; len(asked) > 0 { // first, since an answer makes another sheet
		h.teach.Add(prose.Heading(words.Say("window.class.questions")))
		for i := range asked {
			h.teach.Add(prose.Wrapped(asked[i].Text()))
		}
	}
	h.teach.Add(prose.Heading(words.Say("window.class.teach")))
	for _, s := range c.Heard.Sheets {
		if len(c.Heard.Sheets) > 1 {
			h.teach.Add(prose.Bold(words.Say("window.class.teach.piece", "piece", s.Piece, "heard", s.HeardOf())))
		}
		for _, r := range s.Reteach[:min(5, len(s.Reteach))] {
			h.teach.Add(prose.Large(r.Text()))
		}
		if len(s.Reteach) == 0 {
			h.teach.Add(prose.Wrapped(words.Say("window.class.teach.nothing")))
		}
	}
	h.teach.Add(prose.Wrapped(words.Say("window.class.teach.choose")))
	if c.CanAdd() {
		remark := prose.NewEntry(func(text string) bool { c.SayToAll(text); return true })
		remark.SetPlaceHolder(words.Say("window.class.remark"))
		remark.SetText(c.Heard.Sheets[0].Remark)
		h.teach.Add(remark)
	}
	if left := c.Heard.LeftOut; len(left) > 0 {
		h.teach.Add(prose.Heading(words.Say("window.class.left-out")))
		for _, l := range left {
			h.teach.Add(prose.Wrapped(words.Say("window.class.left-out.file", "file", l.File, "reason", l.Reason)))
		}
	}
}

func (h *classHeard) stand(o fyne.CanvasObject) {
	if len(h.beside.Objects) == 1 && h.beside.Objects[0] == o {
		return
	}
	h.beside.Objects = []fyne.CanvasObject{o}
	h.beside.Refresh()
}
