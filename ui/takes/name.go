package takes

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/shelf"
	"endpin/ui/prose"
)

// about tells who played a take, how and when, its measures, tempo and what was found.
func about(t *shelf.Take) []string {
	measures := words.Of("window.takes.about.measures", "range", strings.ReplaceAll(t.Measures, "-", "–"))
	switch {
	case t.Measures == "":
		measures = words.Of("window.takes.about.all")
	case !strings.Contains(t.Measures, "-"):
		measures = words.Of("window.takes.about.measure", "n", t.Measures)
	}
	all := append(t.How(), measures.String())
	if qpm := t.Tempo(); qpm > 0 {
		all = append(all, words.Say("window.takes.about.tempo", "qpm", words.Whole(qpm)))
	}
	if t.Found != "" {
		all = append(all, t.Found)
	}
	return all
}

// rename asks how a take is to be called.
func rename(d *desk.Desk, win fyne.Window, t *shelf.Take) {
	var c *dialog.ConfirmDialog
	entry := prose.NewEntry(func(name string) bool { c.Hide(); d.Rename(t, name); return true })
	entry.SetText(t.Called())
	c = dialog.NewCustomConfirm(words.Say("window.takes.rename.title"), words.Say("window.takes.keep"), words.Say("window.takes.leave"),
		widget.NewForm(widget.NewFormItem(words.Say("window.takes.keep.name"), entry)), func(yes bool) {
			if yes {
				d.Rename(t, entry.Text)
			}
			win.Canvas().Unfocus()
		}, win)
	c.Resize(fyne.NewSize(620, 200))
	c.Show()
	win.Canvas().Focus(entry)
}
