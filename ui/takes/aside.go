package takes

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/shelf"
	"endpin/ui/prose"
)

// SetAside is how many findings of the take shown were put aside.
func SetAside(d *desk.Desk) int {
	if d.Shown == nil {
		return 0
	}
	return len(d.Shown.Take.Dismissed)
}

// putAside asks why a finding is put aside; the reason is kept with the take.
func putAside(d *desk.Desk, win fyne.Window, i int) {
	var c *dialog.CustomDialog
	done := func(reason string) {
		c.Hide()
		d.Dismiss(i, reason)
		win.Canvas().Unfocus()
	}
	box := container.NewVBox(prose.Wrapped(d.Shown.Hearing.Findings[i].Text))
	for _, reason := range shelf.Reasons() {
		b := prose.NewButton(reason, func() { done(reason) })
		b.Alignment = widget.ButtonAlignLeading
		box.Add(b)
	}
	var own *prose.Entry
	keep := func() {
		if reason := strings.TrimSpace(own.Text); reason != "" {
			done(reason)
		}
	}
	own = prose.NewEntry(func(string) bool { keep(); return false })
	own.SetPlaceHolder(words.Say("window.takes.why.own"))
	box.Add(container.NewBorder(nil, nil, nil, prose.NewButton(words.Say("window.takes.why.keep"), keep), own))
	c = dialog.NewCustom(words.Say("window.takes.why"), words.Say("window.takes.leave"), box, win)
	c.Resize(fyne.NewSize(620, 430))
	c.Show()
}
