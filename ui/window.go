package ui

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/finding"
	"endpin/piece/practice"
	"endpin/piece/words"
	"endpin/ui/assigned"
	"endpin/ui/classroom"
	"endpin/ui/closer"
	"endpin/ui/desk"
	"endpin/ui/desk/attempt"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/work"
	"endpin/ui/far"
	"endpin/ui/fit"
	"endpin/ui/foot"
	"endpin/ui/help"
	"endpin/ui/ink"
	"endpin/ui/listening"
	"endpin/ui/mark"
	"endpin/ui/marking"
	"endpin/ui/page"
	"endpin/ui/pegs"
	"endpin/ui/pieces"
	"endpin/ui/plan"
	"endpin/ui/prose"
	"endpin/ui/settings"
	"endpin/ui/takes"
	"endpin/ui/weeks"
	"endpin/ui/write"
)

// Window is the desk's window.
type Window struct {
	desk *desk.Desk
	win  fyne.Window
	page *page.View

	head    *far.Head
	message *prose.Notice
	bar     *bar
	pedals  *foot.Pedals
	foot    *foot.Hearing
	columns *columns
	side    *takes.Side
	plan    *plan.Plan
	closer  *closer.Look
	asked   *assigned.Strip
	pencil  *marking.Strip
	tuning  *pegs.Screen
	class   *classroom.Screen
	pieces  *pieces.Screen
	write   *write.Screen
	help    *help.Screen
	puts    int  // how often a piece had been laid on the desk when it was shown
	bare    bool // none was yet: the demo lies there unseen
	back    *listening.Strip
	cues    *far.Cues
	result  *far.Result
	body    *fyne.Container
	desktop *fyne.Container // the page with all that belongs to it: the first screen
	tabs    *tabs
	menu    *menu
	shown   *shelf.Shown
	marked  int    // findings on the page, to see a change of them
	chose   [2]int // the measures chosen, likewise
	alone   alone
	live    []finding.Finding
	left    func() // what is done where the dialogue is left by Escape; nil for nothing
	from    string // the folder that a recording was opened from last
}

// New sets a desk out in a window. quiet leaves out the caution of the first day.
func New(d *desk.Desk, win fyne.Window, quiet bool) *Window {
	prose.Speak()
	w := &Window{desk: d, win: win, marked: -1}
	look := ink.Look{Dark: d.Settings.Dark}
	c := look.Colours()
	w.page = page.New(d.Score.Piece, d.Score.Line, &d.Score.Plan, spaces[d.Settings.Size], c)
	w.page.Choose = w.chosen
	w.page.Whole = func() { w.columns.open(w.side.Box) }
	w.head = far.NewHead(d.Score.Title())
	w.message = prose.NewNotice()
	w.foot = foot.NewHearing(d)
	w.pedals = foot.NewPedals(d, w.foot)
	w.columns = newColumns(func() { w.refresh(); w.desktop.Refresh() })
	w.side = takes.NewSide(d, win)
	w.plan = plan.New(d, w.side.Keeper, func() { w.columns.toggle(w.plan.Box) })
	w.columns.add(w.plan.Box, w.plan.List)
	w.columns.add(w.side.Box, w.side.Enter)
	w.bar = newBar(w)
	w.closer = closer.New(d, win, w.page)
	w.page.Open = w.closer.Tapped
	toPage := func() { w.tabs.home() }
	d.Strings = func() { w.tabs.bring(w.tuning) }
	w.tuning = pegs.New(d, quiet, d.Strings, toPage)
	w.class = classroom.New(d, win, func() { w.bare = w.bare && !d.Judging; w.tabs.home() })
	w.pieces = pieces.New(d, win, w.openPiece, w.writePiece)
	w.write = write.New(d, win, w.choose)
	w.cues = far.NewCues(d, win, func() { w.desktop.Refresh() })
	w.asked = assigned.New(d, win, w.side.Keeper, w.choose, func() { w.desktop.Refresh(); w.page.Bring(d.Work.First) })
	w.pencil = marking.New(d, win, w.side.Keeper, w.asked.Make)
	w.page.Press = d.Pencil.Press
	middle := container.NewBorder(w.asked.Box, nil, nil, nil, w.columns.beside(w.closer.Under(w.page)))
	w.result = far.NewResult(d, win, w.room, func() { w.desktop.Refresh() }, func() { w.alone.left = true; w.refresh() })
	w.back = listening.New(d, win, func() { w.desktop.Refresh() })
	w.desktop = fit.Grown(middle, w.cues.Box, w.back.Box, w.result.Box, widget.NewSeparator(), w.foot.Offer, w.tuning.Offer, w.bar.box, w.pedals.Box, w.pencil.Box)
	w.help = help.New(d, w.keys, func() { w.tabs.help() })
	w.tabs = newTabs(w, w.tuning, w.class, weeks.New(d), settings.New(d, w.size, w.dark), w.write, w.pieces)
	top := fit.Before(w.head.Box, w.tabs.box)
	w.body = container.NewBorder(top, w.message.Box, nil, nil, w.tabs.middle)
	win.SetContent(container.New(&heights{w: w}, w.body))
	w.menu = newMenu(w)
	win.SetMainMenu(w.menu.bar)
	win.Canvas().SetOnTypedKey(w.key)
	win.Canvas().SetOnTypedRune(w.rune)
	win.SetOnDropped(w.dropped)
	w.atThePen()
	win.SetCloseIntercept(w.close)
	w.puts = d.Puts
	w.entitle()
	d.OnChange(w.refresh)
	w.refresh()
	if !quiet && !d.Settings.CautionSeen {
		w.caution()
	}
	return w
}

// ToPieces begins at the shelf, with no piece on the desk yet.
func (w *Window) ToPieces() {
	said, trouble := w.desk.Message, w.desk.Trouble
	w.bare = true
	w.entitle()
	if w.tabs.bring(w.pieces); trouble {
		w.desk.Fault(said)
		return
	}
	w.desk.Say(said)
}

// entitle names the piece on the desk, over the page and on the window.
func (w *Window) entitle() {
	if w.bare {
		w.head.Name("")
		w.win.SetTitle(words.Say("window.start.title.none"))
		return
	}
	w.head.Name(w.desk.Score.Title())
	w.win.SetTitle(words.Say("window.start.title", "piece", w.desk.Score.Title()))
}

// chosen takes the measures that were dragged over: to work on, or while somebody listens to
// hear again and again.
func (w *Window) chosen(first, last int) {
	if w.back.Box.Visible() {
		w.desk.Listening.Range(first, last)
		return
	}
	w.chose = [2]int{first, last} // where the mouse is already
	w.desk.SetRange(first, last)
}

// bring brings the measures that are to be worked on into sight, where others were before.
func (w *Window) bring() {
	if now := [2]int{w.desk.Work.First, w.desk.Work.Last}; now != w.chose {
		if before := w.chose; before != [2]int{} || now[0] > 0 {
			w.page.Bring(now[0])
		}
		w.chose = now
	}
}

// put shows the piece that was laid on the desk.
func (w *Window) put() {
	d := w.desk
	w.puts, w.bare = d.Puts, false
	w.page.Put(d.Score.Piece, d.Score.Line, &d.Score.Plan)
	w.shown, w.marked, w.live = nil, -1, nil
	w.entitle()
	if w.plan.Box.Visible() {
		w.plan.List()
	}
	w.tabs.show(0)
	d.HearHandedIn()
}

// asking offers a key to what is asked over the desk, a dialogue or a menu. As long
// as something is, no key reaches the desk under it; Escape leaves it unanswered.
func (w *Window) asking(k fyne.KeyName) bool {
	over := w.win.Canvas().Overlays()
	top := over.Top()
	if top == nil {
		return false
	}
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		confirm(top)
	case fyne.KeyEscape:
		top.Hide()
		over.Remove(top) // where it does not go by itself
		if w.left != nil {
			w.left()
		}
		w.win.Canvas().Unfocus() // so that keys are keys again
	}
	return true
}

// confirm answers a question that is asked over the desk as its button does that is
// filled in, or where there is none, its only one.
func confirm(top fyne.CanvasObject) {
	pop, is := top.(*widget.PopUp)
	if !is {
		return
	}
	all := buttons(pop.Content)
	for _, b := range all {
		if b.Importance == widget.HighImportance || len(all) == 1 {
			if !b.Disabled() {
				b.OnTapped()
			}
			return
		}
	}
}

// buttons are those that stand in an object, ours and the toolkit's.
func buttons(o fyne.CanvasObject) (all []*widget.Button) {
	switch x := o.(type) {
	case *prose.Button:
		return []*widget.Button{&x.Button}
	case *widget.Button:
		return []*widget.Button{x}
	case *fyne.Container:
		for _, i := range x.Objects {
			all = append(all, buttons(i)...)
		}
	}
	return all
}

// key is a key that writes nothing: the space bar, and what pedals send.
func (w *Window) key(e *fyne.KeyEvent) {
	if w.asking(e.Name) {
		return
	}
	if e.Name == fyne.KeyF1 {
		w.tabs.help()
		return
	}
	pedals := w.desk.Settings.Pedals.Keys()
	if w.tabs.key(e.Name) || w.tabs.at == 0 && w.pencil.Key(e.Name) || w.closer.Key(e.Name) || w.back.Key(e.Name, pedals) {
		return
	}
	switch string(e.Name) {
	case pedals[0]:
		w.desk.Do()
		return
	case pedals[1]:
		w.desk.Choose()
		return
	}
	switch e.Name {
	case fyne.KeySpace:
		w.desk.StartStop()
	case fyne.KeyDown, fyne.KeyRight, fyne.KeyPageDown:
		w.page.Scroll(1)
	case fyne.KeyUp, fyne.KeyLeft, fyne.KeyPageUp:
		w.page.Scroll(-1)
	case fyne.KeyEscape:
		if !w.desk.Going() && !w.desk.Judging {
			w.tabs.bring(w.pieces) // everything lies on the page as it was
		}
		w.desk.Cancel()
		w.desk.Stop()
	}
}

// rune is a key that writes: the ways by their number, tempo and size. All but
// the look and a recording to be opened belong to the page; on the shelf a letter looks
// for a piece.
func (w *Window) rune(r rune) {
	d := w.desk
	switch {
	case w.asking(""):
	case w.pieces.Box().Visible():
		w.pieces.Rune(r)
	case w.tabs.at == 0 && r != '?' && w.pencil.Rune(r):
	case r == '?':
		w.keys()
	case w.write.Box().Visible():
		w.write.Rune(r)
	case r == 'd':
		w.dark(!d.Settings.Dark)
	case r == 'o':
		w.open()
	case w.tabs.at != 0:
	case w.closer.Rune(r):
	case r >= '1' && int(r-'1') < len(work.Ways):
		d.SetWay(work.Ways[r-'1'])
	case r == '+' || r == '=':
		d.SetQPM(d.Work.QPM + 1)
	case r == '-':
		d.SetQPM(d.Work.QPM - 1)
	case r == 't':
		d.Tap()
	case r == 'l':
		w.nextSize()
	case r == 'p':
		w.columns.toggle(w.plan.Box)
	case r == 's':
		d.NextSound()
	case r == 'r':
		d.Listening.Toggle()
	case r == 'h':
		w.asked.Ask()
	case r == 'm':
		w.takePencil()
	}
}

// dark chooses night, or day.
func (w *Window) dark(dark bool) {
	w.desk.Change(func(s *remembered.Settings) { s.Dark = dark })
	look := ink.Look{Dark: w.desk.Settings.Dark}
	fyne.CurrentApp().Settings().SetTheme(look)
	w.page.SetColours(look.Colours())
	w.body.Refresh()
}

// lowWindow is a height, less what homework has of it, under which the closer look, and what a take came to, have no room
// over the bar, and lowNarrow that in a narrowWindow, where the bar's ways take two rows and all
// of it six; leastPage is what they leave the page beyond the least it asks for, a staff with
// three lines of what was heard under it, leastLow in a low window, with one, and leastBeside
// where somebody reads beside the page, leastPlan where that is the plan, which a pedal goes on in.
const (
	lowWindow    = 740
	narrowWindow = 760
	lowNarrow    = 1000
	leastPage    = 92
	leastLow     = 56
	leastBeside  = 370
	leastPlan    = 190
)

func (w *Window) low() bool {
	size := w.win.Canvas().Size()
	if w.asked.Box.Visible() {
		size.Height -= w.asked.Box.MinSize().Height
	}
	return size.Height < lowWindow || size.Width < narrowWindow && size.Height < lowNarrow
}

// heights shows the desk anew where the window becomes a low one, or no longer is.
type heights struct {
	w   *Window
	low bool
}

// MinSize implements fyne.Layout.
func (heights) MinSize(all []fyne.CanvasObject) fyne.Size { return all[0].MinSize() }

// Layout implements fyne.Layout.
func (h *heights) Layout(all []fyne.CanvasObject, size fyne.Size) {
	all[0].Resize(size)
	if low := h.w.low(); low != h.low && h.w.menu != nil {
		h.low, h.w.marked = low, -1
		h.w.refresh()
	}
}

// room is how high what a take came to may be.
func (w *Window) room() float32 {
	high := w.desktop.Size().Height
	if high == 0 {
		high = w.win.Canvas().Size().Height - 2*lowHead
	}
	for _, o := range w.desktop.Objects {
		if o.Visible() && o != w.result.Box {
			high -= o.MinSize().Height + theme.Padding()
		}
	}
	switch {
	case w.plan.Box.Visible():
		return high - leastPlan
	case w.columns.any():
		return high - leastBeside
	case w.low():
		return high - leastLow
	}
	return high - leastPage
}

const lowHead = 44

// alone is what a take came to, in a low window: the bar gives it its room, until something
// is chosen for the next attempt.
type alone struct {
	of     *desk.Result
	chosen work.Work // when it came
	left   bool      // the bar was asked for
}

func (a *alone) is(w *Window) bool {
	d := w.desk
	if a.of != d.Result {
		*a = alone{of: d.Result, chosen: d.Work}
	}
	return a.of != nil && !a.left && a.chosen == d.Work && w.low() && !w.columns.any() && !w.result.Away()
}

// refresh shows the desk as it is now.
func (w *Window) refresh() {
	d := w.desk
	if w.puts != d.Puts {
		w.put()
	}
	w.page.Finger(d.Score.Piece, d.Score.Line, &d.Score.Plan)
	c := ink.Look{Dark: d.Settings.Dark}.Colours()
	w.message.Tell(d.Message, d.Trouble, c.Ink, c.Paper)
	fit.Hide(w.message.Box, d.Message == "" || w.tabs.at == 0 && !d.Pencil.On) // on the page the pedals give it room
	w.tabs.refresh()
	w.pieces.Ask()
	w.bar.refresh()
	w.pedals.Refresh()
	if d.Score.Whole(d.Work.First, d.Work.Last) {
		w.page.SetRange(-1, -1)
	} else {
		w.page.SetRange(d.Work.First, d.Work.Last)
	}
	alone := w.alone.is(w)
	away := d.Pencil.On || w.low() && (d.Closer() != nil || d.Listening.Open || alone || w.plan.Box.Visible() && !w.result.Away()) // which need its room
	moved := w.bar.box.Visible() == away
	fit.Hide(w.bar.box, away)
	if moved {
		w.desktop.Refresh()
	}
	if !d.Pencil.On {
		w.result.Refresh(alone) // before the page comes to a measure: it takes room from it
	}
	w.cursor()
	w.findings()
	w.bring()
	w.rounds()
	if !d.Pencil.On {
		w.foot.Refresh()
	}
	w.asked.Refresh()
	w.pencil.Refresh()
	at := -1
	if d.Pencil.On {
		at = d.Pencil.At.Measure
	}
	w.page.SetPencil(at, d.Pencil.At.Note)
	if w.side.Box.Visible() {
		w.side.Refresh()
	}
	w.closer.Refresh()
	w.back.Refresh()
	if !d.Pencil.On {
		w.tuning.Offering()
	}
	w.cues.Refresh()
	w.plan.Refresh()
	anew := w.pedals.Box.Visible() == d.Pencil.On
	fit.Hide(w.pedals.Box, d.Pencil.On)
	if d.Pencil.On { // nor is what else belongs to playing
		w.result.Box.Hide()
		w.tuning.Offer.Hide()
		w.foot.Offer.Hide()
	}
	if anew {
		w.desktop.Refresh()
	}
	w.menu.refresh()
	w.head.Show(w.say(), d.Running, c)
}

// say is what goes on, in a few words.
func (w *Window) say() string {
	d, l := w.desk, w.desk.Live
	switch {
	case d.Judging:
		return words.Say("window.head.hearing")
	case !d.Running && d.Work.Way == work.BringUp && (d.Shown == nil || !d.Shown.Take.Elsewhere()):
		return d.Steps.Say()
	case !d.Running && d.Shown != nil && d.Mending.Now != nil: // what it came to is said of that
		return d.Shown.Take.Called()
	case !d.Running && d.Shown != nil:
		return words.Say("window.head.shown", "take", d.Shown.Take.Called(), "found", d.Shown.Take.Found)
	case !d.Running:
		return ""
	case l.First:
		return words.Say("window.head.listen")
	case l.Phase == attempt.Counting, l.Count > 0: // before an answer, too
		return words.Say("window.head.count-in")
	case d.Work.Way == work.Echo:
		return words.Say("window.head.your-turn")
	case d.Work.Way == work.BowSilently:
		return words.Say("window.head.silent")
	case !l.Heard:
		return words.Say("window.head.listening-for-you")
	}
	return words.Say("window.head.listening")
}

func (w *Window) cursor() {
	d := w.desk
	if d.Running {
		w.page.SetCursor(d.Live.Measure, d.Live.Share)
		w.page.SetHeard(page.Heard{Measure: d.Live.Note.Measure, Note: d.Live.Note.Note, Cents: d.Live.Note.Cents, Says: far.Off(d, d.Live.Note.Cents)})
	} else {
		at := d.Listening.Place // -1 where nobody listens
		w.page.SetCursor(at.Measure, at.Share)
		w.page.SetHeard(page.Heard{})
	}
}

// sameMark reports whether two findings stand alike under the page.
func sameMark(a, b finding.Finding) bool {
	return a.Kind == b.Kind && a.Measure == b.Measure && a.ToMeasure == b.ToMeasure && a.Trust == b.Trust && a.Short == b.Short
}

// findings puts what was heard under its measures: what is heard now while an
// attempt goes on, else the take shown.
func (w *Window) findings() {
	d := w.desk
	if d.Running {
		if w.marked < 0 || w.shown != nil || !slices.EqualFunc(w.live, d.Live.Findings, sameMark) {
			w.marked, w.shown, w.live = len(d.Live.Findings), nil, d.Live.Findings
			w.mark(d.Live.Findings, nil)
		}
		return
	}
	if d.Shown == nil {
		if w.shown != nil { // the take was removed
			w.shown, w.marked = nil, -1
			w.mark(nil, nil)
		}
		return
	}
	n := len(d.Shown.Take.Dismissed)
	if d.Shown == w.shown && w.marked == n {
		return
	}
	anew := d.Shown != w.shown
	w.shown, w.marked = d.Shown, n
	w.mark(d.Shown.Hearing.Findings, func(i int) bool { _, set := d.Dismissed(i); return set })
	if !anew {
		return
	}
	all := d.Shown.Hearing.Findings
	if i := d.First(); i >= 0 { // to what is to be mended first, else to the first thing heard
		all = append([]finding.Finding{all[i]}, all...)
	}
	for _, f := range all {
		if m := w.measureOf(&f); m >= 0 && f.First >= 0 {
			w.page.Bring(m)
			break
		}
	}
}

// mark draws findings: under their measures, and over the page what is of the whole take. That it
// is not sure is said under the page as well, which takes the room of a low window.
func (w *Window) mark(all []finding.Finding, aside func(i int) bool) {
	w.page.SetMarks(mark.ByMeasure(all, w.desk.Score.Piece.Measures, aside))
	whole := mark.OfTake(all, aside)
	if w.low() {
		whole = slices.DeleteFunc(whole, func(m mark.Mark) bool { return m.Kind == finding.NotSure })
	}
	w.page.SetWhole(whole)
}

// rounds draws how it goes with what is being mended.
func (w *Window) rounds() {
	m := w.desk.Mending.Now
	if m == nil || len(m.Rounds) == 0 {
		w.page.SetRounds(-1, nil)
		return
	}
	var all []page.Round
	for i := range m.Rounds {
		all = append(all, page.Round{Off: m.Share(i), Clean: m.Rounds[i].Verdict == practice.Cleanly})
	}
	w.page.SetRounds(w.desk.Score.Line[m.First].Measure, all)
}

// measureOf is the index of the measure in which a finding begins.
func (w *Window) measureOf(f *finding.Finding) int {
	for i := range w.desk.Score.Piece.Measures {
		if w.desk.Score.Piece.Measures[i].Number == f.Measure {
			return i
		}
	}
	return -1
}
