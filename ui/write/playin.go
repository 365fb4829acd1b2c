package write

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/class"
	"endpin/piece/words"
	"endpin/ui/prose"
)

// askPlayIn asks whether somebody plays now, or a recording is taken.
func (s *Screen) askPlayIn() {
	if s.writing.Busy() {
		return
	}
	as := prose.NewTick(words.Say("window.write.play-in.as-set"), func(on bool) { s.writing.AsSet = on })
	as.SetChecked(s.writing.AsSet)
	t := s.writing.Page.Here().Time
	click := prose.NewTick(words.Say("window.write.play-in.click", "metre", metre(t), "tempo", words.Whole(s.writing.Paced())), func(on bool) { s.writing.Click = on })
	click.SetChecked(s.writing.Click)
	says := prose.Wrapped(words.Say("window.write.play-in.what"))
	var d *dialog.CustomDialog
	now := prose.NewButton(words.Say("window.write.play-in.now"), func() { d.Hide(); s.freed(s.writing.PlayIn) })
	now.Importance = widget.HighImportance
	take := prose.NewButton(words.Say("window.write.play-in.take"), func() {
		d.Hide()
		s.choose("window.open.title", "window.write.play-in.yes", class.IsMedia, s.writing.Take)
	})
	d = dialog.NewCustomWithoutButtons(words.Say("window.write.play-in"), container.NewVBox(says, click, as), s.win)
	d.SetButtons([]fyne.CanvasObject{prose.NewButton(words.Say("window.pieces.leave"), func() { d.Hide() }), take, now})
	d.Resize(fyne.NewSize(600, 300))
	d.Show()
}
