package closer

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk/closelook"
	"endpin/ui/ink"
)

// plot draws a measure looked at closer: pitch over time, and under it where the
// notes began against the beats.
type plot struct {
	widget.BaseWidget
	look    *closelook.Look
	colours ink.Colours
	objects []fyne.CanvasObject
	cursor  *canvas.Rectangle
	whole   fyne.Size
	grow    float32   // all is drawn so much larger where there is room
	size    fyne.Size // what there is to draw on, before it is
	at      float64   // s, NaN for nothing playing
	taken   float32   // words over the notes reach as far as this
}

// Lengths of the drawing, in Fyne's units.
const (
	plotNames  = 74  // left of it: names, what the rows are; at least, as the next
	plotLegend = 188 // right of it: what the lines are
	plotKey    = 36  // of that, what is drawn beside the words
	plotFrames = 24  // over it: hand frames
	plotStarts = 26  // under it: where notes began
	plotLate   = 20  // and over that, how late, where any was
	plotBeats  = 18  // and the beats' numbers
	plotTimes  = 22  // and seconds
	plotBare   = 640 // width below which there is no legend
	mostGrow   = 1.5 // times these, where the window is large
	legendSize = 14  // of its letters, and those that name rows
	legendEdge = 18  // left of it
)

func newPlot() *plot {
	p := &plot{grow: 1, at: math.NaN(), cursor: canvas.NewRectangle(nil)}
	p.ExtendBaseWidget(p)
	return p
}

// MinSize is small: the drawing takes what it gets.
func (p *plot) MinSize() fyne.Size { return fyne.NewSize(200, 60) }

// Resize draws anew where the size has changed.
func (p *plot) Resize(size fyne.Size) {
	p.BaseWidget.Resize(size)
	if size != p.whole {
		p.whole = size
		p.grow = max(1, min(mostGrow, size.Height/300, size.Width/880))
		p.size = fyne.NewSize(size.Width/p.grow, size.Height/p.grow)
		p.draw()
	}
}

func (p *plot) show(look *closelook.Look, c ink.Colours) {
	p.look, p.colours = look, c
	p.draw()
}

// cursorAt shows what is heard now.
func (p *plot) cursorAt(b closelook.Playback) {
	at := math.NaN()
	if b.What != "" {
		at = b.At
	}
	if at == p.at || math.IsNaN(at) && math.IsNaN(p.at) {
		return
	}
	p.at = at
	p.place()
}

func (p *plot) place() {
	if math.IsNaN(p.at) || p.look == nil || p.at < p.look.From || p.at > p.look.To {
		p.cursor.Hide()
		p.cursor.Refresh()
		return
	}
	f := p.field()
	p.cursor.Move(fyne.NewPos(p.grow*(f.x(p.at)-1.5), p.grow*f.top))
	p.cursor.Resize(fyne.NewSize(3*p.grow, p.grow*(f.starts-f.top)))
	p.cursor.Show()
	p.cursor.Refresh()
}

// field is where the pitch is drawn.
type field struct {
	look                     *closelook.Look
	left, right, top, bottom float32
	high                     float32 // the topmost lane's room ends here
	began, starts            float32 // the row of starts
	legend                   bool
}

func (p *plot) field() field {
	names := max(p.wide(words.Say("window.closer.starts"), legendSize, false), p.wide(words.Say("window.closer.beat"), legendSize, false),
		p.wide(words.Say("window.closer.seconds"), legendSize, false))
	f := field{look: p.look, left: max(plotNames, names+20), right: p.size.Width - 14, top: plotFrames, legend: p.size.Width >= plotBare}
	if f.legend && p.look != nil {
		legend := p.wide(p.tempo(), legendSize, false)
		for _, text := range []string{words.Say("window.closer.heard"), p.letPass(), words.Say("window.closer.fifty")} {
			legend = max(legend, plotKey+p.wide(text, legendSize, false))
		}
		f.right = p.size.Width - max(plotLegend, legendEdge+legend+4)
	}
	f.starts = p.size.Height - plotBeats - plotTimes
	f.began = f.starts - plotStarts
	f.bottom = f.began
	if p.look != nil && slices.ContainsFunc(p.look.Notes, func(n closelook.Note) bool { return n.Late != "" }) {
		f.bottom -= plotLate
	}
	f.high = min(f.top+18, f.bottom-1) // words stand over the topmost note
	return f
}

func (f *field) x(at float64) float32 {
	return f.left + float32((at-f.look.From)/(f.look.To-f.look.From))*(f.right-f.left)
}

func (f *field) y(pitch float64) float32 {
	return f.bottom - float32(f.look.Height(pitch))*(f.bottom-f.high)
}

// draw makes the drawing anew: lines as one picture, words over it.
func (p *plot) draw() {
	p.objects = p.objects[:0]
	defer func() {
		p.cursor.FillColor = p.colours.Cursor
		p.objects = append(p.objects, p.cursor)
		if p.look != nil {
			p.place()
		}
		p.Refresh()
	}()
	f := p.field()
	if p.look == nil || p.look.To <= p.look.From || f.bottom-f.top < 20 || f.right-f.left < 60 {
		return
	}
	scale := float32(1)
	if c := fyne.CurrentApp().Driver().CanvasForObject(p); c != nil {
		scale = c.Scale()
	}
	k := ink.New(p.size, scale*p.grow)
	p.rule(k, &f)
	p.frames(k, &f)
	p.taken = 0
	for i := range p.look.Notes {
		p.note(k, &f, i)
	}
	for _, run := range p.look.Trace {
		p.trace(k, &f, run)
	}
	if f.legend {
		p.legend(k, &f)
	}
	drawn := k.Object()
	drawn.Resize(fyne.NewSize(drawn.Size().Width*p.grow, drawn.Size().Height*p.grow))
	p.objects = append([]fyne.CanvasObject{drawn}, p.objects...)
}

// trace draws a stretch of the pitch heard; what belongs to the measures beside
// is soft.
func (p *plot) trace(k *ink.Picture, f *field, run []closelook.Point) {
	inside := func(q closelook.Point) bool { return q.At >= f.look.Begin-0.05 && q.At <= f.look.End+0.05 }
	for len(run) > 0 {
		n := 1
		for n < len(run) && inside(run[n]) == inside(run[0]) {
			n++
		}
		points := make([]fyne.Position, 0, n+1)
		for _, q := range run[:min(n+1, len(run))] {
			points = append(points, fyne.NewPos(f.x(q.At), f.y(q.Pitch)))
		}
		thick, c := float32(2.6), p.colours.Ink
		if !inside(run[0]) {
			thick, c = 1.6, p.colours.Soft
		}
		k.Stroke(points, thick, c)
		run = run[n:]
	}
}

// rule draws lanes, beats and seconds.
func (p *plot) rule(k *ink.Picture, f *field) {
	c := p.colours
	for _, cut := range f.look.Cuts() { // the height is cut short here
		y := f.bottom - float32(cut[0]+cut[1])/2*(f.bottom-f.high)
		for x := f.left - 10; x < f.left-1; x += 4 {
			k.Box(x, y-1, 2, 2, c.Soft)
		}
	}
	last := float32(math.Inf(1))
	for _, l := range f.look.Lanes {
		y := f.y(l.At)
		k.Box(f.left, y-0.5, f.right-f.left, 1, faint(c))
		if last-y < 17 {
			continue // no room for its name
		}
		last = y
		if l.Written {
			p.say(l.Name, f.left-16, y-12, 18, true, fyne.TextAlignTrailing, c.Ink)
		} else {
			p.say(l.Name, f.left-16, y-11, 16, false, fyne.TextAlignTrailing, c.Soft)
		}
	}
	for _, b := range f.look.Beats {
		x, w := f.x(b.At), float32(1)
		if b.Number <= 1 {
			w = 2
		}
		k.Box(x-w/2, f.top, w, f.starts-f.top, c.Soft)
		if b.Number > 0 {
			p.say(fmt.Sprint(b.Number), x, f.starts, 15, true, fyne.TextAlignCenter, c.Ink)
		}
	}
	k.Box(f.left, f.began, f.right-f.left, 1, faint(c))
	k.Box(f.left, f.starts, f.right-f.left, 1, c.Soft)
	p.say(words.Say("window.closer.starts"), f.left-16, f.began+plotStarts/2-10, 14, false, fyne.TextAlignTrailing, c.Soft)
	p.say(words.Say("window.closer.beat"), f.left-16, f.starts, 14, false, fyne.TextAlignTrailing, c.Soft)
	p.say(words.Say("window.closer.seconds"), f.left-16, f.starts+plotBeats, 14, false, fyne.TextAlignTrailing, c.Soft)
	step := 0.1
	for _, wider := range []float64{0.5, 1, 2, 5, 10} {
		if float64(f.x(f.look.From+step)-f.left) < 62 {
			step = wider
		}
	}
	for at := math.Ceil(f.look.From/step) * step; at <= f.look.To; at += step {
		x := f.x(at)
		k.Box(x-0.5, f.starts+plotBeats+1, 1, 4, c.Soft)
		p.say(clock(at, step), x, f.starts+plotBeats+3, 13, false, fyne.TextAlignCenter, c.Soft)
	}
}

// clock is a moment of a recording.
func clock(at, step float64) string {
	digits := 1
	if step >= 1 {
		digits = 0
	}
	if at < 60 {
		return words.Fixed(at, digits).String()
	}
	minutes := math.Floor(at / 60)
	seconds := words.Fixed(at-60*minutes, digits).String()
	if at-60*minutes < 10 {
		seconds = "0" + seconds
	}
	return words.Say("number.minutes", "minutes", words.Whole(minutes), "seconds", seconds)
}

// frames draws where the hand stays in one place; thick after a shift.
func (p *plot) frames(k *ink.Picture, f *field) {
	const y, hang = plotFrames - 6, 5
	for _, fr := range f.look.Frames {
		from, to := f.x(fr.From)+2, f.x(fr.To)-2
		thick := float32(1)
		if fr.Shift {
			thick = 2.4
		}
		text := ""
		for _, w := range fr.Words {
			if p.wide(w, 14, fr.Shift)+16 < to-from {
				text = w
				break
			}
		}
		line := from
		if text != "" {
			p.say(text, from+8, y-10, 14, fr.Shift, fyne.TextAlignLeading, p.colours.Ink)
			k.Box(from, y-thick/2, 6, thick, p.colours.Ink)
			line = from + 12 + p.wide(text, 14, fr.Shift)
		}
		k.Box(line, y-thick/2, to-line, thick, p.colours.Ink)
		if !fr.Begun {
			k.Box(from, y, thick, hang, p.colours.Ink)
		}
		if !fr.Open {
			k.Box(to-thick, y, thick, hang, p.colours.Ink)
		}
	}
}

// note draws where a note belongs, what was heard of it, and when it began.
func (p *plot) note(k *ink.Picture, f *field, i int) {
	n, c := &f.look.Notes[i], p.colours
	from, to := f.x(n.From), f.x(n.To)
	tol := f.look.Tolerance / 100
	top, bottom := f.y(n.At+tol), f.y(n.At-tol)
	if to > from {
		if n.Missed {
			k.Dashed(from+1, top, to-from-2, bottom-top, c.Ink)
		} else {
			k.Box(from+1, top, to-from-2, bottom-top, band(c))
			k.Box(from+1, f.y(n.At)-0.75, to-from-2, 1.5, c.Soft)
		}
	}
	p.value(k, f, i, from, to)
	if !math.IsNaN(n.Onset) {
		p.start(k, f, n)
	}
}

// value writes what was heard of a note's pitch over it.
func (p *plot) value(k *ink.Picture, f *field, i int, from, to float32) {
	n, c := &f.look.Notes[i], p.colours
	if n.Value == "" {
		return
	}
	bold := n.Told || n.Off
	size := float32(14)
	if bold {
		size = 17
	}
	text, shaped := n.Value, bold && !n.Missed
	if bold && !n.Missed && !n.Other {
		if long := words.Say("window.closer.cents", "n", text); p.wide(long, size, true)+24 < to-from {
			text = long
		}
	}
	x, room := from+4, to-from-6
	if i+1 == len(f.look.Notes) || n.To <= n.From {
		room = f.right - from
	}
	wide := p.wide(text, size, bold)
	if shaped {
		wide += 18
	}
	if !bold && (wide > room || x < p.taken) {
		return // nothing to tell, and no room to tell it in
	}
	if bold {
		p.taken = x + wide + 4
	}
	y := max(0, f.y(f.above(n, x, x+wide))-size-7)
	if y < f.top-4 {
		y = min(f.y(n.At-f.look.Tolerance/100)+1, f.bottom-size-6) // over it there is no room
	}
	colour := c.Soft
	if bold {
		colour = c.Ink
	}
	if shaped {
		form := ink.Diamond
		switch {
		case n.Other:
		case n.Cents > 0:
			form = ink.Up
		case n.Cents < 0:
			form = ink.Down
		}
		k.Shape(form, x+7, y+size*0.72, 7, !n.Told, colour, c.Paper)
		x += 18
	}
	p.say(text, x, y, size, bold, fyne.TextAlignLeading, colour)
}

// above is the highest that is drawn of a note between two places across.
func (f *field) above(n *closelook.Note, from, to float32) float64 {
	high := n.At + f.look.Tolerance/100
	for _, run := range f.look.Trace {
		for _, q := range run {
			if x := f.x(q.At); x >= from && x <= to && q.Pitch < n.At+1.2 {
				high = math.Max(high, q.Pitch)
			}
		}
	}
	return high
}

// start marks where a note began, and over it how far from its beat.
func (p *plot) start(k *ink.Picture, f *field, n *closelook.Note) {
	c := p.colours
	x, due, middle := f.x(n.Onset), f.x(n.From), f.began+plotStarts/2
	k.Box(due-0.5, f.began+2, 1, plotStarts-4, c.Soft)
	k.Box(x-1.5, f.began+4, 3, plotStarts-8, c.Ink)
	if n.Late == "" {
		return
	}
	k.Box(min(x, due), middle-2.5, max(x-due, due-x), 5, c.Ink)
	form, colour := ink.Right, c.Soft
	if n.LateMS < 0 {
		form = ink.Left
	}
	if n.LateTold {
		colour = c.Ink
	}
	wide := p.wide(n.Late, 16, n.LateTold) + 20
	at := max(f.left, min(x, due, f.right-wide))
	y := f.began - plotLate/2
	k.Shape(form, at+8, y, 7, !n.LateTold, colour, c.Paper)
	p.say(n.Late, at+20, y-12, 16, n.LateTold, fyne.TextAlignLeading, colour)
}

// letPass and tempo are what stands beside the drawing with a number in it.
func (p *plot) letPass() string {
	return words.Say("window.closer.let-pass", "n", words.Whole(p.look.Tolerance))
}

func (p *plot) tempo() string {
	return words.Say("window.closer.tempo", "qpm", words.Whole(p.look.Tempo))
}

// legend says what the lines are.
func (p *plot) legend(k *ink.Picture, f *field) {
	c := p.colours
	x, y := f.right+legendEdge, f.top+4
	line := func(text string, height float32, draw func(y float32)) {
		if y+height > f.starts {
			return
		}
		draw(y + height/2)
		p.say(text, x+plotKey, y+height/2-11, legendSize, false, fyne.TextAlignLeading, c.Soft)
		y += height + 4
	}
	line(words.Say("window.closer.heard"), 22, func(y float32) {
		k.Stroke([]fyne.Position{{X: x, Y: y + 3}, {X: x + 9, Y: y - 1}, {X: x + 18, Y: y + 1}, {X: x + 28, Y: y - 2}}, 2.4, c.Ink)
	})
	line(p.letPass(), 24, func(y float32) {
		k.Box(x, y-8, 28, 16, band(c))
		k.Box(x, y-0.75, 28, 1.5, c.Soft)
	})
	fifty := float32(50*f.look.Cents()) * (f.bottom - f.high)
	if len(f.look.Lanes) > 0 {
		line(words.Say("window.closer.fifty"), max(22, fifty+4), func(y float32) {
			k.Box(x+13, y-fifty/2, 2, fifty, c.Soft)
			k.Box(x+8, y-fifty/2-1, 12, 2, c.Soft)
			k.Box(x+8, y+fifty/2-1, 12, 2, c.Soft)
		})
	}
	p.say(p.tempo(), x, f.starts, legendSize, false, fyne.TextAlignLeading, c.Soft)
}

// faint is a line that only guides the eye; band is what a note may be off.
func faint(c ink.Colours) color.NRGBA { return ink.Mixed(c.Paper, c.Soft, 0.35) }
func band(c ink.Colours) color.NRGBA  { return ink.Mixed(c.Paper, c.Soft, 0.30) }

// say puts words down.
func (p *plot) say(text string, x, y, size float32, bold bool, align fyne.TextAlign, c color.Color) {
	t := canvas.NewText(text, c)
	t.TextSize, t.TextStyle.Bold = size*p.grow, bold
	m := t.MinSize()
	x, y = x*p.grow, y*p.grow
	switch align {
	case fyne.TextAlignTrailing:
		x -= m.Width
	case fyne.TextAlignCenter:
		x -= m.Width / 2
	}
	t.Move(fyne.NewPos(x, y))
	t.Resize(m)
	p.objects = append(p.objects, t)
}

func (p *plot) wide(text string, size float32, bold bool) float32 {
	return fyne.MeasureText(text, size*p.grow, fyne.TextStyle{Bold: bold}).Width / p.grow
}

// CreateRenderer implements fyne.Widget.
func (p *plot) CreateRenderer() fyne.WidgetRenderer { return &plotRenderer{p} }

type plotRenderer struct{ p *plot }

func (r *plotRenderer) Destroy()                     {}
func (r *plotRenderer) Layout(fyne.Size)             {}
func (r *plotRenderer) MinSize() fyne.Size           { return r.p.MinSize() }
func (r *plotRenderer) Objects() []fyne.CanvasObject { return r.p.objects }
func (r *plotRenderer) Refresh()                     { canvas.Refresh(r.p) }
