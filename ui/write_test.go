package ui

import (
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/words"
	"endpin/ui/uitest"
)

// press presses keys as a keyboard sends them: a digit as its key and then as what the
// layout writes with it.
func press(win fyne.Window, keys string) {
	for _, k := range keys {
		if k >= '0' && k <= '9' {
			uitest.Key(win, fyne.KeyName(k))
			uitest.Rune(win, []rune("à&é\"'(-è_ç")[k-'0']) // as on a French keyboard
			continue
		}
		uitest.Key(win, fyne.KeyUnknown)
		uitest.Rune(win, k)
	}
}

func TestATuneIsWrittenWithKeysKeptAndPlayedFrom(t *testing.T) {
	x := newTour(t, fyne.NewSize(1280, 800), false, func(string, fyne.Window) {})
	x.w.tabs.bring(x.w.pieces)
	uitest.Press(t, x.win, words.Say("window.pieces.write"))
	require.True(t, uitest.Written(x.win, words.Say("window.write.first")))
	folder := filepath.Join(os.Getenv("HOME"), "written")
	w := x.d.Writing
	press(x.win, "g2a4bc8de")
	notes := w.Page.Bars[1].Notes
	require.Len(t, notes, 3)
	assert.Equal(t, "eighth", notes[2].Value)
	assert.True(t, uitest.Written(x.win, "Measure 2 still takes a half."))
	uitest.Key(x.win, fyne.KeyLeft)
	uitest.Key(x.win, fyne.KeyUp)
	assert.Equal(t, "F", w.Page.Bars[1].Notes[2].Step)
	x.w.write.Undo()
	assert.Equal(t, "E", w.Page.Bars[1].Notes[2].Step)
	uitest.Key(x.win, fyne.KeyEscape)
	assert.True(t, x.w.write.Box().Visible(), "Escape first leaves the note chosen")
	press(x.win, "x")
	uitest.Key(x.win, fyne.KeyHome)
	press(x.win, "d4")
	assert.Equal(t, piece.Marks{Finger: "4", String: 2}, w.Page.Bars[0].Notes[0].Marks)
	uitest.Press(t, x.win, words.Say("window.write.play"))
	x.pump(func() bool { return x.d.Pieces.Reading == "" && x.w.tabs.at == 0 })
	assert.FileExists(t, filepath.Join(folder, "Without a title.musicxml"))
	assert.Len(t, x.d.Score.Line, 6)
	assert.Equal(t, "4", x.d.Score.Piece.Measures[0].Notes[0].Marks.Finger)
}

func TestAPieceThatWasOpenedIsEdited(t *testing.T) {
	x := newTour(t, fyne.NewSize(1280, 800), false, func(string, fyne.Window) {})
	x.w.editPiece()
	assert.Equal(t, len(x.d.Score.Piece.Measures), len(x.d.Writing.Page.Bars))
	assert.Equal(t, "Stairs to the Loft", x.d.Writing.Page.Head.Title)
	uitest.Key(x.win, fyne.KeyHome)
	uitest.Key(x.win, fyne.KeyDelete)
	assert.True(t, uitest.Written(x.win, "too little."))
}

func TestAPictureLiesBesideThePageAndWhatIsNoneIsSaid(t *testing.T) {
	x := newTour(t, fyne.NewSize(1280, 800), false, func(string, fyne.Window) {})
	x.w.writePiece()
	file := filepath.Join(t.TempDir(), "page.png")
	f, err := os.Create(file)
	require.NoError(t, err)
	require.NoError(t, png.Encode(f, image.NewGray(image.Rect(0, 0, 300, 400))))
	require.NoError(t, f.Close())
	x.d.Writing.SetPicture(file)
	assert.True(t, uitest.Stands(x.win, words.Say("window.write.picture.turn")))
	uitest.Press(t, x.win, words.Say("window.write.picture.turn"))
	uitest.Press(t, x.win, words.Say("window.write.picture.away"))
	assert.False(t, uitest.Stands(x.win, words.Say("window.write.picture.turn")))
	require.NoError(t, os.WriteFile(file, []byte("no picture"), 0o600))
	x.d.Writing.SetPicture(file)
	assert.True(t, uitest.Written(x.win, "page.png is no picture"))
	assert.False(t, uitest.Stands(x.win, words.Say("window.write.picture.turn")))
}

func TestANoteIsChosenByATap(t *testing.T) {
	x := newTour(t, fyne.NewSize(1280, 800), false, func(string, fyne.Window) {})
	x.w.writePiece()
	press(x.win, "cdef")
	tapped := false
	uitest.Seen(x.win.Content(), func(o fyne.CanvasObject) bool {
		if s, is := o.(fyne.Tappable); is && o.Size().Height > 100 && o.Size().Width > 300 {
			if _, drags := o.(fyne.Draggable); drags {
				for at := float32(60); at < o.Size().Width && !tapped; at += 10 { // along the staff, from the left
					test.TapAt(s, fyne.NewPos(at, 60))
					tapped = x.d.Writing.Page.Some
				}
			}
		}
		return tapped
	})
	require.True(t, tapped)
	assert.Zero(t, x.d.Writing.Page.At.Note)
	press(x.win, "b")
	assert.Equal(t, "B", x.d.Writing.Page.Bars[0].Notes[0].Step)
}
