// Package far draws what is read from two metres while somebody plays: the count, how the
// note that sounds lies, and what both hands do who bows silently. Read Sign first.
package far

import (
	"fmt"
	"image"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/level"
	"endpin/ui/prose"
)

// Sign stands in the place of what cannot be changed while somebody plays: the count,
// then how the note that sounds lies.
type Sign struct {
	Box *fyne.Container

	desk  *desk.Desk
	win   fyne.Window
	shape *canvas.Image
	sign  *canvas.Text
	level *level.Bar
	shown string // and in which colours
}

// letters is the size of what is read from two metres: capitals are 12 mm high on a
// laptop's fourteen inches of 1920 by 1080.
const (
	letters = 104
	share   = 0.78 // of the height there is, which letters take with what hangs under them
)

// lettersIn is that in the units of a window, which has more pixels in each where its
// screen is enlarged.
func lettersIn(win fyne.Window) float32 { return letters / max(1, win.Canvas().Scale()) }

// NewSign sets it out.
func NewSign(d *desk.Desk, win fyne.Window) *Sign {
	f := &Sign{desk: d, win: win, shape: canvas.NewImageFromImage(nil), sign: canvas.NewText("", color.Black), level: level.New()}
	f.shape.FillMode = canvas.ImageFillContain
	f.sign.TextStyle.Bold = true
	f.Box = container.New(f, f.shape, f.sign, f.level.Box)
	f.Box.Hide()
	return f
}

// Refresh shows what is heard now.
func (f *Sign) Refresh() {
	d := f.desk
	fit.Hide(f.Box, !d.Running)
	if !d.Running {
		return
	}
	look := ink.Look{Dark: d.Settings.Dark}
	c := look.Colours()
	f.level.Show(d.Loud, look)
	kind, text := finding.Kind(""), ""
	switch cents := d.Live.Note.Cents; {
	case d.Live.Count > 0:
		text = fmt.Sprint(d.Live.Count)
	case cents > 0:
		kind, text = finding.Sharp, Off(d, cents)
	case cents < 0:
		kind, text = finding.Flat, Off(d, cents)
	}
	if shown := fmt.Sprint(text, d.Settings.Dark); shown != f.shown {
		f.shown = shown
		f.shape.Image = nil
		if kind != "" {
			f.shape.Image = drawn(kind, c)
		}
		fit.Hide(f.shape, kind == "")
		f.shape.Refresh()
		prose.Write(f.sign, text, c.Ink)
		f.Box.Refresh()
	}
}

// drawn is the shape of a kind.
func drawn(kind finding.Kind, c ink.Colours) image.Image {
	k := ink.New(fyne.NewSize(letters, letters), 1)
	k.Shape(ink.Of(kind), letters/2, letters/2, 0.4*letters, false, c.Ink, c.Paper)
	return k.Image()
}

// Off says how a note lies: in words to a beginner, else in cents; "" for near enough.
func Off(d *desk.Desk, cents float64) string {
	switch {
	case cents == 0:
		return ""
	case d.Settings.Level != finding.FirstYear.Name:
		return words.Say("window.far.cents", "cents", words.Shown(cents, 0))
	case cents > 0:
		return words.Say("window.far.sharp")
	}
	return words.Say("window.far.flat")
}

// Letters is the size in which a word beside the sign is read from as far, where a width bears it.
func (f *Sign) Letters(word string, width float32) float32 {
	t := canvas.NewText(word, nil)
	t.TextStyle.Bold = true
	prose.Fitted(t, min(lettersIn(f.win), max(f.Box.Size().Height, f.MinSize(nil).Height)*share), width)
	return t.TextSize
}

// Says is what is read.
func (f *Sign) Says() *canvas.Text { return f.sign }

// MinSize implements fyne.Layout: a low window gives it no room but of what it stands for.
func (f *Sign) MinSize([]fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(0, lettersIn(f.win)/share*min(1, f.win.Canvas().Size().Height/1000))
}

// Layout implements fyne.Layout.
func (f *Sign) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	put := func(o fyne.CanvasObject, x, w, h float32) {
		o.Move(fyne.NewPos(x, (size.Height-h)/2))
		o.Resize(fyne.NewSize(w, h))
	}
	level := f.level.Box.MinSize()
	put(f.level.Box, size.Width-level.Width, level.Width, level.Height)
	x, room := float32(24), size.Width-level.Width-48
	letters := lettersIn(f.win)
	if f.shape.Visible() {
		put(f.shape, x, letters, min(letters, size.Height))
		x, room = x+letters+16, room-letters-16
	}
	most := min(letters, size.Height*share)
	m := prose.Fitted(f.sign, most, room)
	small := f.sign.TextSize < most
	fit.Hide(f.level.Box, small) // what is read from far goes first, and tells that something is heard
	if small {
		m = prose.Fitted(f.sign, most, room+level.Width)
	}
	put(f.sign, x, room, m.Height)
}
