package write

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"

	"endpin/piece/manuscript"
	"endpin/piece/words"
	"endpin/ui/prose"
)

// askTranspose asks into which key the whole page goes.
func (s *Screen) askTranspose() {
	is := s.writing.Page.Here().Key
	into := prose.NewDrop(keys(is.Minor), nil)
	into.SetSelectedIndex(is.Fifths + mostFifths)
	var d *dialog.CustomDialog
	do := prose.NewButton(words.Say("window.write.transpose.do"), func() {
		d.Hide()
		s.freed(func() { s.transpose(into.SelectedIndex() - mostFifths - is.Fifths) })
	})
	d = dialog.NewCustomWithoutButtons(words.Say("window.write.transpose"), container.NewVBox(prose.Wrapped(words.Say("window.write.transpose.what")), into), s.win)
	d.SetButtons([]fyne.CanvasObject{prose.NewButton(words.Say("window.pieces.leave"), func() { d.Hide() }), do})
	d.Resize(fyne.NewSize(460, 220))
	d.Show()
}

// transpose takes the page so many steps along the circle of fifths, or says why not.
func (s *Screen) transpose(fifths int) {
	could := true
	s.writing.Do(func(m *manuscript.Manuscript) { could = fifths == 0 || m.Transpose(fifths) })
	if !could {
		s.desk.Say(words.Say("window.write.transpose.not"))
	}
}
