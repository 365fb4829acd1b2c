package help

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/assets"
	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/score"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Screen tells the first ten minutes, a chapter for each step.
type Screen struct {
	desk *desk.Desk
	all  *fyne.Container
	read *fit.Reading
	demo *score.Score // of which the pictures are; nil until it was needed
	dark bool         // so it was set out
}

// New sets the screen out; keys shows all keys, and back leaves for where one came from.
func New(d *desk.Desk, keys, back func()) *Screen {
	s := &Screen{desk: d, read: fit.NewReading()}
	buttons := container.NewHBox(prose.NewButton(words.Say("help.keys", "key", "?"), keys), prose.NewButton(words.Say("help.back"), back))
	top := container.NewBorder(nil, nil, nil, buttons, prose.Heading(words.Say("help.title")))
	s.all = container.NewBorder(container.NewVBox(top, widget.NewSeparator()), nil, nil, nil, s.read)
	return s
}

func (s *Screen) Name() string           { return words.Say("help.title") }
func (s *Screen) Box() fyne.CanvasObject { return s.all }
func (s *Screen) Leave()                 { s.read.Set() } // pictures take memory

// Enter sets it out, from the top.
func (s *Screen) Enter() {
	s.dark = s.desk.Settings.Dark
	s.read.Set(s.chapters(ink.Look{Dark: s.dark})...)
}

// Refresh sets it out in the colours of now.
func (s *Screen) Refresh() {
	if s.dark != s.desk.Settings.Dark {
		at := s.read.Top()
		s.Enter()
		s.read.To(at)
	}
}

// piece is the demo piece.
func (s *Screen) piece() *score.Score {
	if s.demo == nil {
		p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
		if err != nil {
			p = &piece.Piece{} // never: it is built in, and a test reads it
		}
		s.demo = score.New(p, assets.DemoPieceName)
	}
	return s.demo
}

// Key scrolls what is read.
func (s *Screen) Key(k fyne.KeyName) bool {
	switch k {
	case fyne.KeyPageDown, fyne.KeyRight, fyne.KeySpace:
		s.read.By(0.9)
	case fyne.KeyPageUp, fyne.KeyLeft:
		s.read.By(-0.9)
	case fyne.KeyDown:
		s.read.By(0.15)
	case fyne.KeyUp:
		s.read.By(-0.15)
	case fyne.KeyHome:
		s.read.By(-1e6)
	case fyne.KeyEnd:
		s.read.By(1e6)
	default:
		return false
	}
	return true
}
