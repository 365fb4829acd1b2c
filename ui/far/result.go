package far

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Result stands under the page between two attempts: what the last one came to, and what
// the pedal would do next, with what that is for.
type Result struct {
	Box *fyne.Container

	desk    *desk.Desk
	win     fyne.Window
	changed func()
	says    *prose.Para
	beside  *prose.Para
	deed    *prose.Button
	why     *canvas.Text
	size    float32 // of what says most
	look    ink.Look
}

// NewResult sets it out; changed is called where it comes and goes.
func NewResult(d *desk.Desk, win fyne.Window, changed func()) *Result {
	r := &Result{desk: d, win: win, changed: changed, says: prose.NewPara("", letters, true, nil), beside: prose.NewPara("", ink.Foot, false, nil), why: canvas.NewText("", nil)}
	r.deed = prose.NewLarge("", letters, func() { d.Do(); win.Canvas().Unfocus() })
	r.Box = container.New(r, r.says, r.beside, r.deed, r.why)
	return r
}

// Refresh shows the desk as it is now.
func (r *Result) Refresh() {
	d := r.desk
	away := d.Running || d.Judging || d.Closer() != nil || d.Listening.Open
	if away {
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
	deed := d.Between()[d.At()]
	name := words.Say("window.far.deed", "deed", deed.Name)
	changed := look != r.look
	r.look = look
	changed = r.says.Say(says, true, c.Ink) || changed
	changed = r.beside.Say(beside, false, c.Soft) || changed
	changed = prose.Rewrite(r.why, deed.Why, c.Ink) || changed
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

// fit makes the letters as large as the window bears: in a high one as a live sign's.
func (r *Result) fit() {
	const low, high = 400, 1000
	if size := letters * max(0.3, min(1, (r.win.Canvas().Size().Height-low)/(high-low))); size != r.size {
		r.size = size
		r.deed.Grow(size)
	}
}

const (
	saysShare = 0.55 // of the deed's letters: a sentence is longer
	mostLines = 2
	between   = 8
)

// lay breaks the sentence for a width, as large as it fits in two lines, and gives the heights.
func (r *Result) lay(width float32) (says, beside, deed float32) {
	r.fit()
	if r.says.Says() != "" {
		size := r.size * saysShare
		for size > ink.Foot && len(prose.Lines(r.says.Says(), size, true, width)) > mostLines {
			size *= 0.94
		}
		says = r.says.HeightIn(width, size)
	}
	if r.beside.Says() != "" {
		beside = r.beside.HeightFor(width)
	}
	return says, beside, r.deed.MinSize().Height
}

// MinSize implements fyne.Layout: the height is that of the width it was laid out for.
func (r *Result) MinSize([]fyne.CanvasObject) fyne.Size {
	says, beside, deed := r.lay(max(300, r.Box.Size().Width-2*between))
	return fyne.NewSize(300, says+beside+deed)
}

// Layout implements fyne.Layout.
func (r *Result) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	width := size.Width - 2*between
	says, beside, deed := r.lay(width)
	put := func(o fyne.CanvasObject, x, y, w, h float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(w, h))
	}
	put(r.says, between, 0, width, says)
	put(r.beside, between, says, width, beside)
	y := says + beside
	w := min(r.deed.MinSize().Width, width)
	put(r.deed, between, y, w, deed)
	if room := width - w - 3*between; room > 0 {
		m := prose.Fitted(r.why, r.size*saysShare, room)
		put(r.why, w+4*between, y+(deed-m.Height)/2, room, m.Height)
	}
}
