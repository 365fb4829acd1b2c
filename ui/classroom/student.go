package classroom

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/page"
	"endpin/ui/prose"
)

// look shows one student: the page with the marks, and a sentence a finding.
func (h *classHeard) look() {
	c := h.s.Class
	d := h.s.desk
	colours := ink.Look{Dark: d.Settings.Dark}.Colours()
	if h.page == nil || h.of != c.Asked.Score {
		sc := c.Asked.Score
		h.of, h.page = sc, page.New(sc.Piece, sc.Line, &sc.Plan, 8, colours)
		h.page.Choose = func(first, _ int) { h.playIn(first) }
		h.student.Objects = []fyne.CanvasObject{
			fit.Under(0.45, h.page, widget.NewSeparator(), container.NewVScroll(h.words))}
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
			text := "Play"
			if i == c.Playing {
				text = "Stop"
			}
			if b.Text != text {
				b.SetText(text)
			}
		}
		h.playing = c.Playing
	}
}

// marks puts what was heard under the measures.
func (h *classHeard) marks(st *class.Student) {
	var placed []finding.Finding
	for _, f := range st.Findings {
		if !class.Whole(&f) {
			placed = append(placed, f)
		}
	}
	h.page.SetMarks(page.MarksOf(placed, h.of.Piece.Measures, nil))
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
	h.words.RemoveAll()
	h.plays, h.playing = map[int]*widget.Button{}, -1
	name := prose.Heading(st.Name)
	open := widget.NewButton("Open on the page", h.s.onPage)
	fit.Hide(open, st.Hearing == nil || c.Asked.Score != h.s.desk.Score)
	h.words.Add(container.NewBorder(nil, nil, nil, open, name))
	if st.Status != class.Heard {
		h.words.Add(prose.Wrapped(c.Row(c.Chosen)))
	}
	if st.Recording != nil {
		said := "Recording: " + *st.Recording
		for _, t := range st.Takes {
			if !t.Chosen {
				said += ". Also sent: " + t.Recording
			}
		}
		h.words.Add(prose.Wrapped(said + "."))
	}
	if st.Status == class.Heard && st.Reason != "" {
		h.words.Add(prose.Wrapped(st.Reason))
	}
	for n, i := range c.Evidence() {
		if n == len(st.WorthFixing) {
			h.words.Add(prose.Bold("Also heard"))
		}
		f := &st.Findings[i]
		text := prose.Wrapped(f.Text)
		text.TextStyle.Bold = n < len(st.WorthFixing)
		if !class.Shows(f) {
			h.words.Add(text)
			continue
		}
		b := widget.NewButton("Play", nil)
		b.OnTapped = func() {
			if c.Playing == i {
				c.StopPlaying()
			} else {
				c.Play(i)
			}
		}
		h.plays[i] = b
		h.words.Add(container.NewBorder(nil, nil, container.NewVBox(fit.Wide(b, 80), layout.NewSpacer()), nil, text))
	}
	if st.Status == class.Heard && len(st.Findings) == 0 {
		h.words.Add(prose.Wrapped("Nothing stood out."))
	}
}
