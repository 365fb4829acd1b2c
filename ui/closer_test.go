package ui

import (
	"bytes"
	"sync"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
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

func TestATapOnTheFirstFindingLooksCloserAndEscapeCloses(t *testing.T) {
	w, d, win, _ := table(t)
	demoShown(t, d)
	win.Canvas().OnTypedRune()('c')
	require.NotNil(t, d.Closer())
	assert.Equal(t, "5", d.Closer().Number)
	assert.True(t, w.closer.box.Visible())
	look(t, win, "closer")
	win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyRight})
	assert.Equal(t, "6", d.Closer().Number)
	win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyEscape})
	assert.Nil(t, d.Closer())
	assert.False(t, w.closer.box.Visible())
	test.TapCanvas(win.Canvas(), fyne.NewPos(930, 160))
	require.NotNil(t, d.Closer())
}
