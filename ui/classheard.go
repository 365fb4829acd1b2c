package ui

import (
	"fmt"
	"image/color"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/ui/desk"
	"endpin/ui/page"
)

// classHeard shows the students: a row each as they are heard, and beside them
// what the class needs taught again, or one student's page and sentences.
type classHeard struct {
	s       *classScreen
	box     *fyne.Container
	title   *widget.Label
	says    *widget.Label
	bar     *widget.ProgressBar
	thin    *fyne.Container // the bar
	now     *widget.Label
	stop    *widget.Button
	goOn    *widget.Button
	sheet   *widget.Button
	again   *widget.Button
	message *widget.Label
	whole   *studentRow // the class
	rows    []*studentRow
	list    *fyne.Container
	scroll  *container.Scroll

	beside  *fyne.Container   // one of the two
	lesson  *container.Scroll // teach, scrolled
	teach   *fyne.Container
	told    *class.Sheet // that teach was written from
	student *fyne.Container
	page    *page.View
	of      *desk.Score // that the page is of
	words   *fyne.Container
	shown   *class.Student // whose words stand there
	plays   map[int]*widget.Button
	playing int
}

func newClassHeard(s *classScreen) *classHeard {
	h := &classHeard{s: s, title: bold(""), says: widget.NewLabel(""), bar: widget.NewProgressBar(), now: value(), list: container.NewVBox(),
		teach: container.NewVBox(), words: container.NewVBox(), plays: map[int]*widget.Button{}, playing: -1}
	h.title.SizeName, h.title.Truncation = "subHeadingText", fyne.TextTruncateEllipsis
	h.stop = widget.NewButton("Stop", s.class.Stop)
	h.goOn = widget.NewButton("Go on", s.class.Start)
	h.goOn.Importance = widget.HighImportance
	h.sheet = widget.NewButton("Open the class sheet", s.openSheet)
	h.sheet.Importance = widget.HighImportance
	h.again = widget.NewButton("Another class", s.back)
	h.message = wrapped("")
	h.message.TextStyle.Bold = true
	buttons := container.NewHBox(h.stop, h.goOn, h.sheet, h.again)
	h.thin = container.New(&thin{10}, h.bar)
	top := container.NewVBox(
		container.NewBorder(nil, nil, nil, buttons, container.NewBorder(nil, nil, nil, h.says, h.title)),
		h.thin, h.now, h.message, widget.NewSeparator(),
	)
	h.bar.TextFormatter = func() string { return "" }
	h.whole = newStudentRow(func() { s.class.Choose(-1) })
	h.list.Add(h.whole)
	h.scroll = container.NewVScroll(h.list)
	h.lesson = container.NewVScroll(h.teach)
	h.beside = container.NewStack()
	h.student = container.NewStack()
	h.box = container.NewBorder(top, nil, nil, nil, container.New(&parts{first: 0.42}, h.scroll, widget.NewSeparator(), h.beside))
	return h
}

func (h *classHeard) refresh() {
	c := h.s.class
	set := func(l *widget.Label, text string) {
		if l.Text != text {
			l.SetText(text)
		}
	}
	title := filepath.Base(c.Asked.Folder)
	if c.Asked.Score != h.s.w.desk.Score {
		title = c.Asked.Score.Title() + " – " + title
	}
	set(h.title, title)
	set(h.says, c.Says())
	hide(h.thin, !c.Going)
	hide(h.now, !c.Going)
	if c.Going {
		h.bar.SetValue(c.Told.Heard)
		now := fmt.Sprintf("%d of %d recordings", c.Told.Done, c.Told.Of)
		if len(c.Told.Hearing) > 0 {
			now += "  ·  hearing " + strings.Join(c.Told.Hearing, ", ") + " …"
		}
		set(h.now, now)
	}
	hide(h.stop, !c.Going)
	hide(h.goOn, c.Going || !c.Stopped)
	hide(h.sheet, c.Going || c.Written == "")
	hide(h.again, c.Going)
	message := c.Message
	if message == "" && c.Written != "" && !c.Going {
		message = "The pages lie in " + filepath.Dir(c.Written) + "."
	}
	set(h.message, message)
	hide(h.message, message == "")
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
	c := h.s.class
	n := 0
	if c.Sheet != nil {
		n = len(c.Sheet.Students)
	}
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
	colours := Look{h.s.w.desk.Settings.Dark}.Colours()
	if h.whole.show("The whole class", "what to teach again", true, c.Chosen < 0, colours) && c.Chosen < 0 {
		h.bring(h.whole)
	}
	for i, r := range h.rows {
		st := &c.Sheet.Students[i]
		if r.show(st.Name, c.Row(i), st.Status == class.Heard, i == c.Chosen, colours) && i == c.Chosen {
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

// toTeach says what several students had at the same place.
func (h *classHeard) toTeach() {
	c := h.s.class
	h.stand(h.lesson)
	if h.told == c.Sheet && len(h.teach.Objects) > 0 {
		return
	}
	h.told = c.Sheet
	h.teach.RemoveAll()
	h.teach.Add(heading("To teach again"))
	if c.Sheet == nil {
		return
	}
	for i, r := range c.Sheet.Reteach {
		if i == 5 {
			break
		}
		h.teach.Add(large(r.Text()))
	}
	if len(c.Sheet.Reteach) == 0 {
		h.teach.Add(wrapped("Nothing stood out in several takes at the same place so far."))
	}
	h.teach.Add(wrapped("Choose a student to see and hear what was found. Your ear decides."))
	for i, l := range c.Sheet.LeftOut {
		if i == 0 {
			h.teach.Add(heading("Left out of the folder"))
		}
		h.teach.Add(wrapped(l.File + ": " + l.Reason + "."))
	}
}

func (h *classHeard) stand(o fyne.CanvasObject) {
	if len(h.beside.Objects) == 1 && h.beside.Objects[0] == o {
		return
	}
	h.beside.Objects = []fyne.CanvasObject{o}
	h.beside.Refresh()
}

// look shows one student: the page with the marks, and a sentence a finding.
func (h *classHeard) look() {
	c := h.s.class
	d := h.s.w.desk
	colours := Look{d.Settings.Dark}.Colours()
	if h.page == nil || h.of != c.Asked.Score {
		sc := c.Asked.Score
		h.of, h.page = sc, page.New(sc.Piece, sc.Line, &sc.Plan, 8, colours)
		h.page.Choose = func(first, _ int) { h.playIn(first) }
		h.student.Objects = []fyne.CanvasObject{
			container.New(&parts{first: 0.45, down: true}, h.page, widget.NewSeparator(), container.NewVScroll(h.words))}
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
	marks := map[int][]page.Mark{}
	first := -1
	for i := range st.Findings {
		f := &st.Findings[i]
		if m := h.measureOf(f); m >= 0 && !class.Whole(f) {
			marks[m] = append(marks[m], page.MarkOf(f, m))
			if first < 0 {
				first = m
			}
		}
	}
	h.page.SetMarks(marks)
	h.page.Bring(max(first, 0))
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
	c := h.s.class
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
	c := h.s.class
	h.words.RemoveAll()
	h.plays, h.playing = map[int]*widget.Button{}, -1
	name := heading(st.Name)
	open := widget.NewButton("Open on the page", h.s.onPage)
	hide(open, st.Hearing == nil || c.Asked.Score != h.s.w.desk.Score)
	h.words.Add(container.NewBorder(nil, nil, nil, open, name))
	if st.Status != class.Heard {
		h.words.Add(wrapped(c.Row(c.Chosen)))
	}
	if st.Recording != nil {
		said := "Recording: " + *st.Recording
		for _, t := range st.Takes {
			if !t.Chosen {
				said += ". Also sent: " + t.Recording
			}
		}
		h.words.Add(wrapped(said + "."))
	}
	if st.Status == class.Heard && st.Reason != "" {
		h.words.Add(wrapped(st.Reason))
	}
	for n, i := range c.Evidence() {
		if n == len(st.WorthFixing) {
			h.words.Add(bold("Also heard"))
		}
		f := &st.Findings[i]
		text := wrapped(f.Text)
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
		h.words.Add(container.NewBorder(nil, nil, container.NewVBox(wide(b, 80), layout.NewSpacer()), nil, text))
	}
	if st.Status == class.Heard && len(st.Findings) == 0 {
		h.words.Add(wrapped("Nothing stood out."))
	}
}

func large(text string) *widget.Label {
	l := wrapped(text)
	l.SizeName = "subHeadingText"
	return l
}

// studentRow is one student in the list.
type studentRow struct {
	widget.BaseWidget
	back  *canvas.Rectangle
	name  *widget.Label
	words *widget.Label
	tap   func()
	at    string // what it shows
}

func newStudentRow(tap func()) *studentRow {
	r := &studentRow{back: canvas.NewRectangle(color.Transparent), name: bold(""), words: wrapped(""), tap: tap}
	r.ExtendBaseWidget(r)
	return r
}

// show shows a student, and reports whether anything changed.
func (r *studentRow) show(name, words string, heard, chosen bool, c page.Colours) bool {
	at := fmt.Sprint(name, "\x00", words, heard, chosen, c.Paper)
	if at == r.at {
		return false
	}
	r.at = at
	r.name.SetText(name)
	r.words.Importance = widget.MediumImportance
	if !heard {
		r.words.Importance = widget.LowImportance
	}
	r.words.SetText(words)
	r.back.FillColor = color.Transparent
	if chosen {
		r.back.FillColor = c.Chosen
	}
	r.Refresh()
	return true
}

// Tapped implements fyne.Tappable.
func (r *studentRow) Tapped(*fyne.PointEvent) { r.tap() }

// CreateRenderer implements fyne.Widget.
func (r *studentRow) CreateRenderer() fyne.WidgetRenderer {
	lines := container.New(&tight{}, r.name, r.words)
	return widget.NewSimpleRenderer(container.NewStack(r.back, lines))
}

// tight sets lines closer than a form would.
type tight struct{}

const lapped = 16 // of the padding that two labels have between them

func (t *tight) MinSize(all []fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(0, lapped)
	for _, o := range all {
		size.Width = max(size.Width, o.MinSize().Width)
		size.Height += o.MinSize().Height - lapped
	}
	return size
}

func (t *tight) Layout(all []fyne.CanvasObject, size fyne.Size) {
	y := float32(0)
	for _, o := range all {
		h := o.MinSize().Height
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(size.Width, h))
		y += o.MinSize().Height - lapped
	}
}

// parts sets two objects beside each other, or one below the other, with a line
// between them; the first has a share of the room.
type parts struct {
	first float32
	down  bool
}

func (p *parts) MinSize(all []fyne.CanvasObject) fyne.Size { return fyne.NewSize(200, 100) }

func (p *parts) Layout(all []fyne.CanvasObject, size fyne.Size) {
	const gap = 12
	if p.down {
		h := (size.Height - gap) * p.first
		all[0].Resize(fyne.NewSize(size.Width, h))
		all[1].Move(fyne.NewPos(0, h+gap/2))
		all[1].Resize(fyne.NewSize(size.Width, 1))
		all[2].Move(fyne.NewPos(0, h+gap))
		all[2].Resize(fyne.NewSize(size.Width, size.Height-h-gap))
		return
	}
	w := (size.Width - gap) * p.first
	all[0].Resize(fyne.NewSize(w, size.Height))
	all[1].Move(fyne.NewPos(w+gap/2, 0))
	all[1].Resize(fyne.NewSize(1, size.Height))
	all[2].Move(fyne.NewPos(w+gap, 0))
	all[2].Resize(fyne.NewSize(size.Width-w-gap, size.Height))
}

// thin gives one object a height.
type thin struct{ height float32 }

func (t *thin) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(100, t.height) }
func (t *thin) Layout(all []fyne.CanvasObject, size fyne.Size) {
	for _, o := range all {
		o.Resize(fyne.NewSize(size.Width, t.height))
	}
}
