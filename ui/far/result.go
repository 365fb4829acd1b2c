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
		changed = true
	}
	if anew := !r.Box.Visible(); anew || changed {
		r.Box.Show()
		r.changed() // as high as it now asks
	}
}

const (
	saysShare = 0.68 // of the deeds' letters: a sentence is longer
	whyShare  = 0.42
	mostLines = 2
	between   = 8
	apart     = 3 * between // what stands beside each other
	least     = 0.3         // of the size of what is read from two metres
	leastWhy  = 0.34        // of the width, where it stands beside the deed
	edges     = 20          // above and below a button's letters, and so beside them
	tall      = 1.36        // a line, in sizes of its letters
)

// laid is how all of it lies in a width. Both pedals are read from as far, so their deeds
// are as large: side by side, with the reason under them, or one under the other.
type laid struct {
	size, saysSize           float32
	says, beside, deed, wide float32 // wide is the deed; all else are heights
	next, why                float32 // 0 where they stand beside the deed
}

func (l laid) high() float32 { return l.says + l.beside + l.deed + l.next + l.why }

// rows are how the deeds may lie in letters of a size, the lowest first; none where they are too wide.
func (r *Result) rows(size, deed, next, width float32) (all []laid) {
	why, more := size*whyShare*tall, float32(0)
	if r.more.Visible() {
		m := r.more.MinSize()
		why, more = max(why, m.Height), m.Width+between
	}
	if r.why.Text == "" && more == 0 {
		why = 0
	}
	l := laid{size: size, wide: deed, deed: size*tall + edges}
	if deed+apart+next <= width {
		l.why = why
		all = append(all, l)
	}
	if next+more > width || deed > width {
		return all
	}
	if l.why, l.next = 0, size*tall; r.why.Text == "" || deed <= (1-leastWhy)*width {
		return append(all, l)
	}
	l.why = size * whyShare * tall
	return append(all, l)
}

// lay makes the letters as large as the room bears: a live sign's where there is enough.
func (r *Result) lay(width float32) (l laid) {
	wide := func(text string, bold bool) float32 { // of its size
		const of = 100
		return fyne.MeasureText(text, of, fyne.TextStyle{Bold: bold}).Width / of
	}
	name, next, says := wide(r.deed.Text, true), wide(r.next.Text, false), wide(r.says.Says(), true)
	beside := float32(0)
	if r.beside.Says() != "" {
		beside = r.beside.HeightFor(width) + between/2 // what hangs under its line
	}
	const step = 0.94
	room := r.room()
	most := lettersIn(r.win)
sizes:
	for size := most; ; size *= step {
		last := size*step < most*least
		saysSize, saysHigh := size*saysShare, float32(0)
		if says > 0 {
			for saysSize > ink.Foot && math.Ceil(float64(says*saysSize/width)*1.04) > mostLines {
				saysSize *= step
			}
			saysHigh = float32(math.Ceil(float64(says*saysSize/width)*1.04)) * saysSize * tall
		}
		rows := r.rows(size, name*size+edges, next*size, width)
		if last && len(rows) == 0 { // what is too wide even so is made to fit
			rows = []laid{{size: size, deed: size*tall + edges, next: size * tall, why: size * whyShare * tall}}
		}
		for _, l = range rows {
			if l.saysSize, l.says, l.beside = saysSize, saysHigh, beside; l.high() <= room || last {
				break sizes
			}
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
		o.Move(fyne.NewPos(between+x, y))
		o.Resize(fyne.NewSize(w, h))
	}
	line := func(t *canvas.Text, most, x, y, w, h float32) { // in the middle of its height
		m := prose.Fitted(t, most, w)
		put(t, x, y+(h-m.Height)/2, w, m.Height)
	}
	put(r.says, 0, 0, width, l.says)
	put(r.beside, 0, l.says, width, l.beside)
	y := l.says + l.beside
	put(r.deed, 0, y, l.wide, l.deed)
	right, more := l.wide+apart, float32(0)
	if r.more.Visible() {
		m := r.more.MinSize()
		more = m.Width + between
		put(r.more, width-m.Width, y+l.deed+l.why+l.next-m.Height, m.Width, m.Height)
	}
	if l.next == 0 {
		line(r.next, l.size, right, y, width-right, l.deed)
		line(r.why, l.size*whyShare, 0, y+l.deed, width-more, l.why)
		return
	}
	if l.why == 0 {
		line(r.why, l.size*whyShare, right, y, width-right, l.deed)
	} else {
		line(r.why, l.size*whyShare, 0, y+l.deed, width, l.why)
	}
	line(r.next, l.size, 0, y+l.deed+l.why, width-more, l.next)
}
