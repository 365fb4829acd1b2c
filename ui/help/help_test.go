package help

import (
	"fmt"
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/piece/words/pseudo"
	"endpin/ui/desk"
	"endpin/ui/desk/remembered"
	"endpin/ui/ink"
	"endpin/ui/page"
	"endpin/ui/uitest"
)

// open is the help in a window of a size.
func open(t *testing.T, size fyne.Size, dark bool) (*Screen, *desk.Desk, fyne.Window) {
	t.Helper()
	a := test.NewTempApp(t)
	a.Settings().SetTheme(ink.Look{Dark: dark})
	d := desk.New(uitest.DemoScore(t), desk.Means{Post: func(f func()) { f() }})
	d.Settings.Dark = dark
	s := New(d, func() {}, func() {})
	win := test.NewTempWindow(t, s.Box())
	win.Resize(size)
	s.Enter()
	return s, d, win
}

// read goes through it from the top to the end, and calls see at each stop.
func read(s *Screen, see func(stop int)) {
	for stop, before := 0, float32(-1); s.read.Top() != before; stop++ {
		before = s.read.Top()
		see(stop)
		s.Key(fyne.KeyPageDown)
	}
}

func TestWhatThePictureShowsIsWhatIsHeardInTheDemoTake(t *testing.T) {
	if testing.Short() {
		t.Skip("hears a whole take")
	}
	_, d, _ := open(t, fyne.NewSize(960, 640), false)
	uitest.ShowDemoTake(t, d)
	var heard []finding.Finding
	for _, f := range d.Shown.Hearing.Findings {
		if f.Kind == finding.SharpAfterShift {
			heard = append(heard, f)
		}
	}
	require.Len(t, heard, 1)
	is, drawn := heard[0], landed()
	assert.Equal(t, []any{drawn.Measure, drawn.ToMeasure, drawn.Pass, drawn.Beat, drawn.Trust, drawn.Value}, []any{is.Measure, is.ToMeasure, is.Pass, is.Beat, is.Trust, math.Round(is.Value)})
}

func TestTheHelpIsReadFromTopToEndInAWindowOfAnySize(t *testing.T) {
	if testing.Short() {
		t.Skip("goes through all of it")
	}
	for name, speak := range map[string]func() func(){"English": func() func() { return func() {} }, "a longer language": pseudo.Speak} {
		for _, size := range []fyne.Size{{Width: 640, Height: 700}, {Width: 960, Height: 560}, {Width: 1920, Height: 1000}} {
			done := speak()
			s, _, win := open(t, size, size.Width > 1000)
			all := map[string]bool{}
			read(s, func(stop int) {
				uitest.Keep(t, win, fmt.Sprintf("help %.0f %s %d", size.Width, name, stop))
				assert.Empty(t, uitest.Misplaced(win), "%s, %v, stop %d", name, size, stop)
				for _, x := range uitest.Texts(win) {
					all[x.Says] = true
				}
			})
			assert.Contains(t, all, "1 "+words.Say("help.piece"))
			assert.Contains(t, all, "8 "+words.Say("help.care"))
			assert.Contains(t, all, words.Say("sound.level.well-heard"), "a picture")
			done()
		}
	}
}

func TestAPictureIsNotPressedAndTheWheelGoesOnOverIt(t *testing.T) {
	s, _, win := open(t, fyne.NewSize(1280, 800), false)
	v := uitest.Find[*page.View](win)[0]
	v.Choose = func(int, int) { t.Error("nothing is chosen there") }
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(v).AddXY(v.Size().Width/2, v.Size().Height/3)
	test.TapCanvas(win.Canvas(), at)
	test.Scroll(win.Canvas(), at, 0, -120)
	assert.InDelta(t, 120, s.read.Top(), 1)
	s.Key(fyne.KeyHome)
	assert.Zero(t, s.read.Top())
}

func TestTheHelpFollowsDayAndNightWhereItIsRead(t *testing.T) {
	s, d, win := open(t, fyne.NewSize(1280, 600), false)
	s.Key(fyne.KeyPageDown)
	at := s.read.Top()
	require.NotZero(t, at)
	d.Change(func(set *remembered.Settings) { set.Dark = true })
	s.Refresh()
	assert.Equal(t, at, s.read.Top())
	for _, x := range s.chapters(ink.Look{Dark: true}) {
		if c, is := x.(*chapter); is {
			assert.NotEmpty(t, c.text)
		}
	}
	assert.Empty(t, uitest.Misplaced(win))
}
