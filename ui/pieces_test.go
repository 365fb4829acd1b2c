package ui

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/ui/desk"
	"endpin/ui/desk/pieces"
	"endpin/ui/desk/work"
	"endpin/ui/ink"
	"endpin/ui/page"
	"endpin/ui/uitest"
)

// stand is a window that begins at the shelf.
type stand struct {
	*Window
	d      *desk.Desk
	posted chan func()
	folder string // of files
}

func newStand(t *testing.T) *stand {
	t.Helper()
	a := test.NewTempApp(t)
	a.Settings().SetTheme(ink.Look{})
	t.Setenv("HOME", t.TempDir())
	s := &stand{posted: make(chan func(), 1000), folder: t.TempDir()}
	demo, err := uitest.Demo()
	require.NoError(t, err)
	s.d = desk.New(demo, desk.Means{
		Post: func(f func()) { s.posted <- f }, Folder: filepath.Join(s.folder, "takes"),
		Now:    func() time.Time { return time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC) },
		Pencil: openPencil, Drills: filepath.Join(s.folder, "drills"),
		Pieces: pieces.Means{Folder: filepath.Join(s.folder, "pieces"), Read: uitest.ReadScore, Demo: uitest.Demo},
	})
	win := test.NewTempWindow(t, widget.NewLabel(""))
	s.Window = New(s.d, win, true)
	win.Resize(fyne.NewSize(960, 602))
	s.ToPieces()
	return s
}

// tune writes a piece of so many measures.
func (s *stand) tune(t *testing.T, title string, measures int) string {
	t.Helper()
	text := "X:1\nT:" + title + "\nM:4/4\nL:1/4\nQ:1/4=72\nK:C clef=bass\n"
	for range measures {
		text += "C,D,E,F,|"
	}
	path := filepath.Join(s.folder, title+".abc")
	require.NoError(t, os.WriteFile(path, []byte(text+"]\n"), 0o600))
	return path
}

func (s *stand) settle(t *testing.T) {
	t.Helper()
	pump(t, s.posted, func() bool { return s.d.Pieces.Reading == "" })
}

func TestABeginnerIsToldWhatToDoAndReturnOpensTheDemo(t *testing.T) {
	s := newStand(t)
	assert.True(t, uitest.Written(s.win, "No piece of yours stands here yet."))
	assert.True(t, uitest.Reads(s.win, "the demo piece, which comes with Endpin"), "called one")
	assert.Equal(t, "Endpin", s.win.Title())
	uitest.Key(s.win, fyne.KeyReturn)
	s.settle(t)
	assert.True(t, s.desktop.Visible())
	assert.Equal(t, "Stairs to the Loft – Endpin", s.win.Title())
	assert.Zero(t, s.d.Pieces.Count())
}

func TestBackAtTheShelfNothingIsLostOnThePage(t *testing.T) {
	s := newStand(t)
	drop(s.Window, s.tune(t, "Up", 8))
	s.settle(t)
	require.True(t, s.desktop.Visible(), "a piece that is dropped is opened")
	require.NoError(t, s.d.TypeRange("3-4"))
	s.d.SetWay(work.Echo)
	uitest.Key(s.win, fyne.KeyEscape)
	assert.True(t, s.pieces.Box().Visible())
	uitest.Key(s.win, fyne.KeyReturn)
	s.settle(t)
	assert.True(t, s.desktop.Visible())
	assert.Equal(t, "3-4", s.d.Range())
	assert.Equal(t, work.Echo, s.d.Work.Way)
	drop(s.Window, s.tune(t, "Other", 5))
	s.settle(t)
	assert.Equal(t, "Other – Endpin", s.win.Title(), "also from the page")
	assert.Equal(t, "1-5", s.d.Range())
	view := uitest.Find[*page.View](s.win)
	require.Len(t, view, 1)
	uitest.Press(t, s.win, "Pieces")
	uitest.Rune(s.win, 'u')
	uitest.Key(s.win, fyne.KeyReturn)
	s.settle(t)
	assert.Equal(t, "3-4", s.d.Range(), "as it lay there")
}

func TestLettersOnTheShelfLookForAPiece(t *testing.T) {
	s := newStand(t)
	drop(s.Window, s.tune(t, "Lantern Row", 2), s.tune(t, "Orchard Waltz", 3), s.tune(t, "Old Mill", 4))
	s.settle(t)
	assert.True(t, uitest.Reads(s.win, "3 pieces more stand on the shelf."))
	for _, r := range "o" {
		uitest.Rune(s.win, r)
	}
	assert.Nil(t, s.win.Canvas().Overlays().Top(), "o opens no recording here")
	assert.Len(t, s.d.Pieces.List(), 4)
	for _, r := range "ld m" {
		uitest.Rune(s.win, r)
	}
	assert.False(t, s.d.Settings.Dark, "nor is it night with d")
	assert.Equal(t, "Old Mill", s.d.Pieces.Ready().Title)
	for range 4 {
		uitest.Key(s.win, fyne.KeyBackspace)
	}
	assert.Equal(t, "o", s.d.Pieces.Search)
	uitest.Key(s.win, fyne.KeyEscape)
	assert.Empty(t, s.d.Pieces.Search)
	uitest.Key(s.win, fyne.KeyEscape)
	assert.True(t, s.pieces.Box().Visible(), "there is no page yet")
}

func TestPedalsGoFromPieceToPieceAndOpenOne(t *testing.T) {
	s := newStand(t)
	drop(s.Window, s.tune(t, "A", 2), s.tune(t, "B", 3))
	s.settle(t)
	uitest.Key(s.win, fyne.KeyPageUp)
	assert.Equal(t, "B", s.d.Pieces.Ready().Title)
	uitest.Key(s.win, fyne.KeyPageDown)
	s.settle(t)
	assert.Equal(t, "B", s.d.Score.Title())
}

func TestWhatIsNoPieceIsASentenceAndTheShelfStays(t *testing.T) {
	s := newStand(t)
	says := func(want string, paths ...string) {
		t.Helper()
		drop(s.Window, paths...)
		s.settle(t)
		assert.Contains(t, s.d.Message, want)
		assert.True(t, uitest.Reads(s.win, s.d.Message))
		assert.True(t, s.pieces.Box().Visible())
	}
	empty := filepath.Join(s.folder, "empty.musicxml")
	require.NoError(t, os.WriteFile(empty, nil, 0o600))
	says("empty.musicxml", empty)
	says("take.wav is a recording: open the piece that was played in it", recordingFile(t, "take.wav"))
	says("There is no piece in it", t.TempDir())
	says("2 files were dropped", recordingFile(t, "a.wav"), empty)
	says("gone.abc", filepath.Join(s.folder, "gone.abc"))
	uitest.Press(t, s.win, "Page")
	s.settle(t)
	assert.True(t, s.desktop.Visible(), "the page of the piece that stands ready")
}

func TestAPieceDroppedWhileATakeIsPlayedWaits(t *testing.T) {
	s := newStand(t)
	uitest.Key(s.win, fyne.KeyReturn)
	s.settle(t)
	s.d.Running = true
	drop(s.Window, s.tune(t, "Up", 2))
	assert.Equal(t, "Stop playing first, then open the other piece.", s.d.Message)
	uitest.Press(t, s.win, "Pieces")
	assert.True(t, s.desktop.Visible(), "and the page stays")
	s.d.Running = false
	assert.True(t, s.d.Score.Demo)
}

func TestThePartIsAskedForInTheWindow(t *testing.T) {
	s := newStand(t)
	path := filepath.Join(s.folder, "duet.abc")
	require.NoError(t, os.WriteFile(path, []byte("X:1\nT:Duet\nL:1/4\nK:C\nV:1 name=\"Bass 1\" clef=bass\nV:2 name=\"Bass 2\" clef=bass\n[V:1] C,D,E,F,|]\n[V:2] E,,F,,G,,A,,|]\n"), 0o600))
	for _, leave := range []bool{true, false} {
		drop(s.Window, path)
		s.settle(t)
		require.NotNil(t, s.win.Canvas().Overlays().Top())
		if leave {
			uitest.Key(s.win, fyne.KeyEscape)
			assert.Nil(t, s.win.Canvas().Overlays().Top())
			assert.True(t, s.pieces.Box().Visible())
			continue
		}
		s.d.Pieces.Asking.ChoosePart(1)
		uitest.Key(s.win, fyne.KeyReturn)
		s.settle(t)
	}
	assert.Equal(t, "Bass 2", s.d.Score.Piece.Part)
	assert.Nil(t, s.win.Canvas().Overlays().Top())
}

func TestOfTwoHundredPiecesOnlyThoseInSightAreDrawn(t *testing.T) {
	s := newStand(t)
	var paths []string
	for i := range 200 {
		paths = append(paths, s.tune(t, fmt.Sprintf("Piece %03d", i), i+1))
	}
	drop(s.Window, paths...)
	s.settle(t)
	require.Equal(t, 200, s.d.Pieces.Count())
	drawn := 0
	for _, text := range uitest.Texts(s.win) {
		if len(text.Says) == 9 && text.Says[:6] == "Piece " {
			drawn++
		}
	}
	assert.Greater(t, drawn, 4)
	assert.Less(t, drawn, 20)
	uitest.Key(s.win, fyne.KeyEnd)
	assert.True(t, s.d.Pieces.Ready().Demo, "the demo last")
	uitest.Key(s.win, fyne.KeyUp)
	assert.Equal(t, "Piece 199", s.d.Pieces.Ready().Title)
}
