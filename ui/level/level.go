// Package level shows how loud the microphone is: on the bar under the page, and in
// the settings.
package level

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"endpin/ui/desk/room"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Bar shows how loud the microphone is: a bar that fills, a stroke where the
// loudest of the last moments was, and two words.
type Bar struct {
	Box    *fyne.Container
	bar    *fyne.Container
	word   *canvas.Text
	frame  *canvas.Rectangle
	fill   *canvas.Rectangle
	stroke *canvas.Rectangle
	now    room.Loudness
}

const (
	levelWidth  = 130
	levelHeight = 14
	levelWord   = 84 // at least
)

// New shows nothing until it is told a loudness.
func New() *Bar {
	l := &Bar{word: canvas.NewText("", color.Black), frame: canvas.NewRectangle(color.Transparent),
		fill: canvas.NewRectangle(color.Black), stroke: canvas.NewRectangle(color.Black)}
	l.word.TextSize = ink.Foot
	wide := float32(levelWord)
	for _, word := range room.LoudnessWords() {
		wide = max(wide, fyne.MeasureText(word, ink.Foot, fyne.TextStyle{Bold: true}).Width+4)
	}
	l.frame.StrokeWidth, l.frame.CornerRadius, l.fill.CornerRadius = 1, 3, 2
	l.bar = container.New(l, l.frame, l.fill, l.stroke)
	l.Box = container.NewHBox(fit.Across(container.NewCenter(l.bar), levelWidth), fit.Gap(4), fit.Across(fit.Amid(l.word), wide))
	l.bar.Hide()
	l.word.Hide()
	return l
}

// MinSize implements fyne.Layout.
func (l *Bar) MinSize([]fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(levelWidth, levelHeight)
}

// Layout implements fyne.Layout.
func (l *Bar) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	if size.Width < 8 || size.Height < 8 {
		return // not laid out yet
	}
	inner := size.Width - 6
	l.frame.Move(fyne.NewPos(0, 0))
	l.frame.Resize(size)
	l.fill.Move(fyne.NewPos(3, 3))
	l.fill.Resize(fyne.NewSize(inner*float32(room.Share(l.now.Level)), size.Height-6))
	l.stroke.Move(fyne.NewPos(3+(inner-2)*float32(room.Share(l.now.Peak)), 3))
	l.stroke.Resize(fyne.NewSize(2, size.Height-6))
}

// Show shows a loudness; nothing where no microphone is open.
func (l *Bar) Show(now room.Loudness, look ink.Look) {
	fit.Hide(l.bar, !now.On) // their room stays, so that nothing moves
	fit.Hide(l.word, !now.On)
	if !now.On || now == l.now && l.fill.FillColor == look.Colours().Ink {
		return
	}
	l.now = now
	c := look.Colours()
	l.frame.StrokeColor, l.fill.FillColor, l.stroke.FillColor = c.Soft, c.Ink, c.Cursor
	l.Layout(nil, l.bar.Size())
	l.bar.Refresh()
	l.word.TextStyle.Bold = now.Say != ""
	if prose.Rewrite(l.word, now.Word, c.Ink) {
		l.word.Refresh()
	}
}
