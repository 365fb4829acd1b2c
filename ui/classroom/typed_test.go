package classroom

import (
	"context"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"

	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/ui/desk"
	"endpin/ui/desk/classroom"
	"endpin/ui/ink"
	"endpin/ui/uitest"
)

func TestWhatIsTypedIsTakenOverWhetherItWasEnteredOrNot(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(ink.Look{})
	posted := make(chan func(), 100)
	asked := &classroom.Asked{}
	d := desk.New(uitest.DemoScore(t), desk.Means{
		Post: func(f func()) { posted <- f },
		HearClass: func(_ context.Context, c classroom.Asked, _ finding.Options, _ func(classroom.Told)) (*class.Term, string, error) {
			*asked = c
			return &class.Term{Sheets: []*class.Sheet{class.Gather(c.Scores[0].Piece, "", nil, nil, nil)}}, "class.html", nil
		},
	})
	win := test.NewTempWindow(t, widget.NewLabel(""))
	s := New(d, win, func() {})
	win.SetContent(s.Box())
	win.Resize(fyne.NewSize(1280, 800))
	d.OnChange(s.Refresh)
	s.Drop(t.TempDir())
	s.ask.measures.SetText("99")
	uitest.Press(t, win, "Hear the class")
	assert.False(t, s.Class.Going)
	assert.Contains(t, s.ask.message.Text, "99")
	s.ask.measures.SetText("5-8")
	s.ask.tempo.SetText("66")
	uitest.Press(t, win, "Hear the class")
	for s.Class.Going {
		(<-posted)()
	}
	assert.Equal(t, "5-8", asked.Measures)
	assert.Equal(t, 66.0, asked.QPM)
}
