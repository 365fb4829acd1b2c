package ui

import (
	"context"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/attempt"
	"endpin/ui/desk/ear"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/room"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/work"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/mark"
	"endpin/ui/page"
	"endpin/ui/plan"
	"endpin/ui/prose"
	"endpin/ui/uitest"
)

// table is a window on a desk without sound; posted is what it has still to do.
func table(t *testing.T) (*Window, *desk.Desk, fyne.Window, chan func()) {
	t.Helper()
	return tableWhere(t, func(context.Context) error { return nil })
}

// tableWhere is one on which hearing takes as long as it is told to.
func tableWhere(t *testing.T, hearing func(context.Context) error) (*Window, *desk.Desk, fyne.Window, chan func()) {
	t.Helper()
	a := test.NewTempApp(t)
	a.Settings().SetTheme(ink.Look{})
	posted := make(chan func(), 100)
	d := desk.New(uitest.DemoScore(t), desk.Means{
		Post:   func(f func()) { posted <- f },
		Folder: t.TempDir(),
		Now:    func() time.Time { return time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC) },
		Ear: ear.Ear{Hear: func(ctx context.Context, _ *score.Score, _ string, _ finding.Options, _ func(float64)) (*finding.Hearing, *dsp.Heard, error) {
			return uitest.Told(), &dsp.Heard{}, hearing(ctx)
		}},
	})
	win := test.NewTempWindow(t, widget.NewLabel(""))
	w := New(d, win, true)
	win.Resize(fyne.NewSize(1280, 800))
	return w, d, win, posted
}

func TestAStudentChoosesAWayAndATempoByWhatStandsOnTheButtons(t *testing.T) {
	w, d, win, _ := table(t)
	uitest.Press(t, win, "2  Play alone")
	assert.Equal(t, work.PlayAlone, d.Work.Way)
	uitest.Press(t, win, "−")
	assert.Equal(t, 83.0, d.Work.QPM)
	uitest.Press(t, win, "+")
	uitest.Press(t, win, "+")
	assert.Equal(t, 85.0, d.Work.QPM)
	uitest.Press(t, win, "Start")
	assert.True(t, uitest.Reads(win, "This computer has no microphone; plug one in and try again."), "one sentence, and nothing lost")
	assert.False(t, d.Running)
	uitest.Press(t, win, "Tuning")
	assert.False(t, w.message.Box.Visible(), "what was said was said of the page")
}

func TestKeysReachWhatAPedalNeeds(t *testing.T) {
	_, d, win, _ := table(t)
	key := func(k fyne.KeyName) { win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: k}) }
	win.Canvas().OnTypedRune()('3')
	assert.Equal(t, work.Echo, d.Work.Way)
	require.NoError(t, d.TypeRange("1-4"))
	key(fyne.KeyPageUp)
	key(fyne.KeyPageDown)
	assert.Equal(t, "5-8", d.Range())
	d.Change(func(s *remembered.Settings) { s.Pedals = remembered.ArrowsAcross })
	key(fyne.KeyLeft)
	key(fyne.KeyRight)
	assert.Equal(t, "1-4", d.Range(), "the next deed is to go back")
}

func TestArrowsScrollWhereTheyAreNoPedals(t *testing.T) {
	w, d, win, _ := table(t)
	top := func() float32 { return w.page.Offset() }
	uitest.Key(win, fyne.KeyDown)
	assert.Greater(t, top(), float32(0))
	assert.Empty(t, d.Message, "and no take begins, which would miss its microphone")
	uitest.Key(win, fyne.KeyUp)
	assert.Zero(t, top())
	d.Change(func(s *remembered.Settings) { s.Pedals = remembered.ArrowsUpright })
	uitest.Key(win, fyne.KeyDown)
	assert.Zero(t, top())
	assert.Contains(t, d.Message, "no microphone")
}

func TestWithAChoiceFromAListTheKeysAreTheDesksAgain(t *testing.T) {
	w, d, win, _ := table(t)
	uitest.Press(t, win, "Plan")
	test.Tap(w.plan.Minutes)
	menu := win.Canvas().Overlays().Top()
	require.NotNil(t, menu)
	uitest.Key(win, fyne.KeyEscape)
	uitest.Rune(win, '2')
	assert.Equal(t, work.PlayAlone, d.Work.Way, "also where nothing was chosen")
	win.Canvas().Focus(w.plan.Minutes)
	uitest.Key(win, fyne.KeyReturn)
	require.NotNil(t, win.Canvas().Overlays().Top(), "Return opens it where the keys go there")
	uitest.Key(win, fyne.KeyDown)
	uitest.Key(win, fyne.KeyReturn)
	assert.Equal(t, "10 minutes", w.plan.Minutes.Selected, "and arrows choose")
	uitest.Rune(win, '3')
	assert.Equal(t, work.Echo, d.Work.Way)
}

func TestWhatIsAskedIsAnsweredByReturnAndLeftByEscape(t *testing.T) {
	w, d, win, _ := table(t)
	uitest.ShowDemoTake(t, d)
	d.Takes = []*shelf.Take{d.Shown.Take}
	remove := func() {
		uitest.Press(t, win, "Takes")
		uitest.Press(t, win, "All takes")
		uitest.Press(t, win, "Remove")
		uitest.Press(t, win, "Takes")
	}
	remove()
	uitest.Key(win, fyne.KeyEscape)
	assert.Len(t, d.Takes, 1)
	remove()
	uitest.Key(win, fyne.KeyReturn)
	assert.Empty(t, d.Takes)
	assert.Nil(t, win.Canvas().Overlays().Top())
	uitest.Rune(win, '?')
	require.NotNil(t, win.Canvas().Overlays().Top(), "the keys")
	uitest.Key(win, fyne.KeyReturn)
	assert.Nil(t, win.Canvas().Overlays().Top())
	w.asked.Make()
	line := win.Canvas().Focused()
	require.NotNil(t, line, "where one writes at once")
	line.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	assert.Nil(t, win.Canvas().Overlays().Top(), "out of a line, too, once is enough")
	assert.Zero(t, w.tabs.at)
}

func TestF1ShowsTheFirstTenMinutesAndLeadsBackToWhereOneWas(t *testing.T) {
	w, d, win, _ := table(t)
	w.caution()
	for _, b := range buttons(win.Canvas().Overlays().Top().(*widget.PopUp).Content) {
		if b.Text == "The first ten minutes" {
			b.OnTapped()
		}
	}
	assert.Nil(t, win.Canvas().Overlays().Top())
	assert.True(t, d.Settings.CautionSeen)
	assert.True(t, w.help.Box().Visible(), "from the first day's caution")
	uitest.Key(win, fyne.KeyEscape)
	assert.Zero(t, w.tabs.at)
	for _, from := range []int{0, 4} {
		w.tabs.show(from)
		for _, leave := range []func(){func() { uitest.Key(win, fyne.KeyF1) }, func() { uitest.Key(win, fyne.KeyEscape) }, func() { uitest.Press(t, win, "Back  Esc") }} {
			uitest.Key(win, fyne.KeyF1)
			require.True(t, w.help.Box().Visible())
			leave()
			assert.Equal(t, from, w.tabs.at)
			assert.False(t, w.help.Box().Visible())
		}
	}
	uitest.Key(win, fyne.KeyF1)
	uitest.Press(t, win, "All keys  ?")
	require.NotNil(t, win.Canvas().Overlays().Top())
	uitest.Key(win, fyne.KeyEscape)
	assert.True(t, w.help.Box().Visible(), "the keys are left, and the help stays")
	uitest.Key(win, fyne.KeySpace)
	assert.False(t, d.Running, "no key of the page's does anything there")
}

func TestTheMenuHoldsAllThatTheWindowDoes(t *testing.T) {
	w, d, win, _ := table(t)
	items := map[string]*fyne.MenuItem{}
	for _, m := range win.MainMenu().Items {
		for _, i := range m.Items {
			items[i.Label] = i
		}
	}
	require.Contains(t, items, "Echo   3")
	assert.True(t, items["Play along   1"].Checked, "what is so is ticked")
	items["Echo   3"].Action()
	assert.Equal(t, work.Echo, d.Work.Way)
	assert.True(t, items["Echo   3"].Checked)
	assert.False(t, items["Play along   1"].Checked)
	items["Settings"].Action()
	assert.Equal(t, 4, w.tabs.at)
	for name, key := range map[string]fyne.KeyName{"Open a recording …   Ctrl+R": fyne.KeyR, "Quit   Ctrl+Q": fyne.KeyQ} { // written as all are, and no second time
		require.Contains(t, items, name)
		assert.Equal(t, (&desktop.CustomShortcut{KeyName: key, Modifier: fyne.KeyModifierControl}).ShortcutName(), items[name].Shortcut.ShortcutName())
		assert.NotImplements(t, (*fyne.KeyboardShortcut)(nil), items[name].Shortcut)
	}
}

func TestASettingThatIsRefusedSaysItsRangeAndWhy(t *testing.T) {
	_, d, win, _ := table(t)
	uitest.Press(t, win, "Settings")
	a4 := uitest.Find[*prose.Entry](win)[0]
	win.Canvas().Focus(a4)
	a4.SetText("44")
	uitest.Key(win, fyne.KeyReturn)
	assert.Equal(t, `"44" is no reference A: write 392 to 466 Hz, between which basses are tuned.`, d.Message)
	assert.Equal(t, 440.0, d.Settings.A4)
	win.Canvas().Unfocus()
	assert.Equal(t, "440", a4.Text, "what holds stands there again")
	win.Canvas().Focus(a4)
	a4.SetText("442")
	win.Canvas().Unfocus()
	assert.Equal(t, 442.0, d.Settings.A4)
	assert.Empty(t, d.Message)
	uitest.Press(t, win, "night")
	assert.True(t, d.Settings.Dark)
	uitest.Press(t, win, "large")
	assert.Equal(t, 2, d.Settings.Size)
	for _, b := range uitest.Find[*prose.Button](win) {
		switch b.Text {
		case "night", "large":
			assert.Equal(t, widget.SuccessImportance, b.Importance, b.Text)
		case "day", "small", "middle":
			assert.Equal(t, widget.MediumImportance, b.Importance, b.Text)
		}
	}
}

func TestNoKeyReachesTheDeskUnderADialogue(t *testing.T) {
	w, d, win, _ := table(t)
	key := func(k fyne.KeyName) { win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: k}) }
	rune := func(r rune) { win.Canvas().OnTypedRune()(r) }
	asked := func() int { return len(win.Canvas().Overlays().List()) }
	w.tabs.show(1)
	for _, screen := range []int{1, 0} {
		w.tabs.show(screen)
		rune('o')
		require.Equal(t, 1, asked())
		work := d.Work
		for _, k := range []fyne.KeyName{fyne.KeySpace, fyne.KeyPageDown, fyne.KeyPageUp} {
			key(k)
		}
		for _, r := range "o52+-tlpds" {
			rune(r)
		}
		assert.Equal(t, work, d.Work)
		assert.Equal(t, "", d.Message, "a take that was begun would miss its microphone")
		assert.False(t, d.Settings.Dark)
		assert.Equal(t, 1, asked())
		key(fyne.KeyEscape)
		assert.Zero(t, asked(), "Escape leaves the dialogue")
		assert.Equal(t, screen, w.tabs.at, "and nothing but the dialogue")
	}
	rune('2')
	assert.Equal(t, work.PlayAlone, d.Work.Way, "keys are keys again")
	w.tabs.show(1)
	key(fyne.KeyEscape)
	assert.Equal(t, 0, w.tabs.at)
}

// The bang stands before what does not go, and before nothing else.
func TestWhatIsTypedWronglyIsMarkedUntilTheLineIsLeft(t *testing.T) {
	w, d, win, _ := table(t)
	d.Say(words.Say("desk.sound.headphones"))
	assert.False(t, uitest.Reads(win, "!"), "a hint")
	win.Canvas().Focus(w.bar.tempo)
	w.bar.tempo.SetText("900")
	uitest.Key(win, fyne.KeyReturn)
	assert.True(t, uitest.Reads(win, "!"))
	assert.True(t, uitest.Reads(win, d.Message), d.Message)
	uitest.Key(win, fyne.KeyEscape)
	assert.Empty(t, d.Message)
	assert.False(t, uitest.Reads(win, "!"))
	d.Fault(words.Say("desk.sound.headphones"))
	win.Canvas().Focus(w.bar.tempo)
	uitest.Key(win, fyne.KeyEscape)
	assert.NotEmpty(t, d.Message, "what else does not go stays")
}

func TestEscapeLeavesWhatIsTypedBeforeItLeavesTheScreen(t *testing.T) {
	w, d, win, _ := table(t)
	win.Canvas().Focus(w.bar.tempo)
	w.bar.tempo.SetText("9")
	uitest.Key(win, fyne.KeyEscape)
	assert.Nil(t, win.Canvas().Focused())
	assert.Equal(t, "84", w.bar.tempo.Text, "as it was")
	assert.Equal(t, 84.0, d.Work.QPM)
	uitest.Press(t, win, "Class")
	entry := uitest.Find[*prose.Entry](win)[0]
	win.Canvas().Focus(entry)
	uitest.Key(win, fyne.KeyEscape)
	assert.Nil(t, win.Canvas().Focused())
	assert.True(t, w.class.Box().Visible(), "the screen stays")
	uitest.Key(win, fyne.KeyEscape)
	assert.True(t, w.desktop.Visible())
}

func TestTheCautionIsReadHoweverItIsLeft(t *testing.T) {
	for _, leave := range []func(fyne.Window){
		func(win fyne.Window) { uitest.Key(win, fyne.KeyEscape) },
		func(win fyne.Window) { uitest.PressOver(t, win, "I have read it") },
	} {
		_, d, win, _ := table(t)
		New(d, win, false)
		require.NotNil(t, win.Canvas().Overlays().Top())
		leave(win)
		assert.Nil(t, win.Canvas().Overlays().Top())
		assert.True(t, d.Settings.CautionSeen)
	}
}

func TestARecordingThatIsOpenedPutsItsFindingsUnderTheMeasures(t *testing.T) {
	_, d, win, posted := table(t)
	d.Open("mine.wav")
	for d.Judging {
		(<-posted)()
	}
	marks := mark.ByMeasure(d.Shown.Hearing.Findings, d.Score.Piece.Measures, nil)
	require.Len(t, marks, 4, "each measure that a finding names")
	assert.Equal(t, "+31 cents after shift", marks[4][0].Text)
	assert.True(t, marks[5][0].GoesOn && marks[6][0].GoesOn)
	assert.True(t, marks[8][0].Fair)
	uitest.Press(t, win, "Takes")
	assert.True(t, uitest.Reads(win, "First: After the shift in measure 5 your hand landed 31 cents sharp."))
	d.Shown.Hearing.WorthFixing = []int{1, 0} // what is worth more comes later in the music
	d.Dismiss(1, "")
	anew := *d.Shown
	d.Shown = &anew
	d.Say("")
	assert.True(t, uitest.Reads(win, "First: Perhaps: in measure 9 the D came 0.24 seconds late."))
	assert.True(t, uitest.Reads(win, "Then: After the shift in measure 5 your hand landed 31 cents sharp."))
	d.Dismiss(1, "That was the chair")
	assert.True(t, uitest.Reads(win, "First: After the shift in measure 5 your hand landed 31 cents sharp."), "what is put aside has no turn")
	d.Dismiss(1, "")
	uitest.Keep(t, win, "findings")
	for name, dark := range map[string]bool{"day": false, "night": true} {
		c := ink.Look{Dark: dark}.Colours()
		view := page.New(d.Score.Piece, d.Score.Line, &d.Score.Plan, spaces[1], c)
		alone := test.NewTempWindow(t, container.NewStack(canvas.NewRectangle(c.Paper), view))
		alone.Resize(fyne.NewSize(1100, 640))
		view.SetMarks(marks)
		view.SetRange(4, 6)
		view.SetCursor(4, 0.5)
		test.AssertImageMatches(t, "page_"+name+".png", alone.Canvas().Capture())
	}
}

func TestThePlanStandsBesideThePageAndSetsTheDesk(t *testing.T) {
	w, d, win, _ := table(t)
	uitest.Press(t, win, "Plan")
	made, err := d.Plan.Make(20)
	require.NoError(t, err)
	assert.True(t, uitest.Reads(win, made.Items[0].Why), "what to do, and why")
	assert.True(t, uitest.Reads(win, made.Caution))
	for minutes := range w.plan.Minutes.Options {
		w.plan.Minutes.SetSelectedIndex(minutes)
		assert.LessOrEqual(t, w.plan.Items.MinSize().Width, float32(plan.Width-fit.BesideBar), "nothing runs under the scroll bar")
	}
	w.plan.Minutes.SetSelectedIndex(1)
	uitest.Press(t, win, "1 min  ·  echo  ·  measure 7  ·  ♩ = 84")
	assert.Equal(t, work.Echo, d.Work.Way)
	assert.Equal(t, "7", d.Range())
	uitest.Keep(t, win, "plan")
	uitest.Press(t, win, "Takes")
	assert.True(t, w.side.Box.Visible() && !w.plan.Box.Visible(), "one thing beside the page at a time")
}

func TestNothingMovesWhenAMessageComes(t *testing.T) {
	w, d, win, _ := table(t)
	before := w.page.Size()
	for _, said := range []string{"This computer has no microphone; plug one in and try again.",
		"One take at a time: wait until this one is heard, or cancel it, then open the recording that you want to hear beside it."} {
		d.Say(said)
		assert.True(t, uitest.Reads(win, said))
		assert.Equal(t, before, w.page.Size(), said)
	}
}

func TestNobodyIsToldThatNothingIsHeardBeforeItIsHisTurn(t *testing.T) {
	w, d, win, _ := table(t)
	const silent = "Nothing is heard; see whether the microphone is switched on and chosen."
	d.Running, d.Loud = true, room.Loudness{On: true, Level: -1, Say: silent}
	for name, live := range map[string]attempt.Live{"the desk plays": {First: true}, "the desk counts": {Phase: attempt.Counting, Count: 2, Measure: -1}} {
		d.Live = live
		d.Say("")
		assert.False(t, uitest.Reads(win, silent), name)
	}
	d.Live = attempt.Live{Measure: 1}
	d.Say("")
	assert.True(t, uitest.Reads(win, silent))
	d.Work.Way = work.Echo
	for says, live := range map[string]attempt.Live{"Listen": {First: true}, "Count-in": {Phase: attempt.Playing, Count: 3, Measure: -1}, "Your turn": {Phase: attempt.Playing, Measure: 0}} {
		d.Live = live
		d.Say("")
		assert.Equal(t, says, w.head.Says())
	}
	d.Running = false
}

func TestWhatGoesOnIsRatherSmallThanCutOff(t *testing.T) {
	w, d, win, _ := table(t)
	for _, wide := range []float32{640, 960, 1280} {
		win.Resize(fyne.NewSize(wide, 640))
		d.Running, d.Live = true, attempt.Live{Phase: attempt.Playing, Measure: 1}
		d.Say("")
		assert.Equal(t, "Listening for you", w.head.Says())
		assert.True(t, uitest.Reads(win, d.Score.Title()))
		d.Running = false
		uitest.ShowDemoTake(t, d)
		assert.True(t, strings.HasPrefix(w.head.Says(), "Take of 1 January, 00:00"), "%.0f: %s", wide, w.head.Says())
	}
}

func TestInALowWindowWhatATakeCameToHasTheRoomOfTheBar(t *testing.T) {
	w, d, win, _ := table(t)
	win.Resize(fyne.NewSize(960, 640-38))
	assert.True(t, w.bar.box.Visible())
	uitest.ShowDemoTake(t, d)
	d.Result = &desk.Result{Says: "Steady at 84; the hand lands sharp in measures 5–7."}
	d.Say("")
	assert.False(t, w.bar.box.Visible())
	at := func(label string) (size fyne.Size) {
		for _, b := range uitest.Find[*prose.Button](win) {
			if b.Text == label {
				size = b.Size()
			}
		}
		return size
	}
	assert.Greater(t, at("▸  Work on this").Height, float32(120), "capitals of some twelve millimetres")
	assert.GreaterOrEqual(t, w.page.Size().Height, float32(150), "and a staff is left")
	assert.True(t, uitest.Reads(win, "◂  Start"), "and so does what the other pedal does")
	assert.Empty(t, uitest.Misplaced(win))
	uitest.Press(t, win, "Ways and tempo")
	assert.True(t, w.bar.box.Visible())
	assert.Empty(t, uitest.Misplaced(win))
	d.Result = &desk.Result{Says: "Nothing to mend."}
	d.Say("")
	require.False(t, w.bar.box.Visible(), "the next take has it again")
	uitest.Rune(win, '+')
	assert.True(t, w.bar.box.Visible(), "until something is chosen")
}

// Twelve millimetres are six minutes of arc at more than six metres: who stands at the
// bass, two metres away, reads them without looking for them.
func TestWhileSomebodyPlaysTheCountAndHowTheNoteLiesAreReadFromTwoMetres(t *testing.T) {
	w, d, win, _ := table(t)
	win.Resize(fyne.NewSize(1920, 1080))
	before := w.bar.box.Size()
	reads := func(l attempt.Live) *canvas.Text {
		d.Running, d.Live = true, l
		d.Say("")
		return w.bar.far.Says()
	}
	const capitals = 0.71            // of the size of letters
	const pixel = 14 * 25.4 / 2203.0 // mm, of a screen of 14 inches across and 1920 by 1080
	for says, l := range map[string]attempt.Live{
		"3":         {Phase: attempt.Counting, Count: 3, Measure: -1},
		"+31 cents": {Note: attempt.Sounding{Cents: 31}},
		"−18 cents": {Note: attempt.Sounding{Cents: -18}},
	} {
		sign := reads(l)
		assert.Equal(t, says, sign.Text)
		assert.GreaterOrEqual(t, float64(sign.TextSize)*capitals*pixel, 11.5, says)
	}
	stop := float32(0)
	for _, text := range uitest.Find[*canvas.Text](win) {
		if text.Text == "Stop" {
			stop = text.TextSize
		}
	}
	assert.GreaterOrEqual(t, float64(stop)*capitals*pixel, 11.5, "and so is what the pedal does then")
	assert.False(t, uitest.Stands(win, "1  Play along"), "what cannot be changed now gives its room")
	assert.Equal(t, before, w.bar.box.Size(), "and nothing moves")
	assert.Empty(t, reads(attempt.Live{Heard: true}).Text, "nothing is told of a note that lies well")
	d.Settings.Level = finding.FirstYear.Name
	assert.Equal(t, "too low", reads(attempt.Live{Note: attempt.Sounding{Cents: -18}}).Text)
	d.Running = false
	d.Say("")
	assert.True(t, uitest.Stands(win, "1  Play along"))
}

func TestAWindowThatIsMadeLowGivesTheBarsRoomToWhatATakeCameTo(t *testing.T) {
	w, d, win, _ := table(t)
	uitest.ShowDemoTake(t, d)
	d.Result = &desk.Result{Says: d.Score.Title()}
	d.Say("")
	assert.True(t, w.bar.box.Visible())
	win.Resize(fyne.NewSize(960, 640))
	assert.False(t, w.bar.box.Visible())
	win.Resize(fyne.NewSize(1280, 800))
	assert.True(t, w.bar.box.Visible())
}
