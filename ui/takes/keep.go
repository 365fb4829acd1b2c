package takes

import (
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/prose"
)

// keepReport asks where the page to print goes.
func (s *Side) keepReport() {
	s.keep(words.Say("window.takes.report"), ".html", s.desk.WriteReport)
}

// keepSound asks where a copy of the take goes.
func (s *Side) keepSound() { s.keep(words.Say("window.takes.sound"), ".wav", s.desk.WriteSound) }

// keep asks for a name and a folder. Nothing is written, and nothing that stands
// there lost, before that is known and agreed to.
func (s *Side) keep(title, ext string, write func(path string)) {
	if s.to == "" {
		s.to = documents()
	}
	var c *dialog.ConfirmDialog
	var keep func()
	entry := prose.NewEntry(func(string) bool { c.Hide(); keep(); return false })
	entry.SetText(s.desk.ExportName(ext))
	folder := widget.NewLabel(s.to)
	folder.Truncation = fyne.TextTruncateEllipsis
	other := widget.NewButton(words.Say("window.takes.keep.other"), func() {
		c := dialog.NewFolderOpen(func(u fyne.ListableURI, err error) {
			if err == nil && u != nil {
				s.to = u.Path()
				folder.SetText(s.to)
			}
		}, s.win)
		c.SetTitleText(words.Say("window.takes.keep.other.title"))
		if place, err := storage.ListerForURI(storage.NewFileURI(s.to)); err == nil {
			c.SetLocation(place)
		}
		c.Resize(fyne.NewSize(960, 640))
		c.Show()
	})
	form := widget.NewForm(widget.NewFormItem(words.Say("window.takes.keep.name"), entry), widget.NewFormItem(words.Say("window.takes.keep.folder"), container.NewBorder(nil, nil, nil, other, folder)))
	keep = func() {
		name := strings.TrimSpace(entry.Text)
		if name == "" || name != filepath.Base(name) {
			s.desk.Say(words.Say("window.takes.keep.no-name", "typed", words.Quoted(entry.Text)))
			return
		}
		if !strings.EqualFold(filepath.Ext(name), ext) {
			name += ext
		}
		path := filepath.Join(s.to, name)
		if _, err := os.Lstat(path); err != nil {
			write(path)
			return
		}
		over := dialog.NewConfirm(words.Say("window.takes.over"), words.Say("window.takes.over.ask", "name", name), func(yes bool) {
			if yes {
				write(path)
			}
		}, s.win)
		over.SetConfirmText(words.Say("window.takes.over.yes"))
		over.SetDismissText(words.Say("window.takes.leave"))
		over.Show()
	}
	c = dialog.NewCustomConfirm(title, words.Say("window.takes.keep"), words.Say("window.takes.leave"), form, func(yes bool) {
		if yes {
			keep()
		}
		s.win.Canvas().Unfocus()
	}, s.win)
	c.Resize(fyne.NewSize(760, 260))
	c.Show()
	s.win.Canvas().Focus(entry)
}

// documents is where people keep what they want to find again.
func documents() string {
	home, err := os.UserHomeDir()
	if err != nil {
		return "."
	}
	if d := filepath.Join(home, "Documents"); isFolder(d) {
		return d
	}
	return home
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}
