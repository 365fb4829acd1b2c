package ui

import (
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
)

// caution is shown once, on the first day.
func (w *Window) caution() {
	text := widget.NewLabel("Rest when it hurts, and mind the volume in headphones.\nWhere the desk and your teacher differ, your teacher's ear decides.")
	c := dialog.NewCustom("Before you begin", "I have read it", text, w.win)
	c.SetOnClosed(func() { w.desk.Change(func(s *desk.Settings) { s.CautionSeen = true }) })
	c.Show()
}
