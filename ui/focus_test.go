package ui

import (
	"testing"

	"fyne.io/fyne/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/ui/prose"
	"endpin/ui/uitest"
)

// With the bass in both hands nobody looks where the keys go: a button that was pressed or
// come to by Tab, and a list to be chosen from, leave the space bar and the pedals to the desk.
func TestWhereverTheKeysGoSpaceStartsAndThePedalsDo(t *testing.T) {
	_, d, win, _, _ := sounding(t)
	uitest.Press(t, win, "−")
	assert.Nil(t, win.Canvas().Focused(), "a press leaves the keys to the desk")
	uitest.Press(t, win, "Plan")
	var all []fyne.Focusable
	for _, b := range uitest.Find[*prose.Button](win) {
		all = append(all, b)
	}
	for _, x := range uitest.Find[*prose.Drop](win) {
		all = append(all, x)
	}
	require.Greater(t, len(all), 20)
	for _, x := range all {
		win.Canvas().Focus(x)
		before := d.At()
		uitest.Key(win, fyne.KeyPageUp)
		assert.Equal(t, (before+1)%len(d.Between()), d.At(), "the left pedal goes on to the next deed")
	}
	qpm := d.Work.QPM
	for _, b := range uitest.Find[*prose.Button](win) {
		if b.Text == "−" {
			win.Canvas().Focus(b)
		}
	}
	uitest.Rune(win, '3')
	assert.Equal(t, "echo", string(d.Work.Way), "and so do keys that write")
	uitest.Key(win, fyne.KeyReturn)
	assert.Equal(t, qpm-1, d.Work.QPM, "Return presses it")
	win.Canvas().Focus(all[3])
	uitest.Key(win, fyne.KeySpace)
	assert.True(t, d.Running)
	d.Stop()
}
