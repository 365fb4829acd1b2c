package marking

import (
	"path/filepath"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/prose"
	"endpin/ui/takes"
)

// Keep asks whether the marks go into a copy or into the piece's own file; into what is no
// MusicXML they cannot go, and a copy is asked for at once.
func (s *Strip) Keep() {
	p := s.desk.Pencil
	if !p.UnkeptHere() || s.win.Canvas().Overlays().Top() != nil {
		return
	}
	if !p.Goes() {
		s.copy()
		return
	}
	var d dialog.Dialog
	name := filepath.Base(s.desk.Score.File)
	choose := func(label string, do func()) *prose.Button {
		return prose.NewButton(label, func() { d.Hide(); s.win.Canvas().Unfocus(); do() })
	}
	copied := choose(words.Say("window.pencil.keep.copy"), s.copy)
	copied.Importance = widget.HighImportance
	buttons := container.NewVBox(copied, choose(words.Say("window.pencil.keep.file", "file", name), p.KeepInFile))
	d = dialog.NewCustom(words.Say("window.pencil.keep.title"), words.Say("window.pieces.leave"),
		container.NewVBox(prose.Wrapped(words.Say("window.pencil.keep.what", "file", name)), buttons), s.win)
	d.SetOnClosed(s.win.Canvas().Unfocus)
	d.Resize(fyne.NewSize(560, 240))
	d.Show()
}

// copy asks where a copy goes, beside the piece unless another folder is chosen.
func (s *Strip) copy() {
	name, folder := s.desk.Pencil.Copy()
	s.keeper.Ask(takes.Kept{Title: words.Say("window.pencil.keep.title"), Name: name, In: folder, End: ".musicxml", Write: s.desk.Pencil.Keep})
}
