package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/ui/mark"
	"endpin/ui/uitest"
)

// tapMeasure taps the page where a measure stands.
func tapMeasure(w *Window, win fyne.Window, measure int) {
	w.page.Bring(measure)
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(w.page)
	for y := at.Y + 40; y < at.Y+w.page.Size().Height; y += 20 {
		for x := at.X + 20; x < at.X+w.page.Size().Width; x += 20 {
			before := w.desk.Closer()
			test.TapCanvas(win.Canvas(), fyne.NewPos(x, y))
			if c := w.desk.Closer(); c != nil && c != before && c.Measure == measure {
				return
			}
		}
	}
}

func TestATapOnAMeasureOfTheTakeLooksCloserAndChoosesNothing(t *testing.T) {
	w, d, win, _ := table(t)
	uitest.ShowDemoTake(t, d)
	tapMeasure(w, win, 4)
	require.NotNil(t, d.Closer())
	assert.Equal(t, "5", d.Closer().Number)
	assert.Equal(t, "1-16", d.Range(), "the range to work on stays as it was")
	assert.True(t, w.closer.Box.Visible())
	assert.True(t, uitest.Reads(win, d.Shown.Hearing.Findings[0].Text))
	uitest.Keep(t, win, "closer")
	uitest.Press(t, win, "▸")
	assert.Equal(t, "6", d.Closer().Number)
	uitest.Press(t, win, "◂")
	uitest.Press(t, win, "◂")
	assert.Equal(t, "4", d.Closer().Number)
	assert.True(t, uitest.Reads(win, "Nothing stood out here."))
	uitest.Press(t, win, "Close  Esc")
	assert.False(t, w.closer.Box.Visible())
}

func TestKeysLookCloserMoveAboutAndClose(t *testing.T) {
	w, d, win, _ := table(t)
	key := func(k fyne.KeyName) { win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: k}) }
	win.Canvas().OnTypedRune()('c')
	assert.True(t, uitest.Reads(win, "Look closer once a take is shown: play one, or open one of the takes."))
	uitest.ShowDemoTake(t, d)
	win.Canvas().OnTypedRune()('c')
	require.NotNil(t, d.Closer(), "at what is worth mending first")
	key(fyne.KeyRight)
	assert.Equal(t, "6", d.Closer().Number)
	key(fyne.KeyLeft)
	assert.Equal(t, "5", d.Closer().Number)
	assert.Equal(t, "1-16", d.Range(), "no pedal's deed is done")
	win.Canvas().OnTypedRune()('r')
	assert.True(t, uitest.Reads(win, "There is no loudspeaker to play on."))
	key(fyne.KeyEscape)
	assert.Nil(t, d.Closer())
	assert.False(t, w.closer.Box.Visible())
	key(fyne.KeyPageUp)
	assert.Equal(t, 1, d.At(), "and the pedals are the pedals again")
}

func TestWithoutATakeATapChoosesAMeasure(t *testing.T) {
	_, d, win, _ := table(t)
	test.TapCanvas(win.Canvas(), fyne.NewPos(400, 160))
	assert.Nil(t, d.Closer())
	assert.NotEqual(t, "1-16", d.Range())
}

func TestAFindingInTheListBringsItsMeasureCloser(t *testing.T) {
	_, d, win, _ := table(t)
	uitest.ShowDemoTake(t, d)
	uitest.Press(t, win, "Takes")
	for _, o := range test.LaidOutObjects(win.Content()) {
		if l, ok := o.(*widget.Label); ok && strings.HasPrefix(l.Text, "Measure 9  ·  ") && strings.HasSuffix(l.Text, " ms late") {
			at := fyne.CurrentApp().Driver().AbsolutePositionForObject(l)
			test.TapCanvas(win.Canvas(), at.AddXY(20, 10))
		}
	}
	require.NotNil(t, d.Closer())
	assert.Equal(t, "9", d.Closer().Number)
	uitest.Keep(t, win, "closer_beside")
}

func TestAFindingIsPutAsideWithAReasonAndTakenBack(t *testing.T) {
	_, d, win, _ := table(t)
	uitest.ShowDemoTake(t, d)
	d.LookCloser(8)
	uitest.Press(t, win, "Put aside")
	uitest.Keep(t, win, "aside")
	uitest.PressOver(t, win, "That was the chair")
	reason, set := d.Dismissed(1)
	assert.True(t, set)
	assert.Equal(t, "That was the chair", reason)
	assert.True(t, uitest.Reads(win, "Put aside (That was the chair): "+d.Shown.Hearing.Findings[1].Text))
	marks := mark.ByMeasure(d.Shown.Hearing.Findings, d.Score.Piece.Measures, func(i int) bool { _, set := d.Dismissed(i); return set })
	assert.True(t, marks[8][0].Aside, "the page shows it as put aside")
	assert.False(t, marks[4][0].Aside)
	uitest.Press(t, win, "Take it back")
	_, set = d.Dismissed(1)
	assert.False(t, set)

	uitest.Press(t, win, "Put aside")
	uitest.TypeOver(t, win, "the cat")
	uitest.PressOver(t, win, "Save this reason")
	reason, _ = d.Dismissed(1)
	assert.Equal(t, "the cat", reason)
	uitest.Press(t, win, "Take it back")
	uitest.Press(t, win, "Put aside")
	uitest.PressOver(t, win, "Save this reason")
	_, set = d.Dismissed(1)
	assert.False(t, set, "no reason is none")
	uitest.PressOver(t, win, "Cancel")
	assert.Nil(t, win.Canvas().Overlays().Top())
}
