package ui

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

	"endpin/piece/class"
)

// files remembers the folders that were last used, as long as the window stands.
type files struct {
	from string // recordings
	to   string // what is kept
}

// recordings lets a dialogue show what is named as a recording is.
type recordings struct{}

// Matches implements storage.FileFilter.
func (recordings) Matches(u fyne.URI) bool { return class.IsMedia(u.Path()) }

// open asks for a recording made elsewhere.
func (w *Window) open() {
	d := dialog.NewFileOpen(func(f fyne.URIReadCloser, err error) {
		switch {
		case err != nil:
			w.desk.Say(fmt.Sprintf("The recording cannot be opened: %v.", err))
		case f != nil:
			f.Close()
			w.take(f.URI().Path())
		}
	}, w.win)
	d.SetFilter(recordings{})
	d.SetView(dialog.ListView) // names in full
	d.SetTitleText("Open a recording")
	d.SetConfirmText("Hear it")
	if folder := w.files.from; folder != "" {
		if place, err := storage.ListerForURI(storage.NewFileURI(folder)); err == nil {
			d.SetLocation(place)
		}
	}
	d.Resize(fyne.NewSize(960, 640))
	d.Show()
}

// dropped opens a recording that was dropped on the window.
func (w *Window) dropped(_ fyne.Position, uris []fyne.URI) {
	var paths []string
	for _, u := range uris {
		if u.Scheme() == "file" {
			paths = append(paths, u.Path())
		}
	}
	switch {
	case len(paths) == 0:
		w.desk.Say("What was dropped is not a file: drop a recording that lies on this computer.")
	case len(paths) > 1:
		w.desk.Say(fmt.Sprintf("%d files were dropped: drop one recording at a time.", len(paths)))
	default:
		w.take(paths[0])
	}
}

// take hears a recording, on the page.
func (w *Window) take(path string) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		w.desk.Say(path + ": is a folder: choose one recording in it.")
		return
	}
	w.files.from = filepath.Dir(path)
	w.tabs.show(0)
	w.desk.Open(path)
}

// saveReport asks where the page to print goes.
func (w *Window) saveReport() {
	w.save("Keep the report", ".html", w.desk.WriteReport)
}

// saveSound asks where a copy of the take goes.
func (w *Window) saveSound() { w.save("Keep the sound", ".wav", w.desk.WriteSound) }

// save asks for a name and a folder. Nothing is written, and nothing that stands
// there lost, before that is known and agreed to.
func (w *Window) save(title, ext string, write func(path string)) {
	if w.files.to == "" {
		w.files.to = documents()
	}
	entry := widget.NewEntry()
	entry.SetText(w.desk.ExportName(ext))
	folder := widget.NewLabel(w.files.to)
	folder.Truncation = fyne.TextTruncateEllipsis
	other := widget.NewButton("Other folder …", func() {
		c := dialog.NewFolderOpen(func(u fyne.ListableURI, err error) {
			if err == nil && u != nil {
				w.files.to = u.Path()
				folder.SetText(w.files.to)
			}
		}, w.win)
		if place, err := storage.ListerForURI(storage.NewFileURI(w.files.to)); err == nil {
			c.SetLocation(place)
		}
		c.Resize(fyne.NewSize(960, 640))
		c.Show()
	})
	form := widget.NewForm(widget.NewFormItem("Name", entry), widget.NewFormItem("Folder", container.NewBorder(nil, nil, nil, other, folder)))
	var c *dialog.ConfirmDialog
	keep := func() {
		name := strings.TrimSpace(entry.Text)
		if name == "" || name != filepath.Base(name) {
			w.desk.Say(fmt.Sprintf("%q is no name for a file: write one without a folder, and choose the folder.", entry.Text))
			return
		}
		if !strings.EqualFold(filepath.Ext(name), ext) {
			name += ext
		}
		path := filepath.Join(w.files.to, name)
		if _, err := os.Lstat(path); err != nil {
			write(path)
			return
		}
		over := dialog.NewConfirm("There is already a file of that name", name+"\nWrite over it?", func(yes bool) {
			if yes {
				write(path)
			}
		}, w.win)
		over.SetConfirmText("Write over it")
		over.SetDismissText("Leave it")
		over.Show()
	}
	c = dialog.NewCustomConfirm(title, "Keep", "Leave it", form, func(yes bool) {
		if yes {
			keep()
		}
		w.win.Canvas().Unfocus()
	}, w.win)
	entry.OnSubmitted = func(string) { c.Hide(); keep() }
	c.Resize(fyne.NewSize(760, 260))
	c.Show()
	w.win.Canvas().Focus(entry)
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
