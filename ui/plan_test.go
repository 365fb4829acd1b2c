package ui

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/notation"
	"endpin/ui/desk"
	"endpin/ui/desk/pieces"
	"endpin/ui/desk/score"
	"endpin/ui/ink"
	"endpin/ui/prose"
	"endpin/ui/uitest"
)

func TestAPressTakesTheOtherFingeringAndAnotherGivesItBack(t *testing.T) {
	p, err := notation.Read("tune.abc", []byte("X:1\nT:A line\nM:4/4\nL:1/4\nQ:1/4=80\nK:C clef=bass\nG,A,B,C|B,2A,2|G,F,E,D,|C,4|\n"))
	require.NoError(t, err)
	for _, size := range []fyne.Size{{Width: 960, Height: 640}, {Width: 1280, Height: 800}, {Width: 1920, Height: 1080}} {
		dark := size.Width == 1280
		test.NewTempApp(t).Settings().SetTheme(ink.Look{Dark: dark})
		d := desk.New(score.New(p, "tune.abc"), desk.Means{Post: func(f func()) { f() }, Folder: t.TempDir()})
		d.Settings.Dark, d.Settings.CautionSeen = dark, true
		win := test.NewTempWindow(t, widget.NewLabel(""))
		New(d, win, true)
		win.Resize(size)
		uitest.Press(t, win, "Plan")
		uitest.Keep(t, win, fmt.Sprintf("plan-%.0f", size.Width))
		before := d.Score
		assert.True(t, uitest.Reads(win, "School of fingering"))
		for _, drop := range uitest.Find[*prose.Drop](win) {
			if slices.Contains(drop.Options, "first-year") {
				drop.SetSelected("four-fingers")
			}
		}
		assert.Equal(t, "four-fingers", d.Score.Piece.School)
		assert.True(t, uitest.Reads(win, "A finger for each semitone: a minor third under the hand."))
		uitest.Keep(t, win, fmt.Sprintf("plan-school-%.0f", size.Width))
		uitest.Press(t, win, "Back to the fingering of the file")
		other := d.OtherFingerings()[0]
		uitest.Press(t, win, "Take it so: "+other.Or)
		require.True(t, d.Fingered())
		atTheEnd := func() (all []*container.Scroll) {
			for _, s := range uitest.Find[*container.Scroll](win) {
				if s.ScrollToBottom(); s.Offset.Y > 0 {
					all = append(all, s)
				}
			}
			return all
		}
		scrolled := atTheEnd()
		uitest.Keep(t, win, fmt.Sprintf("plan-taken-%.0f", size.Width))
		uitest.Press(t, win, "Write the piece with this fingering")
		assert.NotNil(t, win.Canvas().Overlays().Top(), "it asks where to")
		win.Canvas().Overlays().Top().Hide()
		win.Canvas().Overlays().Remove(win.Canvas().Overlays().Top())
		uitest.Press(t, win, "Back to the fingering of the file")
		assert.Same(t, before, d.Score)
		for _, s := range scrolled {
			assert.LessOrEqual(t, s.Offset.Y, max(0, s.Content.Size().Height-s.Size().Height), "a list that is shorter now stands where it ends")
		}
		assert.False(t, uitest.Stands(win, "Write the piece with this fingering"))
	}
}

// What is to be done stands first; a tick marks it as done, and the minutes left go down.
func TestThePlanBeginsWithSomethingToDoAndCountsWhatIsLeft(t *testing.T) {
	w, d, win, _ := table(t)
	uitest.ShowDemoTake(t, d)
	uitest.Press(t, win, "Plan")
	var first []string
	for _, b := range uitest.Find[*prose.Button](win) {
		if strings.Contains(b.Text, "min  ·  ") {
			first = append(first, b.Text)
		}
	}
	require.NotEmpty(t, first)
	var said []string
	for _, l := range uitest.Find[*widget.Label](win) {
		said = append(said, l.Text)
	}
	at := func(begins string) int {
		return slices.IndexFunc(said, func(s string) bool { return strings.HasPrefix(s, begins) })
	}
	require.GreaterOrEqual(t, at("To begin with, something easy"), 0)
	assert.Less(t, at("To begin with, something easy"), at("What this plan goes by"))
	assert.False(t, uitest.Written(win, "left in all"), "nothing was begun")

	uitest.Press(t, win, first[0])
	assert.Equal(t, 0, d.Plan.Now.At)
	assert.Equal(t, "Start", d.Between()[d.At()].Name, "whatever the take would ask for")
	require.Equal(t, "1-4", d.Range())
	assert.Zero(t, w.page.Offset(), "its measures are in sight")
	assert.True(t, uitest.Seen(win.Content(), func(o fyne.CanvasObject) bool {
		b, is := o.(*prose.Button)
		return is && strings.Join(strings.Fields(b.Text), " ") == strings.Join(strings.Fields(first[0]+" · 1 minute left"), " ")
	}))
	before := d.Plan.Now.LeftInAll(d.Now())
	test.Tap(uitest.Find[*prose.Tick](win)[0])
	assert.True(t, d.Plan.Now.Done[0])
	assert.Equal(t, before-1, d.Plan.Now.LeftInAll(d.Now()))
	assert.True(t, uitest.Written(win, fmt.Sprintf("%d minutes left in all", before-1)))
	assert.Empty(t, uitest.Misplaced(win))
}

// A press beside the plan makes a drill, which is a piece as any other, and another leads
// back to what lay there.
func TestADrillIsMadeByAPressAndAPressLeadsBack(t *testing.T) {
	s := newStand(t)
	uitest.Key(s.win, fyne.KeyReturn) // the demo
	s.settle(t)
	require.NoError(t, s.d.TypeRange("5-8"))
	uitest.Press(t, s.win, "Plan")
	assert.True(t, uitest.Stands(s.win, "5"), "of measure 5, where the hand shifts")
	uitest.Press(t, s.win, "G major, one octave")
	s.settle(t)
	assert.Equal(t, "G major, one octave – Endpin", s.win.Title())
	assert.Empty(t, uitest.Misplaced(s.win))
	uitest.Press(t, s.win, "Back to Stairs to the Loft")
	s.settle(t)
	assert.True(t, s.d.Score.Demo)
	assert.Equal(t, "5-8", s.d.Range(), "as it lay there")
	menu := s.win.MainMenu()
	for _, m := range menu.Items {
		for _, i := range m.Items {
			if i.Label == "The shift in the measures chosen, on each string" {
				i.Action()
			}
		}
	}
	s.settle(t)
	assert.Equal(t, "The shift of measure 5, on each string: Stairs to the Loft", s.d.Score.Title())
	assert.True(t, slices.ContainsFunc(s.d.Pieces.List(), func(p *pieces.Piece) bool { return p.Content == s.d.Score.Content }), "and stands on the shelf")
}
