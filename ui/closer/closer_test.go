package closer

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"endpin/ui/desk"
	"endpin/ui/ink"
	"endpin/ui/uitest"
)

// The drawing by day and by night: a late note, and another note than written.
func TestTheDrawingOfAMeasure(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(ink.Look{})
	d := desk.New(uitest.DemoScore(t), desk.Means{})
	uitest.ShowDemoTake(t, d)
	for name, c := range map[string]struct {
		measure int
		dark    bool
	}{"closer_day": {8, false}, "closer_night": {10, true}, "closer_shift": {4, false}} {
		d.LookCloser(c.measure)
		colours := ink.Look{Dark: c.dark}.Colours()
		p := newPlot()
		alone := test.NewTempWindow(t, container.NewStack(canvas.NewRectangle(colours.Paper), p))
		alone.Resize(fyne.NewSize(960, 300))
		p.show(d.Closer(), colours)
		test.AssertImageMatches(t, name+".png", alone.Canvas().Capture())
	}
}
