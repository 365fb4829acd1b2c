package ui

import (
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/sound"
	"endpin/ui/desk"
	"endpin/ui/desk/room"
	"endpin/ui/desk/work"
	"endpin/ui/ink"
	"endpin/ui/uitest"
)

// sounding is a window on a desk whose sound card pretends: sound passes while one
// waits for something by pump.
func sounding(t *testing.T, also ...func(*desk.Means)) (w *Window, d *desk.Desk, win fyne.Window, card *sound.Pretend, pump func(func() bool)) {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(ink.Look{})
	posted := make(chan func(), 1000)
	card = sound.NewPretend(44100)
	means := desk.Means{Post: func(f func()) { posted <- f }, Computer: room.Computer{Card: sound.New(card)}}
	for _, f := range also {
		f(&means)
	}
	d = desk.New(uitest.DemoScore(t), means)
	win = test.NewTempWindow(t, widget.NewLabel(""))
	w = New(d, win, true)
	win.Resize(fyne.NewSize(1280, 800))
	t.Cleanup(d.Leave)
	return w, d, win, card, func(until func() bool) {
		end := time.After(2 * time.Minute)
		for !until() {
			select {
			case f := <-posted:
				f() // and no sound passes while the window is drawn, which may take its time
			case <-time.After(10 * time.Millisecond): // as long as it sounds: what is played is made ready meanwhile
				if card.Ready(441) {
					card.Step(441)
				}
			case <-end:
				t.Fatal("nothing more happened")
			}
		}
	}
}

func TestWhatSoundsIsChosenOnTheBar(t *testing.T) {
	_, d, win, _, _ := sounding(t)
	uitest.Press(t, win, "Drone")
	assert.Equal(t, work.SoundDrone, d.Settings.Sounds)
	uitest.Press(t, win, "The line")
	assert.Contains(t, d.Message, "for headphones")
	uitest.Press(t, win, "2  Play alone")
	assert.False(t, uitest.Stands(win, "Drone"), "nothing sounds where one plays alone")
	uitest.Press(t, win, "3  Echo")
	uitest.Press(t, win, "Nothing")
	assert.Equal(t, work.SoundLine, d.Settings.Sounds, "the line is the desk's turn, and nothing sounds in the player's")
	win.Canvas().OnTypedRune()('s')
	assert.Equal(t, work.SoundClick, d.Settings.Sounds, "a key goes round")
}

func TestTheLevelStandsOnTheWindowInWords(t *testing.T) {
	_, d, win, card, pump := sounding(t)
	card.Set(func(p *sound.Pretend) { p.Room = func(i int64) float32 { return 2 * float32(i%100-50) / 50 } })
	uitest.Press(t, win, "Start")
	require.True(t, d.Running)
	pump(func() bool { return uitest.Reads(win, "Too loud") })
	assert.True(t, uitest.Reads(win, "The microphone is too loud and cuts off the sound; turn its level down or move it away."))
	assert.True(t, uitest.Stands(win, "Stop"))
	uitest.Keep(t, win, "level")
}

func TestTheDelayIsMeasuredInTheSettings(t *testing.T) {
	_, d, win, card, pump := sounding(t)
	card.Set(func(p *sound.Pretend) { p.Delay, p.Gain = 2205, 0.1 })
	uitest.Press(t, win, "Settings")
	pump(func() bool { return d.Loud.On && uitest.Reads(win, d.Loud.Word) })
	uitest.Press(t, win, "Measure the delay")
	assert.True(t, uitest.Stands(win, "Stop measuring"))
	pump(func() bool { return !d.Measuring() })
	assert.True(t, uitest.Reads(win, "Measured: the sound is heard 50 ms later than the devices say. From now on it is counted in."))
	uitest.Keep(t, win, "settings")
	uitest.Press(t, win, "Page")
	assert.False(t, d.Loud.On, "the microphone is let go")
}
