package ui

import "fyne.io/fyne/v2"

// writePiece brings the page that is being written.
func (w *Window) writePiece() { w.tabs.bring(w.write) }

// editPiece takes up the piece on the desk there.
func (w *Window) editPiece() {
	if w.bare || w.desk.Running {
		return
	}
	w.tabs.bring(w.write)
	w.write.Edit()
}

// atThePen gives pen and pencil the keys that hang on Control everywhere, of which the
// toolkit tells the menu nothing.
func (w *Window) atThePen() {
	none := func() {}
	for of, do := range map[fyne.Shortcut]func(){
		&fyne.ShortcutUndo{}: w.step(w.write.Undo, w.desk.Pencil.Undo), &fyne.ShortcutRedo{}: w.step(w.write.Redo, w.desk.Pencil.Redo),
		&fyne.ShortcutSelectAll{}: w.step(w.write.All, none), &fyne.ShortcutCopy{}: w.step(w.write.Copy, none),
		&fyne.ShortcutCut{}: w.step(w.write.Cut, none), &fyne.ShortcutPaste{}: w.step(w.write.Paste, none),
	} {
		w.win.Canvas().AddShortcut(of, func(fyne.Shortcut) {
			if w.win.Canvas().Overlays().Top() == nil {
				do()
			}
		})
	}
}
