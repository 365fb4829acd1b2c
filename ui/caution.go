package ui

import (
	"fyne.io/fyne/v2/dialog"

	"endpin/ui/desk"
	"endpin/ui/prose"
)

// caution is shown once, on the first day. However it is left, it was read.
func (w *Window) caution() {
	text := prose.Large("Rest when it hurts, and mind the volume in headphones.\nWhere the desk and your teacher differ, your teacher’s ear decides.")
	text.Wrapping = 0
	c := dialog.NewCustom("Before you begin", "I have read it", text, w.win)
	c.SetOnClosed(w.cautionRead)
	w.left = w.cautionRead
	c.Show()
}

func (w *Window) cautionRead() {
	w.left = nil
	w.desk.Change(func(s *desk.Settings) { s.CautionSeen = true })
}
