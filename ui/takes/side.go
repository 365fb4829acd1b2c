package takes

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/gist"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/shelf"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// Side stands beside the page: what was heard in the take shown, or the takes.
type Side struct {
	Box *fyne.Container
	*Keeper

	desk   *desk.Desk
	win    fyne.Window
	takes  bool // the takes, not what was heard
	tabs   [2]*prose.Button
	heard  *fyne.Container
	scroll *container.Scroll
	list   *takeList
	shown  *shelf.Shown
	set    int // dismissals shown
	dark   bool
	named  string
}

const sideWidth = 446

// NewSide sets it out.
func NewSide(d *desk.Desk, win fyne.Window) *Side {
	s := &Side{Keeper: &Keeper{desk: d, win: win}, desk: d, win: win, heard: container.NewVBox(), takes: true}
	s.list = newTakeList(s)
	for i, label := range []string{words.Say("window.takes.tab.heard"), words.Say("window.takes.tab.all")} {
		s.tabs[i] = prose.NewButton(label, func() { s.turn(i == 1); win.Canvas().Unfocus() })
	}
	s.scroll = container.NewVScroll(s.heard)
	s.Box = fit.Column(container.NewBorder(container.NewGridWithColumns(2, s.tabs[0], s.tabs[1]), nil, nil, nil,
		container.NewStack(s.scroll, s.list.box)), sideWidth)
	s.turn(true)
	return s
}

// Enter is called when it comes to stand there.
func (s *Side) Enter() {
	s.turn(s.desk.Shown == nil)
	s.Refresh()
}

// turn shows the takes, or what was heard.
func (s *Side) turn(takes bool) {
	s.takes = takes
	fit.Hide(s.scroll, takes)
	fit.Hide(s.list.box, !takes)
	for i, b := range s.tabs {
		prose.Mark(b, takes == (i == 1))
	}
}

// Refresh shows the desk as it is now.
func (s *Side) Refresh() {
	d := s.desk
	set := SetAside(d)
	name := ""
	if d.Shown != nil {
		name = d.Shown.Take.Name
	}
	if d.Shown != s.shown || set != s.set || name != s.named || s.dark != d.Settings.Dark || len(s.heard.Objects) == 0 {
		if d.Shown != s.shown && d.Shown != nil {
			s.turn(false)
		}
		s.shown, s.set, s.dark, s.named = d.Shown, set, d.Settings.Dark, name
		s.sentences()
	}
	s.list.refresh()
}

// sentences tells the findings of the take shown.
func (s *Side) sentences() {
	d := s.desk
	s.heard.RemoveAll()
	if d.Shown == nil {
		s.heard.Add(prose.Wrapped(words.Say("window.takes.nothing-shown")))
		return
	}
	t, h := d.Shown.Take, d.Shown.Hearing
	title := prose.Wrapped(t.Called())
	title.SizeName = "subHeadingText"
	title.TextStyle.Bold = true
	s.heard.Add(fit.Close(title, prose.Wrapped(strings.Join(about(t), "  ·  "))))
	s.heard.Add(container.NewGridWithColumns(2, prose.NewButton(words.Say("window.takes.listen"), func() { d.Listening.From(-1); s.win.Canvas().Unfocus() }),
		prose.NewButton(words.Say("window.takes.rename"), func() { rename(d, s.win, t) })))
	s.heard.Add(container.NewGridWithColumns(2, prose.NewButton(words.Say("window.takes.report"), s.keepReport), prose.NewButton(words.Say("window.takes.sound"), s.keepSound)))
	s.heard.Add(widget.NewSeparator())
	if len(h.Findings) == 0 {
		s.heard.Add(prose.Wrapped(gist.Of(d.Score.Piece, h).String()))
	}
	for i := range h.Findings {
		s.heard.Add(Told(d, s.win, i, true))
		s.heard.Add(widget.NewSeparator())
	}
	for _, remark := range h.Remarks {
		l := prose.Wrapped(remark)
		l.Importance = widget.LowImportance
		s.heard.Add(l)
	}
	s.scroll.ScrollToTop()
}
