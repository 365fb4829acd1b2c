package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk/remembered"
	"endpin/ui/prose"
)

// caution is shown once, on the first day, and goes on to the help where somebody wants that.
// However it is left, it was read.
func (w *Window) caution() {
	text := prose.Large(words.Say("window.caution"))
	text.Wrapping = 0
	c := dialog.NewCustomWithoutButtons(words.Say("window.caution.title"), text, w.win)
	read := prose.NewButton(words.Say("window.caution.read"), c.Hide)
	read.Importance = widget.HighImportance
	c.SetButtons([]fyne.CanvasObject{prose.NewButton(w.help.Name(), func() { c.Hide(); w.tabs.help() }), read})
	c.SetOnClosed(w.cautionRead)
	w.left = w.cautionRead
	c.Show()
}

func (w *Window) cautionRead() {
	w.left = nil
	w.desk.Change(func(s *remembered.Settings) { s.CautionSeen = true })
}
