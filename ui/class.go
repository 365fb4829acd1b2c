package ui

import (
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
)

// classScreen hears a folder of students' recordings: first what is asked, then
// the students as they are heard, and one of them looked at.
type classScreen struct {
	w     *Window
	class *desk.Class
	whole *fyne.Container

	ask   *classAsk
	heard *classHeard
	open  bool // the students stand there, not what is asked
}

func newClassScreen(w *Window) *classScreen {
	s := &classScreen{w: w, class: desk.NewClass(w.desk)}
	s.ask = newClassAsk(s)
	s.heard = newClassHeard(s)
	s.whole = container.NewStack(s.ask.box, s.heard.box)
	hide(s.heard.box, true)
	return s
}

func (s *classScreen) name() string           { return "Class" }
func (s *classScreen) box() fyne.CanvasObject { return s.whole }
func (s *classScreen) enter()                 { s.refresh() }
func (s *classScreen) leave()                 { s.class.StopPlaying() }

func (s *classScreen) refresh() {
	if s.class.Going {
		s.open = true
	}
	hide(s.ask.box, s.open)
	hide(s.heard.box, !s.open)
	if s.open {
		s.heard.refresh()
	} else {
		s.ask.refresh()
	}
}

// back goes from the students to what is asked.
func (s *classScreen) back() {
	s.class.StopPlaying()
	s.open = false
	s.refresh()
}

// start hears the class, and shows the students.
func (s *classScreen) start() {
	s.ask.submit()
	if s.class.Message == "" {
		s.class.Start()
	}
	s.w.win.Canvas().Unfocus()
}

// key goes from student to student, and from sound to sound.
func (s *classScreen) key(k fyne.KeyName) bool {
	if !s.open {
		return false
	}
	c := s.class
	switch k {
	case fyne.KeyDown, fyne.KeyPageDown:
		c.Choose(c.Chosen + 1)
	case fyne.KeyUp, fyne.KeyPageUp:
		c.Choose(max(c.Chosen-1, -1))
	case fyne.KeyRight, fyne.KeySpace:
		c.PlayNext(1)
	case fyne.KeyLeft:
		c.PlayNext(-1)
	case fyne.KeyReturn, fyne.KeyEnter:
		s.onPage()
	case fyne.KeyEscape:
		switch {
		case c.Playing >= 0:
			c.StopPlaying()
		case c.Chosen >= 0:
			c.Choose(-1)
		default:
			return false
		}
	default:
		return false
	}
	return true
}

// onPage puts all that is heard of the student on the desk's own page.
func (s *classScreen) onPage() {
	if s.class.OpenOnPage() {
		s.w.tabs.show(0)
	}
}

// drop takes what was dropped on the window: a folder is a class; a roster or a
// piece is for the class where that stands there; all else is a recording.
func (w *Window) drop(path string) {
	info, err := os.Stat(path)
	folder := err == nil && info.IsDir()
	for _, s := range w.tabs.all {
		class, is := s.(*classScreen)
		if !is || !folder && !(w.tabs.all[w.tabs.at] == s && slices.Contains(forClass, strings.ToLower(filepath.Ext(path)))) {
			continue
		}
		w.tabs.bring(class.name())
		class.drop(path)
		return
	}
	w.tabs.show(0)
	w.desk.Open(path)
}

// forClass are the names of rosters and of pieces.
var (
	rosters  = []string{".csv", ".tsv", ".txt"}
	pieces   = []string{".musicxml", ".mxl", ".xml", ".abc"}
	forClass = append(append([]string{}, rosters...), pieces...)
)

func (s *classScreen) drop(path string) {
	if !s.class.Going {
		s.open = false
	}
	s.class.Drop(path)
	s.refresh()
}

// openSheet opens the class sheet in the user's browser.
func (s *classScreen) openSheet() {
	u, err := url.Parse(storage.NewFileURI(s.class.Written).String())
	if err == nil {
		err = fyne.CurrentApp().OpenURL(u)
	}
	if err != nil {
		s.class.Message = "No browser could be opened here. The class sheet is " + s.class.Written + "."
		s.refresh()
	}
}

// pickFolder and pickFile ask for a folder or a file.
func (s *classScreen) pickFolder(then func(path string)) {
	d := dialog.NewFolderOpen(func(f fyne.ListableURI, err error) {
		if err == nil && f != nil {
			then(f.Path())
			s.refresh()
		}
	}, s.w.win)
	d.SetLocation(s.near())
	d.Resize(fyne.NewSize(900, 600))
	d.Show()
}

// near is where the folder chosen last lies; nil for the user's own.
func (s *classScreen) near() fyne.ListableURI {
	if s.class.Asked.Folder == "" {
		return nil
	}
	at, err := storage.ListerForURI(storage.NewFileURI(filepath.Dir(s.class.Asked.Folder)))
	if err != nil {
		return nil
	}
	return at
}

func (s *classScreen) pickFile(extensions []string, then func(path string)) {
	d := dialog.NewFileOpen(func(f fyne.URIReadCloser, err error) {
		if err != nil || f == nil {
			return
		}
		f.Close()
		then(f.URI().Path())
		s.refresh()
	}, s.w.win)
	both := slices.Clone(extensions)
	for _, e := range extensions {
		both = append(both, strings.ToUpper(e))
	}
	d.SetFilter(storage.NewExtensionFileFilter(both))
	d.SetLocation(s.near())
	d.Resize(fyne.NewSize(900, 600))
	d.Show()
}

// ending is the end of a path, which tells more than its beginning.
func ending(path string, most int) string {
	r := []rune(path)
	if len(r) <= most {
		return path
	}
	return "… " + string(r[len(r)-most:])
}

func bold(text string) *widget.Label {
	l := widget.NewLabel(text)
	l.TextStyle.Bold = true
	return l
}
