package classroom

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/mark"
	"endpin/ui/page"
	"endpin/ui/prose"
)

// look shows one student: the page with the marks, and a sentence a finding.
func (h *classHeard) look() {
	c := h.s.Class
	d := h.s.desk
	colours := ink.Look{Dark: d.Settings.Dark}.Colours()
	if sc := c.Asked.Scores[c.Piece]; h.page == nil || h.of != sc {
		h.of, h.page = sc, page.New(sc.Piece, sc.Line, &sc.Plan, 8, colours)
		h.page.Choose = func(first, _ int) { h.playIn(first) }
		h.student.Objects = []fyne.CanvasObject{
			fit.Under(0.45, h.page, widget.NewSeparator(), container.NewVScroll(h.told))}
		h.student.Refresh()
	}
	h.page.SetColours(colours)
	h.stand(h.student)
	st := c.Student()
	if st != h.shown {
		h.shown = st
		h.marks(st)
		h.sentences(st)
	}
	if c.Playing != h.playing {
		for i, b := range h.plays {
			text := words.Say("window.class.play")
			if i == c.Playing {
				text = words.Say("window.class.play.stop")
			}
			if b.Text != text {
				b.SetText(text)
			}
		}
		h.playing = c.Playing
	}
}

// marks puts what was heard under the measures, but for what the teacher struck.
func (h *classHeard) marks(st *class.Student) {
	var placed []finding.Finding
	for i, f := range st.Findings {
		if !class.Whole(&f) && !slices.Contains(st.Struck, i) {
			placed = append(placed, f)
		}
	}
	h.page.SetMarks(mark.ByMeasure(placed, h.of.Piece.Measures, nil))
	first := 0
	if len(placed) > 0 {
		first = max(0, h.measureOf(&placed[0]))
	}
	h.page.Bring(first)
}

func (h *classHeard) measureOf(f *finding.Finding) int {
	for i := range h.of.Piece.Measures {
		if h.of.Piece.Measures[i].Number == f.Measure {
			return i
		}
	}
	return -1
}

// playIn plays what was found in a measure.
func (h *classHeard) playIn(measure int) {
	c := h.s.Class
	for _, i := range c.Evidence() {
		f := &c.Student().Findings[i]
		if !class.Whole(f) && h.measureOf(f) == measure && i != c.Playing {
			c.Play(i)
			return
		}
	}
}

// sentences tells the findings, what is worth fixing first, each with its sound.
func (h *classHeard) sentences(st *class.Student) {
	c := h.s.Class
	h.told.RemoveAll()
	h.plays, h.playing = map[int]*prose.Button{}, -1
	name := prose.Heading(st.Name)
	open := prose.NewButton(words.Say("window.class.on-page"), h.s.onPage)
	fit.Hide(open, st.Hearing == nil)
	h.told.Add(container.NewBorder(nil, nil, nil, open, name))
	h.toOthers()
	if st.Status != class.Heard {
		h.told.Add(prose.Wrapped(c.Row(c.Chosen)))
	}
	if st.Recording != nil {
		said := words.Of("window.class.recording", "file", *st.Recording)
		for _, t := range st.Takes {
			if !t.Chosen {
				said = words.Of("window.class.recording.also", "said", said, "file", t.Recording)
			}
		}
		h.told.Add(prose.Wrapped(said.String()))
	}
	if st.Status == class.Heard && st.Reason != "" {
		h.told.Add(prose.Wrapped(st.Reason))
	}
	if st.Moved != "" {
		h.told.Add(prose.Wrapped(st.Moved))
	}
	if c.CanAdd() && st.Hearing != nil {
		h.told.Add(h.own(st))
	}
	for n, i := range c.Evidence() {
		if n == len(st.WorthFixing) {
			h.told.Add(prose.Bold(words.Say("window.class.also")))
		}
		f := &st.Findings[i]
		text := prose.Wrapped(f.Text)
		text.TextStyle.Bold = n < len(st.WorthFixing)
		strike := h.strike(st, i)
		if !class.Shows(f) {
			h.told.Add(container.NewBorder(nil, nil, nil, strike, text))
			continue
		}
		b := prose.NewButton(words.Say("window.class.play"), nil)
		b.OnTapped = func() {
			if c.Playing == i {
				c.StopPlaying()
			} else {
				c.Play(i)
			}
		}
		h.plays[i] = b
		h.told.Add(container.NewBorder(nil, nil, container.NewVBox(fit.Wide(b, max(80, b.MinSize().Width, prose.NewButton(words.Say("window.class.play.stop"), nil).MinSize().Width)), layout.NewSpacer()), strike, text))
	}
	if st.Status == class.Heard && len(st.Findings) == 0 {
		h.told.Add(prose.Wrapped(words.Say("window.class.nothing")))
	}
}

// toOthers leads to the other pieces of the student.
func (h *classHeard) toOthers() {
	c := h.s.Class
	played := c.Pieces(c.Chosen)
	if len(played) < 2 {
		return
	}
	var all []fyne.CanvasObject
	for _, k := range played {
		b := prose.NewButton(c.Heard.Sheets[k].Piece, func() { c.Look(k) })
		if k == c.Piece {
			b.Importance = widget.HighImportance
		}
		all = append(all, b)
	}
	h.told.Add(fit.Row(all...))
}

// strike strikes finding i, or puts it back; nothing on a page that cannot be added to, or
// where the finding is not given to work on.
func (h *classHeard) strike(st *class.Student, i int) fyne.CanvasObject {
	c := h.s.Class
	if !c.CanAdd() || !slices.Contains(st.Given(), i) {
		return container.NewHBox()
	}
	key := "window.class.strike"
	if slices.Contains(st.Struck, i) {
		key = "window.class.put-back"
	}
	return container.NewVBox(prose.NewButton(words.Say(key), func() { c.Strike(i) }), layout.NewSpacer())
}

// own is what the teacher adds to a student's page: a line, and that it may go home.
func (h *classHeard) own(st *class.Student) fyne.CanvasObject {
	c := h.s.Class
	line := prose.NewEntry(func(text string) bool { c.Say(text); return true })
	line.SetPlaceHolder(words.Say("window.class.line"))
	line.SetText(st.Line)
	seen := prose.NewTick(words.Say("window.class.seen"), nil)
	seen.SetChecked(st.Seen)
	seen.OnChanged = c.See
	return container.NewVBox(line, seen)
}
