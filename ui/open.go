package ui

import (
	"os"
	"path/filepath"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/storage"

	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/words"
	"endpin/ui/classroom"
	"endpin/ui/write"
)

// named lets a dialogue show files by their names.
type named func(path string) bool

// Matches implements storage.FileFilter.
func (n named) Matches(u fyne.URI) bool { return n(u.Path()) }

// open asks for a recording made elsewhere.
func (w *Window) open() { w.choose("window.open.title", "window.open.hear", class.IsMedia, w.take) }

// openPiece asks for a piece.
func (w *Window) openPiece() {
	w.choose("window.open.piece", "window.open.piece.yes", piece.IsNamed, w.takePiece)
}

// choose asks for a file.
func (w *Window) choose(title, yes string, is func(path string) bool, take func(path string)) {
	d := dialog.NewFileOpen(func(f fyne.URIReadCloser, err error) {
		switch {
		case err != nil:
			w.desk.Fault(words.Say("window.open.cannot", "err", err))
		case f != nil:
			f.Close()
			take(f.URI().Path())
		}
	}, w.win)
	d.SetFilter(named(is))
	d.SetView(dialog.ListView) // names in full
	d.SetTitleText(words.Say(title))
	d.SetConfirmText(words.Say(yes))
	if folder := w.from; folder != "" {
		if place, err := storage.ListerForURI(storage.NewFileURI(folder)); err == nil {
			d.SetLocation(place)
		}
	}
	d.Resize(fyne.NewSize(960, 640))
	d.Show()
}

// dropped takes what was dropped on the window: a piece or a recording, or something for
// the class; on the shelf pieces, as many as there are.
func (w *Window) dropped(_ fyne.Position, uris []fyne.URI) {
	var paths []string
	for _, u := range uris {
		if u.Scheme() == "file" {
			paths = append(paths, u.Path())
		}
	}
	atShelf := w.pieces.Box().Visible()
	switch {
	case w.write.Box().Visible() && len(paths) == 1 && write.IsPicture(paths[0]):
		w.desk.Writing.SetPicture(paths[0])
	case w.write.Box().Visible() && len(paths) == 1 && class.IsMedia(paths[0]):
		w.desk.Writing.Take(paths[0])
	case len(paths) == 0:
		w.desk.Fault(words.Say("window.drop.no-file"))
	case atShelf && (len(paths) > 1 && !slices.ContainsFunc(paths, class.IsMedia) || isFolder(paths[0]) && !holdsRecordings(paths[0])):
		w.desk.Pieces.Add(paths...)
	case len(paths) > 1:
		w.desk.Fault(words.Many("window.drop.several", len(paths)).String())
	case w.forClass(paths[0]):
		w.tabs.bring(w.class)
		w.class.Drop(paths[0])
	case atShelf && class.IsMedia(paths[0]):
		w.desk.Fault(words.Say("window.drop.recording", "file", filepath.Base(paths[0])))
	case atShelf || piece.IsNamed(paths[0]):
		w.takePiece(paths[0])
	default:
		w.take(paths[0])
	}
}

// forClass: a folder is a class; a roster or a piece is for the class where that
// stands there.
func (w *Window) forClass(path string) bool {
	return isFolder(path) || w.class.Box().Visible() && classroom.ForClass(path)
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// holdsRecordings reports whether one lies in a folder.
func holdsRecordings(folder string) bool {
	files, _ := os.ReadDir(folder)
	return slices.ContainsFunc(files, func(f os.DirEntry) bool { return class.IsMedia(f.Name()) })
}

// takePiece opens a piece.
func (w *Window) takePiece(path string) {
	w.from = filepath.Dir(path)
	w.desk.Pieces.Open(path, "", "")
	if w.desk.Pieces.Reading != "" && w.bare {
		w.tabs.bring(w.pieces) // where it is told how that goes
	}
}

// drill makes a drill of the piece on the page, where one lies there.
func (w *Window) drill(do func()) func() {
	return func() {
		if !w.bare {
			do()
		}
	}
}

// take hears a recording, on the page.
func (w *Window) take(path string) {
	w.from = filepath.Dir(path)
	w.tabs.show(0)
	w.desk.Open(path)
}
