package ui

import (
	"bytes"
	"fmt"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp/recording"
	"endpin/ui/desk"
	"endpin/ui/desk/playback"
	"endpin/ui/uitest"
)

// Somebody listens back by keys, presses a measure to hear it from there, drags over two to
// hear them again, and goes back to playing.
func TestATakeIsListenedToOnItsPage(t *testing.T) {
	w, d, win, _, pump := sounding(t, func(m *desk.Means) {
		m.Open = func(string) (playback.Recording, error) {
			return recording.Decode("demo.flac", bytes.NewReader(assets.DemoTake))
		}
	})
	uitest.ShowDemoTake(t, d)
	uitest.Rune(win, 'r')
	require.True(t, d.Listening.Playing())
	assert.True(t, uitest.Stands(win, "From the start"))
	assert.False(t, uitest.Stands(win, "▸  Work on this"), "it makes room")
	pump(func() bool { return d.Listening.Place.Measure > 0 })
	assert.True(t, uitest.Written(win, fmt.Sprintf("Measure %d  ·  ", d.Listening.Place.Measure+1)))
	assert.Empty(t, uitest.Misplaced(win))
	uitest.Keep(t, win, "listening")

	d.Settings.CautionSeen = true
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(w.page)
	for x := at.X + 20; d.Listening.Place.Measure != 4 && x < at.X+w.page.Size().Width; x += 20 {
		test.TapCanvas(win.Canvas(), fyne.NewPos(x, at.Y+90))
	}
	assert.Equal(t, 4, d.Listening.Place.Measure)
	assert.Nil(t, d.Closer(), "a press is where to hear from")
	w.page.Choose(4, 5)
	assert.True(t, uitest.Reads(win, "Loop: measures 5–6. Drag over others to hear those."))
	assert.Equal(t, "1-16", d.Range(), "what is worked on stays")
	uitest.Press(t, win, "Slower")
	uitest.Press(t, win, "The line, softly")
	uitest.Press(t, win, "Louder")
	assert.Equal(t, 1, d.Volume.Step())
	require.True(t, d.Listening.Playing())
	uitest.Key(win, fyne.KeySpace)
	assert.False(t, d.Listening.Playing())
	assert.True(t, uitest.Stands(win, "▸  Play"))
	uitest.Key(win, fyne.KeyPageDown)
	assert.True(t, d.Listening.Playing(), "the pedal plays too")
	uitest.Key(win, fyne.KeyEscape)
	assert.False(t, d.Listening.Playing())
	uitest.Key(win, fyne.KeyEscape)
	assert.False(t, d.Listening.Open)
	assert.True(t, uitest.Stands(win, "▸  Work on this"))

	d.LookCloser(8)
	uitest.Rune(win, 'f')
	assert.Nil(t, d.Closer())
	assert.Equal(t, 8, d.Listening.Place.Measure, "and from the closer look")
	d.Start()
	assert.False(t, d.Listening.Open, "whoever plays listens no longer")
	d.Stop()
}

// By two pedals: after a whole take one goes on to listening, the other begins it.
func TestATakeIsListenedToByPedals(t *testing.T) {
	_, d, win, _, _ := sounding(t)
	uitest.ShowDemoTake(t, d)
	for range 12 {
		if uitest.Stands(win, "▸  Listen to it") {
			break
		}
		uitest.Key(win, fyne.KeyPageUp)
	}
	require.True(t, uitest.Stands(win, "▸  Listen to it"))
	uitest.Key(win, fyne.KeyPageDown)
	assert.True(t, d.Listening.Open)
}
