package classroom

import (
	"net/url"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/storage"

	"endpin/piece"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/classroom"
	"endpin/ui/fit"
)

// Screen hears a folder of students' recordings: first what is asked, then
// the students as they are heard, and one of them looked at.
type Screen struct {
	Class  *classroom.Class
	desk   *desk.Desk
	win    fyne.Window
	toPage func()
	whole  *fyne.Container

	ask   *classAsk
	heard *classHeard
	open  bool // the students stand there, not what is asked
}

// New sets the screen out; toPage goes to the page.
func New(d *desk.Desk, win fyne.Window, toPage func()) *Screen {
	s := &Screen{desk: d, win: win, toPage: toPage, Class: desk.NewClass(d)}
	s.ask = newClassAsk(s)
	s.heard = newClassHeard(s)
	s.whole = container.NewStack(s.ask.box, s.heard.box)
	fit.Hide(s.heard.box, true)
	return s
}

func (s *Screen) Name() string           { return words.Say("window.screen.class") }
func (s *Screen) Box() fyne.CanvasObject { return s.whole }
func (s *Screen) Enter()                 { s.Class.Follow(); s.Refresh() }
func (s *Screen) Leave()                 { s.Class.StopPlaying() }

func (s *Screen) Refresh() {
	if s.Class.Going {
		s.open = true
	}
	fit.Hide(s.ask.box, s.open)
	fit.Hide(s.heard.box, !s.open)
	if s.open {
		s.heard.refresh()
	} else {
		s.ask.refresh()
	}
}

// back goes from the students to what is asked.
func (s *Screen) back() {
	s.Class.StopPlaying()
	s.open = false
	s.Refresh()
}

// start hears the class, and shows the students.
func (s *Screen) start() {
	s.ask.submit()
	if s.Class.Message == "" {
		s.Class.Start()
	}
	s.win.Canvas().Unfocus()
}

// Key goes from student to student, and from sound to sound.
func (s *Screen) Key(k fyne.KeyName) bool {
	if !s.open {
		return false
	}
	c := s.Class
	switch k {
	case fyne.KeyDown, fyne.KeyPageDown:
		c.Step(1)
	case fyne.KeyUp, fyne.KeyPageUp:
		c.Step(-1)
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
func (s *Screen) onPage() {
	if s.Class.OpenOnPage() {
		s.toPage()
	}
}

// rosters by their names.
var rosters = []string{".csv", ".tsv", ".txt"}

// ForClass reports whether a path is named as a roster or a piece is.
func ForClass(path string) bool {
	return piece.IsNamed(path) || slices.Contains(rosters, strings.ToLower(filepath.Ext(path)))
}

// Drop takes a folder, a roster or a piece.
func (s *Screen) Drop(path string) {
	if !s.Class.Going {
		s.open = false
	}
	s.Class.Drop(path)
	s.Refresh()
}

// openSheet opens the class sheet in the user's browser.
func (s *Screen) openSheet() {
	u, err := url.Parse(storage.NewFileURI(s.Class.Written).String())
	if err == nil {
		err = fyne.CurrentApp().OpenURL(u)
	}
	if err != nil {
		s.Class.Message = words.Say("window.class.no-browser", "sheet", s.Class.Written)
		s.Refresh()
	}
}

// pickFolder and pickFile ask for a folder or a file.
func (s *Screen) pickFolder(then func(path string)) {
	d := dialog.NewFolderOpen(func(f fyne.ListableURI, err error) {
		if err == nil && f != nil {
			then(f.Path())
			s.Refresh()
		}
	}, s.win)
	d.SetTitleText(words.Say("window.class.pick.folder"))
	d.SetLocation(s.near())
	d.Resize(fyne.NewSize(900, 600))
	d.Show()
}

// near is where the folder chosen last lies; nil for the user's own.
func (s *Screen) near() fyne.ListableURI {
	if s.Class.Asked.Folder == "" {
		return nil
	}
	at, err := storage.ListerForURI(storage.NewFileURI(filepath.Dir(s.Class.Asked.Folder)))
	if err != nil {
		return nil
	}
	return at
}

func (s *Screen) pickFile(extensions []string, then func(path string)) {
	d := dialog.NewFileOpen(func(f fyne.URIReadCloser, err error) {
		if err != nil || f == nil {
			return
		}
		f.Close()
		then(f.URI().Path())
		s.Refresh()
	}, s.win)
	both := slices.Clone(extensions)
	for _, e := range extensions {
		both = append(both, strings.ToUpper(e))
	}
	d.SetTitleText(words.Say("window.class.pick.file"))
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
