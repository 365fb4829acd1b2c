package help

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// chapters are what is told, in order: a heading, its lines, and a picture or none.
func (s *Screen) chapters(look ink.Look) (all []fyne.CanvasObject) {
	p := &pictures{look: look, demo: s.piece()}
	for i, c := range []struct {
		says    []string // messages' keys, the heading first
		picture []fyne.CanvasObject
	}{
		{[]string{"help.piece", "help.piece.open", "help.piece.none"}, p.piece()},
		{[]string{"help.microphone", "help.microphone.place", "help.microphone.level", "help.microphone.delay"}, p.microphone()},
		{[]string{"help.take", "help.take.start", "help.take.cursor", "help.take.alone", "help.take.stop"}, p.take()},
		{[]string{"help.finding", "help.finding.stands", "help.finding.cents", "help.finding.press", "help.finding.none"}, p.finding()},
		{[]string{"help.trust", "help.trust.why"}, p.trust()},
		{[]string{"help.mend", "help.mend.work", "help.mend.dots", "help.mend.holds"}, p.mend()},
		{[]string{"help.deaf", "help.deaf.sound", "help.deaf.body", "help.deaf.company", "help.deaf.teacher"}, nil},
		{[]string{"help.care", "help.care.hurts", "help.care.rest", "help.care.ears"}, nil},
	} {
		if i > 0 {
			all = append(all, fit.Space(14), widget.NewSeparator())
		}
		all = append(all, newChapter(i+1, c.says, c.picture, look.Colours(), s.read))
	}
	return append(all, fit.Space(30))
}

// say is a message of the help. What it tells to press it calls as it is called there.
func say(key string) string {
	return words.Say(key, "pieces", words.Of("window.screen.pieces"), "open", words.Of("window.pieces.open"), "write", words.Of("window.screen.write"),
		"settings", words.Of("window.screen.settings"), "tuning", words.Of("window.screen.tuning"), "page", words.Of("window.screen.page"),
		"alone", words.Of("desk.way.play-alone"), "takes", words.Of("window.bar.takes"), "work", words.Of("desk.deed.work-on"), "measure", words.Of("window.settings.measure"), "loud", words.Of("sound.level.too-loud"))
}

// chapter is text beside its picture; where that leaves either too narrow, over it.
type chapter struct {
	widget.BaseWidget
	text    []fyne.CanvasObject
	picture []fyne.CanvasObject
	glass   *glass
}

const (
	edge    = 24
	gutter  = 36
	oneWide = 860  // a width under which the picture goes under the text
	mostAll = 1480 // lines longer than this part of it are hard to follow
	ofText  = 0.42
)

func newChapter(n int, says []string, picture []fyne.CanvasObject, c ink.Colours, under *fit.Reading) *chapter {
	x := &chapter{picture: picture, glass: newGlass(under)}
	x.text = []fyne.CanvasObject{fit.Space(14), prose.NewPara(fmt.Sprintf("%d  %s", n, say(says[0])), 24, true, c.Ink), fit.Space(8)}
	for _, line := range says[1:] {
		x.text = append(x.text, prose.NewPara(say(line), 18, false, c.Ink), fit.Space(8))
	}
	x.picture = append([]fyne.CanvasObject{fit.Space(14)}, x.picture...)
	x.ExtendBaseWidget(x)
	return x
}

// places puts text and picture into a width, and says how high they are.
func (x *chapter) places(width float32, put func(o fyne.CanvasObject, x, y, w, h float32)) (high float32) {
	left := max(edge, (width-mostAll)/2)
	wide := width - 2*left
	column := func(all []fyne.CanvasObject, at, y, w float32) float32 {
		for _, o := range all {
			h := fit.HeightOf(o, w)
			put(o, at, y, w, h)
			y += h
		}
		return y
	}
	if wide < oneWide || len(x.picture) == 1 {
		return column(x.picture, left, column(x.text, left, 0, min(wide, oneWide)), wide)
	}
	text := wide * ofText
	return max(column(x.text, left, 0, text), column(x.picture, left+text+gutter, 0, wide-text-gutter))
}

// HeightFor implements fit.Folding.
func (x *chapter) HeightFor(width float32) float32 {
	return x.places(width, func(fyne.CanvasObject, float32, float32, float32, float32) {})
}

// MinSize implements fyne.CanvasObject: it takes what it gets.
func (x *chapter) MinSize() fyne.Size { return fyne.NewSize(100, 100) }

// CreateRenderer implements fyne.Widget.
func (x *chapter) CreateRenderer() fyne.WidgetRenderer { return chapterRenderer{x} }

type chapterRenderer struct{ x *chapter }

func (r chapterRenderer) Layout(size fyne.Size) {
	r.x.places(size.Width, func(o fyne.CanvasObject, x, y, w, h float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(w, h))
	})
	r.x.glass.Resize(size)
}
func (r chapterRenderer) MinSize() fyne.Size { return r.x.MinSize() }
func (r chapterRenderer) Refresh()           { r.Layout(r.x.Size()) }
func (r chapterRenderer) Destroy()           {}
func (r chapterRenderer) Objects() []fyne.CanvasObject {
	return append(append(append([]fyne.CanvasObject{}, r.x.text...), r.x.picture...), r.x.glass)
}

// glass lies over a picture: what is drawn there cannot be pressed, and the wheel scrolls what
// is read.
type glass struct {
	widget.BaseWidget
	under *fit.Reading
}

func newGlass(under *fit.Reading) *glass {
	g := &glass{under: under}
	g.ExtendBaseWidget(g)
	return g
}

// Tapped implements fyne.Tappable.
func (g *glass) Tapped(*fyne.PointEvent) {}

// Scrolled implements fyne.Scrollable.
func (g *glass) Scrolled(e *fyne.ScrollEvent) { g.under.By(-e.Scrolled.DY / g.under.Size().Height) }

// CreateRenderer implements fyne.Widget.
func (g *glass) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(fit.Space(1))
}

// beside is a sign with a text beside it.
type beside struct {
	widget.BaseWidget
	sign fyne.CanvasObject
	text *prose.Para
}

func newBeside(sign fyne.CanvasObject, text *prose.Para) *beside {
	b := &beside{sign: sign, text: text}
	b.ExtendBaseWidget(b)
	return b
}

// HeightFor implements fit.Folding.
func (b *beside) HeightFor(width float32) float32 {
	return max(b.sign.MinSize().Height, b.text.HeightFor(width-b.left()))
}

func (b *beside) left() float32 { return b.sign.MinSize().Width + gutter/2 }

// CreateRenderer implements fyne.Widget.
func (b *beside) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.New(besideLayout{b}, b.sign, b.text))
}

type besideLayout struct{ b *beside }

// MinSize implements fyne.Layout.
func (l besideLayout) MinSize([]fyne.CanvasObject) fyne.Size { return l.b.sign.MinSize() }

// Layout implements fyne.Layout.
func (l besideLayout) Layout(all []fyne.CanvasObject, size fyne.Size) {
	all[0].Resize(all[0].MinSize())
	all[1].Move(fyne.NewPos(l.b.left(), 0))
	all[1].Resize(fyne.NewSize(size.Width-l.b.left(), size.Height))
}
