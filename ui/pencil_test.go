package ui

import (
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/pencil"
	"endpin/ui/desk/score"
	"endpin/ui/page"
	"endpin/ui/uitest"
)

// openPencil takes up a file as the desk's own program does.
func openPencil(s *score.Score) (*pencil.Pencil, error) {
	data, err := os.ReadFile(s.File)
	if err != nil {
		return nil, err
	}
	return pencil.Open(s.File, data)
}

func TestATeacherPencilsByKeysAndByMouseAndKeepsACopy(t *testing.T) {
	s := newStand(t)
	file := s.tune(t, "Lantern Row", 8)
	drop(s.Window, file)
	s.settle(t)
	uitest.Rune(s.win, 'm')
	pump(t, s.posted, func() bool { return s.d.Pencil.On })
	assert.True(t, uitest.Reads(s.win, "Measure 1, note 1: C"), "seen at a glance")
	assert.False(t, s.bar.box.Visible())
	assert.Empty(t, uitest.Misplaced(s.win))
	uitest.Rune(s.win, '2')
	uitest.Rune(s.win, 'a')
	uitest.Key(s.win, fyne.KeyUp)
	marks := func(measure, note int) piece.Marks { return s.d.Score.Piece.Measures[measure].Notes[note].Marks }
	assert.Equal(t, piece.Marks{Finger: "2", String: 3, Position: "half"}, marks(0, 0))

	view := uitest.Find[*page.View](s.win)[0]
	at, is := view.Place(1, 2)
	require.True(t, is)
	test.TapCanvas(s.win.Canvas(), at)
	assert.True(t, uitest.Reads(s.win, "Measure 2, note 3: E"))
	uitest.Press(t, s.win, "4")
	uitest.Press(t, s.win, "Up")
	uitest.Press(t, s.win, "III")
	assert.Equal(t, piece.Marks{Finger: "4", Bow: piece.Up, Position: "3"}, marks(1, 2))
	uitest.Press(t, s.win, "Undo")
	assert.Empty(t, marks(1, 2).Position)
	uitest.Press(t, s.win, "Redo")
	assert.Equal(t, "3", marks(1, 2).Position)
	uitest.Shortcut(s.win, &fyne.ShortcutUndo{})
	uitest.Shortcut(s.win, &fyne.ShortcutUndo{})
	assert.Equal(t, piece.Marks{Finger: "4"}, marks(1, 2), "as by Control and Z")
	uitest.Shortcut(s.win, &fyne.ShortcutRedo{})
	uitest.Shortcut(s.win, &fyne.ShortcutRedo{})
	assert.Equal(t, "3", marks(1, 2).Position)

	uitest.Key(s.win, fyne.KeyReturn)
	assert.True(t, uitest.Reads(s.win, "Measure 2"))
	assert.Empty(t, uitest.Misplaced(s.win))
	uitest.Rune(s.win, 't')
	for _, r := range "Sing it" {
		uitest.Rune(s.win, r)
	}
	uitest.Key(s.win, fyne.KeyReturn)
	assert.Equal(t, "Sing it", notation.SignsOf(&s.d.Score.Piece.Measures[1]).Text)
	uitest.Press(t, s.win, "Repeat ends e")
	assert.True(t, s.d.Pencil.Signs().RepeatEnd)
	assert.True(t, s.d.Pencil.On)

	s.close()
	require.NotNil(t, s.win.Canvas().Overlays().Top(), "marks are not lost unasked")
	uitest.Key(s.win, fyne.KeyEscape)
	s.pencil.Keep()
	require.NotNil(t, s.win.Canvas().Overlays().Top())
	uitest.Key(s.win, fyne.KeyReturn)
	copied := filepath.Join(s.folder, "Lantern Row marked.musicxml")
	data, err := os.ReadFile(copied)
	require.NoError(t, err)
	p, err := notation.Read(copied, data)
	require.NoError(t, err)
	assert.Equal(t, "2", p.Measures[0].Notes[0].Marks.Finger)
	assert.Equal(t, "The marks are kept in Lantern Row marked.musicxml.", s.d.Message)
	uitest.Key(s.win, fyne.KeyEscape)
	assert.False(t, s.d.Pencil.On)
	assert.True(t, s.bar.box.Visible())
}
