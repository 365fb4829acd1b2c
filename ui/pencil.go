package ui

import (
	"fyne.io/fyne/v2/dialog"

	"endpin/piece/words"
)

// takePencil takes the teacher's pencil up, at the measures chosen, or puts it away.
func (w *Window) takePencil() {
	if w.tabs.at != 0 || w.bare {
		return
	}
	w.desk.LookAway()
	w.desk.Listening.Close()
	w.desk.Pencil.TakeUp(w.desk.Work.First)
}

// step is what is done to the page being written where that is seen, and to the one that is
// marked where that is.
func (w *Window) step(written, marked func()) func() {
	return func() {
		switch {
		case w.write.Box().Visible():
			written()
		case w.tabs.at == 0:
			marked()
		}
	}
}

// close closes the window, unless marks would be lost and that is not meant.
func (w *Window) close() {
	titles := w.desk.Pencil.Unkept()
	if len(titles) == 0 {
		w.win.Close()
		return
	}
	if w.win.Canvas().Overlays().Top() != nil {
		return
	}
	c := dialog.NewConfirm(words.Say("window.pencil.lost.title"), words.Say("window.pencil.lost", "pieces", words.Row(titles...)), func(yes bool) {
		if w.win.Canvas().Unfocus(); yes {
			w.win.Close()
		}
	}, w.win)
	c.SetConfirmText(words.Say("window.pencil.lost.yes"))
	c.SetDismissText(words.Say("window.pencil.lost.no"))
	c.Show()
}
