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

// atThePen gives the page that is being written the keys that hang on Control everywhere.
func (w *Window) atThePen() {
	for of, do := range map[fyne.Shortcut]func(){
		&fyne.ShortcutUndo{}: w.write.Undo, &fyne.ShortcutRedo{}: w.write.Redo, &fyne.ShortcutSelectAll{}: w.write.All,
		&fyne.ShortcutCopy{}: w.write.Copy, &fyne.ShortcutCut{}: w.write.Cut, &fyne.ShortcutPaste{}: w.write.Paste,
	} {
		w.win.Canvas().AddShortcut(of, func(fyne.Shortcut) {
			if w.write.Box().Visible() && w.win.Canvas().Overlays().Top() == nil {
				do()
			}
		})
	}
}
