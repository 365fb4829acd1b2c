package takes

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/prose"
)

// keepReport asks where the page to print goes.
func (s *Side) keepReport() {
	s.keep("Keep the report", ".html", s.desk.WriteReport)
}

// keepSound asks where a copy of the take goes.
func (s *Side) keepSound() { s.keep("Keep the sound", ".wav", s.desk.WriteSound) }

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
	other := widget.NewButton("Other folder …", func() {
		c := dialog.NewFolderOpen(func(u fyne.ListableURI, err error) {
			if err == nil && u != nil {
				s.to = u.Path()
				folder.SetText(s.to)
			}
		}, s.win)
		if place, err := storage.ListerForURI(storage.NewFileURI(s.to)); err == nil {
			c.SetLocation(place)
		}
		c.Resize(fyne.NewSize(960, 640))
		c.Show()
	})
	form := widget.NewForm(widget.NewFormItem("Name", entry), widget.NewFormItem("Folder", container.NewBorder(nil, nil, nil, other, folder)))
	keep = func() {
		name := strings.TrimSpace(entry.Text)
		if name == "" || name != filepath.Base(name) {
			s.desk.Say(fmt.Sprintf("%q is no name for a file: write one without a folder, and choose the folder.", entry.Text))
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
		over := dialog.NewConfirm("There is already a file of that name", name+"\nWrite over it?", func(yes bool) {
			if yes {
				write(path)
			}
		}, s.win)
		over.SetConfirmText("Write over it")
		over.SetDismissText("Leave it")
		over.Show()
	}
	c = dialog.NewCustomConfirm(title, "Keep", "Leave it", form, func(yes bool) {
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
