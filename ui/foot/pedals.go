package foot

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/work"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Pedals says what the way chosen is, and what two pedals, or the arrow keys,
// would do. What the desk has to say stands in the place of the first; while
// somebody plays, what is wrong with the level, if anything is. And while a recording is
// heard, how far it is stands in the place of all.
type Pedals struct {
	Box *fyne.Container

	desk *desk.Desk
	row  *fyne.Container
	said *prose.Notice
	left *prose.Para
	now  *canvas.Text
	next *canvas.Text
}

// NewPedals is that of a desk, with how far a recording is heard in its place.
func NewPedals(d *desk.Desk, h *Hearing) *Pedals {
	p := &Pedals{desk: d}
	for _, t := range []**canvas.Text{&p.now, &p.next} {
		*t = canvas.NewText("", color.Black)
		(*t).TextSize = ink.Foot
	}
	p.now.TextStyle.Bold = true
	p.said = prose.NewNotice()
	p.left = prose.NewPara("", ink.Foot, false, color.Black)
	p.row = container.New(pedalsLayout{p}, p.left, p.said.Box, p.now, p.next)
	p.Box = container.NewStack(fit.Space(twoLinesTall), p.row, h.progress)
	return p
}

// Refresh says what is so now.
func (p *Pedals) Refresh() {
	d := p.desk
	fit.Hide(p.row, d.Judging)
	c := ink.Look{Dark: d.Settings.Dark}.Colours()
	p.said.Tell(d.Message, d.Trouble, c.Ink, c.Paper)
	fit.Hide(p.said.Box, d.Message == "")
	fit.Hide(p.left, d.Message != "")
	left, bold := d.Work.Way.About(), false
	if slow := d.Steps.NotSlower(); d.Work.Way == work.BringUp && slow != "" {
		left = slow
	}
	now, next := words.Say("window.pedal.stop"), ""
	switch {
	case d.Listening.Open:
		left = words.Say("window.listening.about")
		switch l := d.Listening; { // and not on the loop's button, which would push its neighbours away
		case l.Loop && l.First == l.Last:
			left = words.Say("window.listening.loop.measure", "n", d.Score.Range(l.First, l.First))
		case l.Loop:
			left = words.Say("window.listening.loop.measures", "from", d.Score.Range(l.First, l.First), "to", d.Score.Range(l.Last, l.Last))
		}
		if now = words.Say("window.pedal.listen"); d.Listening.Playing() {
			now = words.Say("window.pedal.stop")
		}
		next = words.Say("window.pedal.listen.before")
	case !d.Going():
		all := d.Between()
		if now = ""; d.Closer() != nil { // else both stand large over this
			now = words.Say("window.pedal.do", "deed", all[d.At()].Name)
			next = words.Say("window.pedal.go-on", "deed", all[(d.At()+1)%len(all)].Name)
		}
	default:
		if left = ""; d.Round() > 1 && d.Result != nil { // of an echo: what the last came to
			left, bold = words.Say("window.pedal.last-time", "found", d.Result.Says), true
		}
		if waits := d.Running && (d.Live.First || d.Live.Count > 0); d.Loud.Say != "" && !waits { // nobody plays in the desk's turn, nor while it counts
			left, bold = d.Loud.Say, true
		}
	}
	tone := c.Soft
	if bold {
		tone = c.Ink
	}
	changed := p.left.Say(left, bold, tone)
	changed = prose.Rewrite(p.now, now, c.Ink) || changed
	changed = prose.Rewrite(p.next, next, c.Soft) || changed
	if changed {
		p.Box.Refresh()
	}
}

// pedalsLayout sets what is said at the left, in room for two lines that is there
// always, so that nothing moves when it comes; only a message of more lines takes more.
// What the pedals do stands at the right: beside each other where that leaves what is
// said its room, else one under the other.
type pedalsLayout struct{ p *Pedals }

const (
	twoLinesTall = 44
	labelEdges   = 16 // what a label has above and below its letters
	leftEdge     = 8
	rightEdge    = 14
	betweenDeeds = 14
)

// MinSize implements fyne.Layout.
func (l pedalsLayout) MinSize([]fyne.CanvasObject) fyne.Size {
	high := float32(twoLinesTall)
	if l.p.said.Box.Visible() {
		high = max(high, l.p.said.Box.MinSize().Height-labelEdges)
	}
	if l.p.left.Visible() { // three lines in a narrow window
		high = max(high, l.p.left.Size().Height)
	}
	return fyne.NewSize(max(l.p.now.MinSize().Width, l.p.next.MinSize().Width)+300, high)
}

// Layout implements fyne.Layout.
func (l pedalsLayout) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	p := l.p
	now, next := p.now.MinSize(), p.next.MinSize()
	deeds, one := now.Width+betweenDeeds+next.Width, now.Height
	if room := size.Width - deeds - leftEdge - rightEdge - betweenDeeds; p.left.Visible() && !p.left.OneLine(room) || room < size.Width/3 {
		deeds, one = max(now.Width, next.Width), now.Height+next.Height
	}
	x, y := size.Width-rightEdge-deeds, (size.Height-one)/2
	p.now.Move(fyne.NewPos(x, y))
	p.now.Resize(now)
	p.next.Resize(next)
	if one > now.Height {
		p.next.Move(fyne.NewPos(x, y+now.Height))
	} else {
		p.next.Move(fyne.NewPos(x+now.Width+betweenDeeds, y))
	}
	room := x - betweenDeeds - leftEdge
	h := p.left.HeightFor(room)
	p.left.Move(fyne.NewPos(leftEdge, (size.Height-h)/2))
	p.left.Resize(fyne.NewSize(room, h))
	p.said.Box.Resize(fyne.NewSize(x-betweenDeeds, size.Height+labelEdges))
	h = p.said.Box.MinSize().Height // which hangs on its width
	p.said.Box.Resize(fyne.NewSize(x-betweenDeeds, h))
	p.said.Box.Move(fyne.NewPos(0, (size.Height-h)/2))
}
