package ui

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/homework"
	"endpin/piece/words/pseudo"
	"endpin/ui/desk"
	"endpin/ui/desk/assigned"
	"endpin/ui/desk/ear"
	"endpin/ui/desk/score"
	"endpin/ui/desk/work"
	"endpin/ui/ink"
	"endpin/ui/prose"
	"endpin/ui/uitest"
)

// assignedTable is a desk with homework on it, in a home of its own.
func assignedTable(t *testing.T, size fyne.Size, dark bool) (*Window, *desk.Desk, fyne.Window, chan func()) {
	t.Helper()
	home, err := os.MkdirTemp("", "home") // short enough to be read whole
	require.NoError(t, err)
	t.Cleanup(func() { os.RemoveAll(home) })
	t.Setenv("HOME", home)
	test.NewTempApp(t).Settings().SetTheme(ink.Look{Dark: dark})
	var b bytes.Buffer
	require.NoError(t, homework.Write(&b, homework.Homework{Title: "Stairs to the Loft", Measures: "5-8", QPM: 60, Work: "play-along", Level: "first-year",
		Text: "Sing it first, then play it with long bows, and land the shift before the bow moves", Until: "2026-12-06"}, homework.Contents{Piece: []byte("<score/>")}))
	s := uitest.DemoScore(t)
	s.Homework, err = homework.Read("loft.endpin", bytes.NewReader(b.Bytes()), int64(b.Len()))
	require.NoError(t, err)
	posted := make(chan func(), 100)
	d := desk.New(s, desk.Means{
		Post: func(f func()) { posted <- f },
		Now:  func() time.Time { return time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC) },
		Ear: ear.Ear{Hear: func(context.Context, *score.Score, string, finding.Options, func(float64)) (*finding.Hearing, *dsp.Heard, error) {
			return uitest.Told(), &dsp.Heard{}, nil
		}},
		Homework: assigned.Means{WriteHomework: func(to io.Writer, file string, _ []byte, h homework.Homework, example string) error {
			_, err := fmt.Fprint(to, file, h.Text, h.Until, h.Measures, h.Level, example)
			return err
		}},
	})
	d.Settings.Dark, d.Settings.CautionSeen = dark, true
	win := test.NewTempWindow(t, widget.NewLabel(""))
	w := New(d, win, true)
	win.Resize(size)
	d.Say("")
	return w, d, win, posted
}

func TestHomeworkLiesOnTheDeskReadyToPlay(t *testing.T) {
	_, d, win, _ := assignedTable(t, fyne.NewSize(1280, 800), false)
	assert.True(t, uitest.Reads(win, "Sing it first, then play it with long bows, and land the shift before the bow moves"))
	assert.True(t, uitest.Reads(win, "Until Sunday 6 December."))
	assert.Equal(t, []any{"5-8", work.PlayAlong, 60.0, "first-year"}, []any{d.Range(), d.Work.Way, d.Work.QPM, d.Settings.Level})
	assert.False(t, uitest.Stands(win, "Hear your teacher"), "no recording came with it")
	uitest.Rune(win, 'h')
	assert.Nil(t, win.Canvas().Overlays().Top())
	assert.Equal(t, "Play it first: the take on the page is what is handed in.", d.Message)
	assert.False(t, uitest.Seen(win.Content(), func(o fyne.CanvasObject) bool {
		b, is := o.(*prose.Button)
		return is && b.Text == "Hand in" && !b.Disabled()
	}))
}

func TestATakeIsHandedInUnderTheNameThatIsTyped(t *testing.T) {
	_, d, win, posted := assignedTable(t, fyne.NewSize(1280, 800), false)
	uitest.ShowDemoTake(t, d)
	take := filepath.Join(t.TempDir(), "demo.wav")
	require.NoError(t, os.WriteFile(take, []byte("RIFF"), 0o600))
	d.Shown.Take.Place(filepath.Dir(take))
	d.Shown.Take.Sound, d.Shown.Take.Made = take, time.Date(2026, 11, 25, 17, 0, 0, 0, time.UTC)
	d.Say("")
	uitest.Press(t, win, "Hand in")
	uitest.PressOver(t, win, "Save")
	assert.NotNil(t, win.Canvas().Overlays().Top(), "somebody has played it")
	uitest.TypeOver(t, win, " Ada  Byron")
	uitest.Key(win, fyne.KeyReturn)
	assert.Nil(t, win.Canvas().Overlays().Top(), "Return does what Save does")
	home, _ := os.UserHomeDir()
	file := filepath.Join(home, "Stairs to the Loft 2026-11-25 17.00.endpin")
	pump(t, posted, func() bool { _, err := os.Stat(file); return err == nil })
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	h, err := homework.Read(file, bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	assert.Equal(t, "Ada Byron", h.Take.Player)
	assert.Equal(t, "<score/>", string(h.Score))
	assert.Equal(t, "5-8", h.Homework.Measures)
	sound, err := h.Sound()
	require.NoError(t, err)
	wav, err := io.ReadAll(sound)
	require.NoError(t, err)
	assert.Equal(t, "RIFF", string(wav))
	pump(t, posted, func() bool { return strings.HasSuffix(d.Message, "Send this file to your teacher.") })
	assert.Empty(t, d.Settings.Player, "a name for the teacher begins no diary unless that is ticked")

	uitest.Press(t, win, "Hand in")
	uitest.TypeOver(t, win, "Ada Byron")
	assert.True(t, uitest.Seen(win.Canvas().Overlays().Top(), func(o fyne.CanvasObject) bool {
		tick, is := o.(*prose.Tick)
		if is {
			assert.Equal(t, "Keep my takes of this desk in my diary from now on", tick.Text)
			tick.SetChecked(true)
		}
		return is
	}))
	uitest.PressOver(t, win, "Save")
	uitest.PressOver(t, win, "Write over it")
	assert.Equal(t, "Ada Byron", d.Settings.Player)
}

func TestATeacherMakesHomeworkOfWhatTheDeskIsSetTo(t *testing.T) {
	w, d, win, posted := assignedTable(t, fyne.NewSize(1280, 800), false)
	require.NoError(t, d.TypeRange("9-12"))
	w.asked.Make()
	assert.True(t, uitest.Seen(win.Canvas().Overlays().Top(), func(o fyne.CanvasObject) bool {
		l, is := o.(*widget.Label)
		return is && l.Text == "Homework: Stairs to the Loft, measures 9-12. Play along with the click. Tempo: 60 quarter notes a minute."
	}))
	uitest.TypeOver(t, win, "With long bows")
	assert.True(t, uitest.Seen(win.Canvas().Overlays().Top(), func(o fyne.CanvasObject) bool {
		level, is := o.(*prose.Drop)
		if is {
			assert.Equal(t, "first-year", level.Selected, "of the homework that lies there")
			level.SetSelected("intermediate")
		}
		return is
	}))
	uitest.PressOver(t, win, "Save")
	home, _ := os.UserHomeDir()
	file := filepath.Join(home, "Stairs to the Loft 9-12.endpin")
	pump(t, posted, func() bool { _, err := os.Stat(file); return err == nil })
	told, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "demo.musicxmlWith long bows9-12intermediate", string(told))
}

func TestHomeworkHasRoomInAWindowOfAnySizeAndInALongerLanguage(t *testing.T) {
	if testing.Short() {
		t.Skip("goes through every screen")
	}
	visit := func(w *Window, d *desk.Desk, win fyne.Window, plain func(string) string) {
		look := func(name string) {
			t.Helper()
			for range 2 {
				win.Content().Refresh()
			}
			uitest.Keep(t, win, name)
			assert.Empty(t, uitest.Misplaced(win), name)
			for _, read := range uitest.Texts(win) {
				assert.Empty(t, plain(read.Says), "%s: %q", name, read.Says)
			}
		}
		leave := func() {
			for o := win.Canvas().Overlays().Top(); o != nil; o = win.Canvas().Overlays().Top() {
				win.Canvas().Overlays().Remove(o)
			}
		}
		at := fmt.Sprintf("homework %.0f %v ", win.Canvas().Size().Width, d.Settings.Dark)
		look(at + "page")
		uitest.ShowDemoTake(t, d)
		look(at + "take")
		w.asked.Ask()
		look(at + "hand in")
		leave()
		w.asked.Make()
		look(at + "make")
		leave()
	}
	const menu = 38
	for _, size := range []fyne.Size{{Width: 960, Height: 640 - menu}, {Width: 1280, Height: 800 - menu}, {Width: 1920, Height: 1080 - menu}} {
		for _, dark := range []bool{false, true} {
			w, d, win, _ := assignedTable(t, size, dark)
			visit(w, d, win, func(string) string { return "" })
		}
	}
	defer pseudo.Speak()()
	w, d, win, _ := assignedTable(t, fyne.NewSize(1280, 800), false)
	home, _ := os.UserHomeDir()
	visit(w, d, win, func(s string) string {
		teacher := "Sing it first, then play it with long bows, and land the shift before the bow moves"
		own := append(own(), teacher, home, filepath.Base(home), ".endpin", "first-year")
		return pseudo.Plain(s, append(own, strings.Fields(teacher)...)...) // it breaks anywhere
	})
}

// A teacher who opens what a student handed in sees what was heard in it, under the
// student's name, at the student's tempo.
func TestATakeThatWasHandedInIsHeardAsItIsOpened(t *testing.T) {
	w, d, _, posted := assignedTable(t, fyne.NewSize(1280, 800), false)
	var b bytes.Buffer
	played := time.Date(2026, 11, 24, 16, 0, 0, 0, time.UTC)
	require.NoError(t, d.Score.Homework.HandIn(&b, homework.Take{Player: "Ada", Played: played, QPM: 60, Work: "play-along"}, bytes.NewReader([]byte("RIFF"))))
	handed, err := homework.Read("ada.endpin", bytes.NewReader(b.Bytes()), int64(b.Len()))
	require.NoError(t, err)
	s := *d.Score
	s.File, s.Homework = "ada.endpin", handed
	d.Put(&s)
	require.True(t, d.Judging)
	pump(t, posted, func() bool { return !d.Judging })
	require.NotNil(t, d.Shown, d.Message)
	assert.Equal(t, "Ada", d.Shown.Take.Player)
	assert.True(t, played.Equal(d.Shown.Take.Made))
	assert.True(t, w.desktop.Visible())
}
