package far

import (
	"image"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/timetable"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/pen"
	"endpin/ui/prose"
)

// Cues stand under the page while somebody bows silently: what both hands do now,
// large, and beside it what comes next.
type Cues struct {
	Box *fyne.Container

	desk      *desk.Desk
	win       fyne.Window
	changed   func()
	beside    *fyne.Container // what is ahead, and what is supposed
	now, next *cueView
	ahead     *canvas.Text
	supposed  *canvas.Text
	scale     float32
}

// NewCues sets them out; changed is called where they come and go.
func NewCues(d *desk.Desk, win fyne.Window, changed func()) *Cues {
	c := &Cues{desk: d, win: win, changed: changed, now: newCueView(words.Say("window.cue.now")), next: newCueView(words.Say("window.cue.next")), ahead: canvas.NewText("", nil), supposed: canvas.NewText("", nil)}
	c.ahead.TextStyle.Bold = true
	c.supposed.Alignment = fyne.TextAlignTrailing
	c.beside = container.New(aheadRow{c}, c.ahead, c.supposed)
	c.Box = container.NewVBox(widget.NewSeparator(), container.New(cueRow{c}, c.now.box, c.next.box), container.NewPadded(c.beside))
	c.Box.Hide()
	return c
}

// fit makes all as large as the window bears: a large screen is read from farther.
func (c *Cues) fit() {
	size := c.win.Canvas().Size()
	scale := max(1, min(1.6, size.Width/1280, size.Height/800))
	if scale == c.scale {
		return
	}
	c.scale = scale
	c.now.fit(scale)
	c.next.fit(nextShare * scale)
	c.Box.Refresh()
}

// Refresh shows the cues of now.
func (c *Cues) Refresh() {
	x, on := c.desk.Cueing()
	if on {
		c.fit()
	}
	if on != c.Box.Visible() {
		fit.Hide(c.Box, !on)
		c.changed() // the page makes room
	}
	if !on {
		return
	}
	k := ink.Look{Dark: c.desk.Settings.Dark}.Colours()
	c.now.show(x.Now, words.Say("window.cue.rest"), k)
	c.next.show(x.Next, words.Say("window.cue.end"), k)
	if x.Now == nil && x.Counting {
		c.now.show(nil, words.Say("window.cue.ready"), k)
	}
	ahead := ""
	if x.Ahead != nil {
		ahead = shiftTo("window.cue.then", x.Ahead)
	}
	changed := prose.Rewrite(c.ahead, ahead, k.Ink)
	supposed := ""
	if x.Supposed {
		supposed = words.Say("window.cue.supposed")
	}
	if prose.Rewrite(c.supposed, supposed, k.Soft) || changed {
		c.beside.Refresh()
	}
}

// shiftTo says where the hand goes for a cue, or perhaps goes.
func shiftTo(key string, c *timetable.Cue) string {
	if c.Perhaps {
		key += ".perhaps"
	}
	return words.Say(key, "place", c.Shift)
}

// cueView is one cue: its bow, its finger, and in words the string and the place.
type cueView struct {
	box                       *fyne.Container
	size                      float32 // 1 for a cue of now in a small window
	label, finger, str, place *canvas.Text
	bow                       *canvas.Image
	sign                      rune
	colour                    color.NRGBA
}

func newCueView(label string) *cueView {
	text := func(bold bool) *canvas.Text {
		t := canvas.NewText("", nil)
		t.TextStyle.Bold = bold
		return t
	}
	v := &cueView{label: text(false), finger: text(true), str: text(true), place: text(false)}
	v.label.Text, v.label.TextSize = label, 17
	v.bow = canvas.NewImageFromImage(image.NewRGBA(image.Rect(0, 0, 1, 1)))
	v.bow.FillMode = canvas.ImageFillContain
	v.box = container.New(cueLayout{v}, v.label, v.bow, v.finger, v.str, v.place)
	v.fit(1)
	return v
}

func (v *cueView) fit(size float32) {
	v.size = size
	v.finger.TextSize = 118 * size
}

// show shows a cue, or otherwise where there is none.
func (v *cueView) show(c *timetable.Cue, otherwise string, k ink.Colours) {
	prose.Write(v.label, v.label.Text, k.Soft)
	if c == nil {
		v.draw(0, k.Ink)
		prose.Write(v.finger, "", k.Ink)
		prose.Write(v.str, otherwise, k.Soft)
		prose.Write(v.place, "", k.Ink)
		v.box.Layout.Layout(v.box.Objects, v.box.Size())
		return
	}
	ink := k.Ink
	if c.Supposed || c.Held {
		ink = k.Soft // the bow that goes on is no new one
	}
	v.draw(map[piece.Bow]rune{piece.Down: pen.DownBow, piece.Up: pen.UpBow}[c.Bow], ink)
	finger := c.Finger
	if c.Harmonic {
		finger += "°"
	}
	prose.Write(v.finger, finger, k.Ink)
	str := ""
	switch {
	case c.Pizz && c.String == "":
		str = words.Say("window.cue.pizz")
	case c.Pizz:
		str = words.Say("window.cue.string.pizz", "string", words.OpenString(c.String))
	case c.String != "":
		str = words.Say("window.cue.string", "string", words.OpenString(c.String))
	}
	prose.Write(v.str, str, k.Ink)
	place := c.Position
	switch {
	case c.Open:
		place = words.Say("window.cue.open")
	case c.Harmonic:
		place = words.Say("window.cue.harmonic")
	case c.Shift != "":
		place = shiftTo("window.cue.shift", c)
	}
	prose.Write(v.place, place, k.Ink)
	if heavy := c.Shift != ""; v.place.TextStyle.Bold != heavy {
		v.place.TextStyle.Bold = heavy
		v.place.Refresh()
	}
	v.box.Layout.Layout(v.box.Objects, v.box.Size())
}

func (v *cueView) draw(sign rune, c color.NRGBA) {
	if v.sign == sign && v.colour == c {
		return
	}
	v.sign, v.colour = sign, c
	v.bow.Image = image.NewRGBA(image.Rect(0, 0, 1, 1))
	if sign != 0 {
		if img := pen.Sign(sign, 120, c); img != nil {
			v.bow.Image = img
		}
	}
	v.bow.Refresh()
}

// cueEdge is what stays free between a cue and what stands at its right.
const cueEdge = 12

// cueLayout sets bow, finger and words side by side, each at its own place
// whatever the others are, so that nothing jumps from note to note.
type cueLayout struct{ v *cueView }

func (cueLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 100) }

func (l cueLayout) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	v := l.v
	s := v.size
	put := func(o fyne.CanvasObject, x, y, w, h float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(w, h))
	}
	middle := size.Height / 2
	put(v.label, 12, 0, v.label.MinSize().Width, 24)
	sign := 96 * s
	x := float32(64)
	put(v.bow, x, middle-sign/2, sign*0.8, sign)
	x += sign*0.8 + 28*s
	put(v.finger, x, middle-v.finger.TextSize*0.68, 90*s, v.finger.TextSize*1.36)
	x += 108 * s
	room := size.Width - x - cueEdge
	prose.Fitted(v.str, 48*s, room)
	prose.Fitted(v.place, 36*s, room)
	high := 48 * s * 1.3
	low := 36 * s * 1.3
	if v.place.Text == "" {
		low = 0
	}
	put(v.str, x, middle-(high+low)/2, room, high)
	put(v.place, x, middle-(high+low)/2+high, room, low)
}

// aheadRow sets what comes later at the left, and what is supposed at the right, each
// as large as there is room for it; in a narrow window one under the other.
type aheadRow struct{ c *Cues }

// MinSize implements fyne.Layout.
func (r aheadRow) MinSize([]fyne.CanvasObject) fyne.Size {
	high := 24 * 1.4 * max(1, r.c.scale)
	if r.c.narrow() {
		high *= 2
	}
	return fyne.NewSize(300, high)
}

// Layout implements fyne.Layout.
func (r aheadRow) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	middle := size.Height / 2
	put := func(t *canvas.Text, most, x, room float32) float32 {
		m := prose.Fitted(t, most, room)
		t.Move(fyne.NewPos(x, middle-m.Height/2))
		t.Resize(fyne.NewSize(room, m.Height))
		t.Refresh()
		return m.Width
	}
	left := float32(0)
	switch {
	case r.c.narrow():
		middle = size.Height / 4
		put(r.c.ahead, 24, 0, size.Width)
		middle *= 3
	case r.c.ahead.Text != "":
		left = put(r.c.ahead, 24*max(1, r.c.scale), 0, size.Width*0.6) + 2*cueEdge
	}
	put(r.c.supposed, 17, left, size.Width-left)
}

// cueRow gives the cue of now a little more than half: of a narrow window's height.
type cueRow struct{ c *Cues }

const (
	cueHeight = 128  // in a small window
	nextShare = 0.62 // of its letters, for what comes next
	lowCue    = 100
	sideways  = 900 // of a width: of less, now's share cuts "G string" beside its bow and finger
)

func (c *Cues) narrow() bool { return c.win.Canvas().Size().Width < sideways }

func (r cueRow) MinSize([]fyne.CanvasObject) fyne.Size {
	high := cueHeight * max(1, r.c.scale)
	if r.c.narrow() {
		high += lowCue
	}
	return fyne.NewSize(600, high)
}

func (r cueRow) Layout(all []fyne.CanvasObject, size fyne.Size) {
	if r.c.narrow() {
		const next = lowCue
		all[0].Move(fyne.NewPos(0, 0))
		all[0].Resize(fyne.NewSize(size.Width, size.Height-next))
		all[1].Move(fyne.NewPos(0, size.Height-next))
		all[1].Resize(fyne.NewSize(size.Width, next))
		return
	}
	now := size.Width * 0.54
	all[0].Move(fyne.NewPos(0, 0))
	all[0].Resize(fyne.NewSize(now, size.Height))
	all[1].Move(fyne.NewPos(now, 0))
	all[1].Resize(fyne.NewSize(size.Width-now, size.Height))
}
