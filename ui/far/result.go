package far

import (
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Result stands under the page between two attempts: what the last one came to, and what
// the pedals would do next, with what that is for.
type Result struct {
	Box *fyne.Container

	desk    *desk.Desk
	win     fyne.Window
	room    func() float32
	changed func()
	says    *prose.Para
	beside  *prose.Para
	deed    *prose.Button
	why     *canvas.Text
	next    *canvas.Text  // what the other pedal goes on to
	more    *prose.Button // brings what is chosen for the next attempt, where that gave its room
	look    ink.Look
}

// NewResult sets it out; room is how high it may be, changed is called where it comes and
// goes, and more brings what was put away for it.
func NewResult(d *desk.Desk, win fyne.Window, room func() float32, changed, more func()) *Result {
	r := &Result{desk: d, win: win, room: room, changed: changed, says: prose.NewPara("", letters, true, nil), beside: prose.NewPara("", ink.Foot, false, nil),
		why: canvas.NewText("", nil), next: canvas.NewText("", nil)}
	r.deed = prose.NewLarge("", letters, func() { d.Do(); win.Canvas().Unfocus() })
	r.more = prose.NewButton(words.Say("window.far.more"), func() { more(); win.Canvas().Unfocus() })
	r.more.Hide()
	r.Box = container.New(r, r.says, r.beside, r.deed, r.why, r.next, r.more)
	return r
}

// Away reports whether something else stands in its place.
func (r *Result) Away() bool {
	d := r.desk
	return d.Running || d.Judging || d.Closer() != nil || d.Listening.Open
}

// Refresh shows the desk as it is now; alone is true where what is chosen for the next
// attempt was put away for it.
func (r *Result) Refresh(alone bool) {
	d := r.desk
	if r.Away() {
		if r.Box.Visible() {
			r.Box.Hide()
			r.changed()
		}
		return
	}
	look := ink.Look{Dark: d.Settings.Dark}
	c := look.Colours()
	says, beside := "", ""
	if x := d.Result; x != nil {
		says, beside = x.Says, x.Beside
	}
	all := d.Between()
	deed, next := all[d.At()], all[(d.At()+1)%len(all)]
	name := words.Say("window.far.deed", "deed", deed.Name)
	changed := look != r.look || alone != r.more.Visible()
	r.look = look
	fit.Hide(r.more, !alone)
	changed = r.says.Say(says, true, c.Ink) || changed
	changed = r.beside.Say(beside, false, c.Soft) || changed
	changed = prose.Rewrite(r.why, deed.Why, c.Ink) || changed
	changed = prose.Rewrite(r.next, words.Say("window.far.next", "deed", next.Name), c.Soft) || changed
	if changed || r.deed.Text != name {
		r.deed.SetText(name)
		r.Box.Refresh()
		r.changed() // as high as it now asks
	}
	if !r.Box.Visible() {
		r.Box.Show()
		r.changed()
	}
}

const (
	saysShare = 0.55 // of the deed's letters: a sentence is longer
	whyShare  = 0.42
	mostLines = 2
	between   = 8
	least     = 0.3  // of the size of what is read from two metres
	leastWhy  = 0.34 // of the width, where it stands beside the deed
	edges     = 20   // above and below a button's letters, and so beside them
	tall      = 1.36 // a line, in sizes of its letters
)

// laid is how all of it lies in a width.
type laid struct {
	size, saysSize         float32
	says, beside, deed, of float32 // heights; of what stands with the deed, where that is under it
	wide                   float32 // the deed
}

func (l laid) high() float32 { return l.says + l.beside + l.deed + l.of }

// lay makes the letters as large as the room bears: a live sign's where there is enough.
func (r *Result) lay(width float32) (l laid) {
	wide := func(text string, bold bool) float32 { // of its size
		const of = 100
		return fyne.MeasureText(text, of, fyne.TextStyle{Bold: bold}).Width / of
	}
	name, says := wide(r.deed.Text, true), wide(r.says.Says(), true)
	if r.beside.Says() != "" {
		l.beside = r.beside.HeightFor(width)
	}
	const step = 0.94
	room := r.room()
	most := lettersIn(r.win)
	for l.size = most; ; l.size *= step {
		last := l.size*step < most*least
		l.wide, l.deed, l.of, l.says = name*l.size+edges, l.size*tall+edges, 0, 0
		if l.wide > width && !last {
			continue
		}
		if l.wide > (1-leastWhy)*width && !last {
			l.of = l.size * whyShare * tall
		}
		if says > 0 {
			l.saysSize = l.size * saysShare
			for l.saysSize > ink.Foot && math.Ceil(float64(says*l.saysSize/width)*1.04) > mostLines {
				l.saysSize *= step
			}
			l.says = float32(math.Ceil(float64(says*l.saysSize/width)*1.04)) * l.saysSize * tall
		}
		if l.high() <= room || last {
			break
		}
	}
	if says > 0 {
		for l.says = r.says.HeightIn(width, l.saysSize); l.saysSize > ink.Foot && l.says > (mostLines+0.5)*l.saysSize*tall; l.says = r.says.HeightIn(width, l.saysSize) {
			l.saysSize *= step
		}
		l.says += between / 2 // what hangs under the last line is not the button's
	}
	r.deed.Grow(l.size)
	l.wide, l.deed = min(width, r.deed.MinSize().Width), r.deed.MinSize().Height
	return l
}

// MinSize implements fyne.Layout: the height is that of the width it was laid out for.
func (r *Result) MinSize([]fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(300, r.lay(max(300, r.Box.Size().Width-2*between)).high())
}

// Layout implements fyne.Layout.
func (r *Result) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	width := size.Width - 2*between
	l := r.lay(width)
	put := func(o fyne.CanvasObject, x, y, w, h float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(w, h))
	}
	put(r.says, between, 0, width, l.says)
	put(r.beside, between, l.says, width, l.beside)
	y := l.says + l.beside
	put(r.deed, between, y, l.wide, l.deed)
	most, more := l.size*whyShare, float32(0)
	if r.more.Visible() {
		m := r.more.MinSize()
		more = m.Width
		put(r.more, between+width-m.Width, size.Height-m.Height, m.Width, m.Height)
	}
	if l.of > 0 { // both in a line under it
		y += l.deed
		half := (width - more - 2*between) / 2
		a, b := prose.Fitted(r.next, most, half), fyne.Size{}
		b = prose.Fitted(r.why, most, width-more-2*between-a.Width)
		put(r.why, between, y+(l.of-b.Height)/2, b.Width, b.Height)
		put(r.next, between+width-more-between-a.Width, y+(l.of-a.Height)/2, a.Width, a.Height)
		return
	}
	x := between + l.wide + 3*between
	room := width - l.wide - 3*between
	a, b := prose.Fitted(r.why, most, room), prose.Fitted(r.next, most, room-more)
	if r.why.Text == "" {
		a.Height = 0
	}
	top := y + max(0, (l.deed-a.Height-b.Height)/2)
	put(r.why, x, top, room, a.Height)
	put(r.next, x, top+a.Height, room-more, b.Height)
}
