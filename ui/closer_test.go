package ui

import (
	"bytes"
	"sync"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/finding"
	"endpin/ui/desk"
)

var demo struct {
	sync.Once
	hearing *finding.Hearing
	heard   *dsp.Heard
}

// demoShown puts the demo take on the desk, heard by the code of the desk itself.
func demoShown(t *testing.T, d *desk.Desk) {
	t.Helper()
	demo.Do(func() {
		r, err := recording.Decode(assets.DemoTakeName, bytes.NewReader(assets.DemoTake))
		require.NoError(t, err)
		demo.heard, err = dsp.Listen(r, dsp.Bass)
		require.NoError(t, err)
		demo.hearing, err = finding.Judge(d.Score.Piece, demo.heard, desk.DefaultSettings().Judging())
		require.NoError(t, err)
	})
	d.Shown = &desk.Shown{Take: &desk.Take{Sound: "demo.wav"}, Hearing: demo.hearing, Heard: demo.heard}
	d.Say("")
}

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

// pressOver taps a button of the dialogue that lies over the window.
func pressOver(t *testing.T, win fyne.Window, label string) {
	t.Helper()
	top := win.Canvas().Overlays().Top()
	require.NotNil(t, top, "nothing lies over the window")
	for _, o := range test.LaidOutObjects(top) {
		if b, ok := o.(*widget.Button); ok && b.Text == label && b.Visible() {
			test.Tap(b)
			return
		}
	}
	t.Fatalf("there is no button %q over the window", label)
}

func typeOver(t *testing.T, win fyne.Window, text string) {
	t.Helper()
	for _, o := range test.LaidOutObjects(win.Canvas().Overlays().Top()) {
		if e, ok := o.(*widget.Entry); ok && e.Visible() {
			e.SetText(text)
			return
		}
	}
	t.Fatal("there is nothing to write in")
}

func TestATapOnAMeasureOfTheTakeLooksCloserAndChoosesNothing(t *testing.T) {
	w, d, win, _ := table(t)
	demoShown(t, d)
	tapMeasure(w, win, 4)
	require.NotNil(t, d.Closer())
	assert.Equal(t, "5", d.Closer().Number)
	assert.Equal(t, "1-16", d.Range(), "the range to work on stays as it was")
	assert.True(t, w.closer.box.Visible())
	assert.True(t, reads(win, "After the shift from first position to third position in measure 5, on the G string, your hand landed 31 cents sharp, about a centimetre too far toward the bridge and stayed there until the A in measure 7."))
	look(t, win, "closer")
	press(t, win, "▸")
	assert.Equal(t, "6", d.Closer().Number)
	press(t, win, "◂")
	press(t, win, "◂")
	assert.Equal(t, "4", d.Closer().Number)
	assert.True(t, reads(win, "Nothing to mend here."))
	press(t, win, "Close  Esc")
	assert.False(t, w.closer.box.Visible())
}

func TestKeysLookCloserMoveAboutAndClose(t *testing.T) {
	w, d, win, _ := table(t)
	key := func(k fyne.KeyName) { win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: k}) }
	win.Canvas().OnTypedRune()('c')
	assert.True(t, reads(win, "Look closer once a take is shown: play one, or open one of the takes."))
	demoShown(t, d)
	win.Canvas().OnTypedRune()('c')
	require.NotNil(t, d.Closer(), "at what is worth mending first")
	key(fyne.KeyRight)
	assert.Equal(t, "6", d.Closer().Number)
	key(fyne.KeyLeft)
	assert.Equal(t, "5", d.Closer().Number)
	assert.Equal(t, "1-16", d.Range(), "no pedal's deed is done")
	win.Canvas().OnTypedRune()('r')
	assert.True(t, reads(win, "There is no loudspeaker to play on."))
	key(fyne.KeyEscape)
	assert.Nil(t, d.Closer())
	assert.False(t, w.closer.box.Visible())
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
	demoShown(t, d)
	press(t, win, "Takes")
	for _, o := range test.LaidOutObjects(win.Content()) {
		if l, ok := o.(*widget.Label); ok && l.Text == "Measure 9  ·  242 ms late" {
			at := fyne.CurrentApp().Driver().AbsolutePositionForObject(l)
			test.TapCanvas(win.Canvas(), at.AddXY(20, 10))
		}
	}
	require.NotNil(t, d.Closer())
	assert.Equal(t, "9", d.Closer().Number)
	look(t, win, "closer_beside")
}

func TestAFindingIsPutAsideWithAReasonAndTakenBack(t *testing.T) {
	w, d, win, _ := table(t)
	demoShown(t, d)
	d.LookCloser(8)
	press(t, win, "Put aside")
	look(t, win, "aside")
	pressOver(t, win, "That was the chair")
	reason, set := d.Dismissed(1)
	assert.True(t, set)
	assert.Equal(t, "That was the chair", reason)
	assert.True(t, reads(win, "Put aside (That was the chair): In measure 9, beat 1, the D came 0.24 seconds late."))
	marks := w.marksOf(d.Shown.Hearing.Findings, func(i int) bool { _, set := d.Dismissed(i); return set })
	assert.True(t, marks[8][0].Aside, "the page shows it as put aside")
	assert.False(t, marks[4][0].Aside)
	press(t, win, "Take it back")
	_, set = d.Dismissed(1)
	assert.False(t, set)

	press(t, win, "Put aside")
	typeOver(t, win, "the cat")
	pressOver(t, win, "Keep this reason")
	reason, _ = d.Dismissed(1)
	assert.Equal(t, "the cat", reason)
	press(t, win, "Take it back")
	press(t, win, "Put aside")
	pressOver(t, win, "Keep this reason")
	_, set = d.Dismissed(1)
	assert.False(t, set, "no reason is none")
	pressOver(t, win, "Leave it")
	assert.Nil(t, win.Canvas().Overlays().Top())
}

// The drawing by day and by night: a late note, and another note than written.
func TestTheDrawingOfAMeasure(t *testing.T) {
	_, d, _, _ := table(t)
	demoShown(t, d)
	for name, c := range map[string]struct {
		measure int
		dark    bool
	}{"closer_day": {8, false}, "closer_night": {10, true}, "closer_shift": {4, false}} {
		d.LookCloser(c.measure)
		colours := Look{c.dark}.Colours()
		p := newPlot()
		alone := test.NewTempWindow(t, container.NewStack(canvas.NewRectangle(colours.Paper), p))
		alone.Resize(fyne.NewSize(960, 300))
		p.show(d.Closer(), colours)
		test.AssertImageMatches(t, name+".png", alone.Canvas().Capture())
	}
}
