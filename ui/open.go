package ui

import (
	"os"
	"path/filepath"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/storage"

	"endpin/piece/class"
	"endpin/piece/words"
	"endpin/ui/classroom"
)

// recordings lets a dialogue show what is named as a recording is.
type recordings struct{}

// Matches implements storage.FileFilter.
func (recordings) Matches(u fyne.URI) bool { return class.IsMedia(u.Path()) }

// open asks for a recording made elsewhere.
func (w *Window) open() {
	d := dialog.NewFileOpen(func(f fyne.URIReadCloser, err error) {
		switch {
		case err != nil:
			w.desk.Say(words.Say("window.open.cannot", "err", err))
		case f != nil:
			f.Close()
			w.take(f.URI().Path())
		}
	}, w.win)
	d.SetFilter(recordings{})
	d.SetView(dialog.ListView) // names in full
	d.SetTitleText(words.Say("window.open.title"))
	d.SetConfirmText(words.Say("window.open.hear"))
	if folder := w.from; folder != "" {
		if place, err := storage.ListerForURI(storage.NewFileURI(folder)); err == nil {
			d.SetLocation(place)
		}
	}
	d.Resize(fyne.NewSize(960, 640))
	d.Show()
}

// dropped takes what was dropped on the window: a recording, or something for the
// class.
func (w *Window) dropped(_ fyne.Position, uris []fyne.URI) {
	var paths []string
	for _, u := range uris {
		if u.Scheme() == "file" {
			paths = append(paths, u.Path())
		}
	}
	switch {
	case len(paths) == 0:
		w.desk.Say(words.Say("window.drop.no-file"))
	case len(paths) > 1:
		w.desk.Say(words.Many("window.drop.several", len(paths)).String())
	case w.forClass(paths[0]):
		w.tabs.bring(w.class)
		w.class.Drop(paths[0])
	default:
		w.take(paths[0])
	}
}

// forClass: a folder is a class; a roster or a piece is for the class where that
// stands there.
func (w *Window) forClass(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir() || w.class.Box().Visible() && classroom.ForClass(path)
}

// take hears a recording, on the page.
func (w *Window) take(path string) {
	w.from = filepath.Dir(path)
	w.tabs.show(0)
	w.desk.Open(path)
}
