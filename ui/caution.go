package ui

import (
	"fyne.io/fyne/v2/dialog"

	"endpin/piece/words"
	"endpin/ui/desk/remembered"
	"endpin/ui/prose"
)

// caution is shown once, on the first day. However it is left, it was read.
func (w *Window) caution() {
	text := prose.Large(words.Say("window.caution"))
	text.Wrapping = 0
	c := dialog.NewCustom(words.Say("window.caution.title"), words.Say("window.caution.read"), text, w.win)
	c.SetOnClosed(w.cautionRead)
	w.left = w.cautionRead
	c.Show()
}

func (w *Window) cautionRead() {
	w.left = nil
	w.desk.Change(func(s *remembered.Settings) { s.CautionSeen = true })
}
