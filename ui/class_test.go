package ui

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/ui/desk"
	"endpin/ui/desk/classroom"
	"endpin/ui/desk/ear"
	"endpin/ui/desk/score"
	"endpin/ui/desk/work"
	"endpin/ui/ink"
	"endpin/ui/uitest"
)

// lesson is a window on a desk whose class has three students; what the run is
// asked is kept.
func lesson(t *testing.T) (win fyne.Window, w *Window, d *desk.Desk, asked *classroom.Asked, pump func(until func() bool)) {
	t.Helper()
	asked = &classroom.Asked{}
	var posted chan func()
	w, d, win, posted = tableWith(t, func(m *desk.Means) {
		m.HearClass = func(_ context.Context, c classroom.Asked, o finding.Options, told func(classroom.Told)) (*class.Term, string, error) {
			*asked = c
			seats := []class.Seat{{Name: "Anna", Files: []string{"Anna.wav"}}, {Name: "Ben", Files: []string{"Ben.wav"}}, {Name: "Cleo"}}
			sheet := class.Gather(c.Scores[0].Piece, "", seats, []class.Result{{File: "Anna.wav", Hearing: threeTimes()}, {File: "Ben.wav", Reason: "silence"}}, nil)
			heard := &class.Term{Sheets: []*class.Sheet{sheet}}
			told(classroom.Told{Done: 2, Of: 2, Heard: 1, So: heard})
			return heard, filepath.Join(c.Out, "class.html"), nil
		}
	})
	pump = func(until func() bool) {
		for !until() {
			(<-posted)()
		}
	}
	return win, w, d, asked, pump
}

func threeTimes() *finding.Hearing {
	h := uitest.Told()
	for i := range h.Findings {
		h.Findings[i].Notes = 3
	}
	return h
}

func TestATeacherDropsAFolderAndHearsTheClass(t *testing.T) {
	win, w, d, asked, pump := lesson(t)
	s := w.class
	folder := t.TempDir()
	drop(w, folder)
	assert.True(t, s.Box().Visible(), "a folder is a class")
	assert.True(t, uitest.Reads(win, folder))
	uitest.Press(t, win, "Hear the class")
	pump(func() bool { return !s.Class.Going })
	assert.Equal(t, folder, asked.Folder)
	assert.Equal(t, []*score.Score{d.Score}, asked.Scores)
	assert.True(t, uitest.Reads(win, "sharp after shift, measures 5–7  ·  perhaps late, measure 9"))
	assert.True(t, uitest.Reads(win, "Not heard: silence."))
	assert.True(t, uitest.Reads(win, "No recording."))
	assert.True(t, uitest.Reads(win, "1 of 3 students heard, in one recording the piece was not, 1 without a recording."))

	key := func(k fyne.KeyName) { win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: k}) }
	key(fyne.KeyDown)
	assert.Equal(t, "Anna", s.Class.Student().Name)
	assert.True(t, uitest.Reads(win, uitest.Told().Findings[0].Text))
	key(fyne.KeySpace)
	assert.True(t, uitest.Reads(win, "There is no loudspeaker to play on."))
	uitest.Keep(t, win, "class")
	key(fyne.KeyReturn)
	pump(func() bool { return d.Shown != nil })
	assert.True(t, w.desktop.Visible(), "all that is heard, on the page")
	assert.Equal(t, "Anna, Anna: 2 things heard", w.say())
	d.SetWay(work.BringUp)
	assert.Equal(t, "Anna, Anna: 2 things heard", w.say(), "whatever the way")
	uitest.Press(t, win, "Class")
	assert.Equal(t, "Anna", s.Class.Student().Name, "what was looked at is still there")
	key(fyne.KeyEscape)
	assert.Nil(t, s.Class.Student())
	key(fyne.KeyEscape)
	assert.True(t, w.desktop.Visible())
}

func TestAFileThatIsDroppedIsARecordingAndARosterIsForTheClassThatStandsThere(t *testing.T) {
	win, w, d, _, pump := lesson(t)
	s := w.class
	file := filepath.Join(t.TempDir(), "mine.wav")
	roster := filepath.Join(t.TempDir(), "names.csv")
	require.NoError(t, os.WriteFile(roster, []byte("Anna\n"), 0o600))
	uitest.Press(t, win, "Class")
	drop(w, roster)
	assert.Equal(t, roster, s.Class.Asked.Roster)
	drop(w, file)
	pump(func() bool { return d.Shown != nil })
	assert.True(t, w.desktop.Visible())
	assert.Equal(t, file, d.Shown.Take.Sound)
}

// tableWith is table with other means.
func tableWith(t *testing.T, change func(*desk.Means)) (*Window, *desk.Desk, fyne.Window, chan func()) {
	t.Helper()
	a := test.NewTempApp(t)
	a.Settings().SetTheme(ink.Look{})
	_, old, _, _ := table(t)
	posted := make(chan func(), 100)
	m := desk.Means{
		Post:   func(f func()) { posted <- f },
		Folder: t.TempDir(),
		Ear: ear.Ear{Hear: func(context.Context, *score.Score, string, finding.Options, func(float64)) (*finding.Hearing, *dsp.Heard, error) {
			return uitest.Told(), &dsp.Heard{}, nil
		}},
	}
	change(&m)
	d := desk.New(old.Score, m)
	win := test.NewTempWindow(t, widget.NewLabel(""))
	w := New(d, win, true)
	win.Resize(fyne.NewSize(1280, 800))
	return w, d, win, posted
}
