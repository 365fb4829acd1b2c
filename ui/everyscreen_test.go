package ui

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/gist"
	"endpin/piece/manuscript"
	"endpin/piece/pencil"
	"endpin/piece/practice"
	"endpin/piece/tuning"
	"endpin/piece/words"
	"endpin/piece/words/pseudo"
	"endpin/ui/desk"
	"endpin/ui/desk/attempt"
	"endpin/ui/desk/classroom"
	"endpin/ui/desk/pieces"
	"endpin/ui/desk/room"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/work"
	"endpin/ui/desk/writing"
	"endpin/ui/ink"
	"endpin/ui/mark"
	"endpin/ui/prose"
	"endpin/ui/uitest"
)

// tour goes through the window: each screen, and each state of it that writes
// something else.
type tour struct {
	t      *testing.T
	w      *Window
	d      *desk.Desk
	win    fyne.Window
	card   *sound.Pretend
	posted chan func()
	visit  func(name string)
}

// newTour sets a window out in a size, on a desk with a sound card that pretends and a
// class of three. What a diary shows is gone through in ui/weeks.
func newTour(t *testing.T, size fyne.Size, dark bool, visit func(name string, win fyne.Window)) *tour {
	t.Helper()
	if testing.Short() {
		t.Skip("goes through every screen")
	}
	a := test.NewTempApp(t)
	a.Settings().SetTheme(ink.Look{Dark: dark})
	x := &tour{t: t, card: sound.NewPretend(strungRate), posted: make(chan func(), 10000)}
	home, err := os.MkdirTemp("", "home")
	require.NoError(t, err)
	t.Cleanup(func() { os.RemoveAll(home) })
	t.Setenv("HOME", home)
	require.NoError(t, os.Mkdir(filepath.Join(home, "recordings"), 0o700))
	x.d = desk.New(uitest.DemoScore(t), desk.Means{
		Post: func(f func()) { x.posted <- f }, Folder: filepath.Join(home, "takes"), Computer: room.Computer{Card: sound.New(x.card)},
		Now:     func() time.Time { return time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC) },
		Writing: writing.Means{Folder: filepath.Join(home, "written"), Journal: filepath.Join(home, "writing.json")},
		Drills:  t.TempDir(),
		Pencil: func(*score.Score) (*pencil.Pencil, error) {
			return pencil.Open(assets.DemoPieceName, assets.DemoPiece)
		},
		Pieces:    pieces.Means{Folder: filepath.Join(home, "pieces"), Read: uitest.ReadScore, Demo: uitest.Demo},
		ReadScore: func(path string) (*score.Score, error) { return uitest.ReadScore(path, "", "") },
		HearClass: func(_ context.Context, c classroom.Asked, _ finding.Options, told func(classroom.Told)) (*class.Term, string, error) {
			h := x.d.Shown.Hearing
			seats := []class.Seat{{Name: "Anna", Files: []string{"Anna.wav", "Anna-2.wav"}}, {Name: "Ben", Files: []string{"Ben.wav"}}, {Name: "Cleo"}}
			heard := &class.Term{Unplaced: []class.Unplaced{{Student: "Cleo", Recording: "Cleo.wav", NotYet: true}}}
			for _, s := range c.Scores {
				heard.Sheets = append(heard.Sheets, class.Gather(s.Piece, s.Piece.Title, seats, []class.Result{{File: "Anna.wav", Hearing: h}, {File: "Anna-2.wav", Hearing: h}, {File: "Ben.wav", Hearing: h}}, nil))
			}
			told(classroom.Told{Done: 1, Of: 3, Heard: 0.4, Hearing: []string{"Anna.wav", "Ben.wav"}})
			return heard, filepath.Join(c.Out, "class.html"), nil
		},
		AddToClass: func(context.Context, string, func(*class.Remarks, *class.Page)) (*class.Term, string, error) {
			return x.w.class.Class.Heard, "class.html", nil
		},
	})
	x.d.Settings.Dark, x.d.Settings.CautionSeen = dark, true
	x.win = test.NewTempWindow(t, widget.NewLabel(""))
	x.w = New(x.d, x.win, false)
	x.win.Resize(size)
	x.visit = func(name string) {
		t.Helper()
		x.d.Say(x.d.Message)
		for range 2 { // as a window does before it paints: what asks for another size gets it
			x.win.Content().Refresh()
		}
		visit(name, x.win)
	}
	t.Cleanup(func() { x.d.Leave(); x.w.tuning.Tuner.Leave() })
	return x
}

func (x *tour) pump(until func() bool) {
	x.t.Helper()
	for end := time.After(time.Minute); !until(); {
		select {
		case f := <-x.posted:
			f()
		case <-end:
			x.t.Fatal("nothing more happened")
		}
	}
}

func (x *tour) screen(i int) { x.w.tabs.show(i) }

// over visits what is asked over the window, and leaves it.
func (x *tour) over(name string) {
	x.t.Helper()
	require.NotNil(x.t, x.win.Canvas().Overlays().Top(), name)
	x.visit(name)
	uitest.Key(x.win, fyne.KeyEscape)
	for o := x.win.Canvas().Overlays().Top(); o != nil; o = x.win.Canvas().Overlays().Top() {
		x.win.Canvas().Overlays().Remove(o)
	}
	x.win.Canvas().Unfocus()
}

// whole is all of it.
func (x *tour) whole() {
	x.atThePage()
	x.playing()
	x.aTake()
	x.closer()
	x.tuner()
	x.class()
	x.screen(3)
	x.visit("diary")
	x.help()
	x.settings()
	x.shelf()
	x.writing()
}

// help is the first ten minutes; what stands between is gone through in ui/help.
func (x *tour) help() {
	uitest.Key(x.win, fyne.KeyF1)
	x.visit("help, the top")
	uitest.Key(x.win, fyne.KeyEnd)
	x.visit("help, the end")
	uitest.Key(x.win, fyne.KeyEscape)
}

// writing is a page that is being written, in both modes, and what is asked over it.
func (x *tour) writing() {
	x.w.writePiece()
	x.visit("writing, nothing")
	w := x.d.Writing
	for _, k := range "cdefgab8cdefgab" {
		w.Press(manuscript.Key(k), manuscript.Held{})
	}
	x.visit("writing, a measure open")
	w.Page.Begin()
	w.Press("1", manuscript.Held{})
	x.visit("writing, a measure that does not add up")
	w.Press(manuscript.Mode, manuscript.Held{})
	x.visit("writing, fingers")
	uitest.Press(x.t, x.win, words.Say("window.write.signs"))
	x.visit("writing, signs")
	uitest.Press(x.t, x.win, words.Say("window.write.fingers"))
	uitest.Press(x.t, x.win, words.Say("window.write.transpose"))
	x.over("writing, transpose")
	x.w.keys()
	x.over("writing, keys")
	for i := range x.d.Writing.Page.Bars[0].Notes {
		x.d.Writing.Page.Bars[0].Notes[i].Doubt = &manuscript.Doubt{About: []string{"rhythm", "pitch"}[i%2], Chance: 0.3}
	}
	x.visit("writing, doubts")
	w.Hearing = 0.4
	x.visit("writing, hearing")
	w.Hearing = -1
	uitest.Press(x.t, x.win, words.Say("window.write.play-in"))
	x.over("writing, play in")
	uitest.Press(x.t, x.win, words.Say("window.write.picture"))
	x.over("writing, a picture")
}

// shelf is that of nobody's pieces, of some, and what is asked on it.
func (x *tour) shelf() {
	x.w.tabs.bring(x.w.pieces)
	x.visit("pieces, none")
	folder := filepath.Join(os.Getenv("HOME"), "recordings")
	for i, notes := range []string{"C,D,E,F,|", "E,D,C,D,|G,4|", "G,4|C,4|"} {
		text := "X:1\nT:Stairs to the Loft\nC:Anna\nL:1/4\nK:C\nV:1 name=Anna clef=bass\nV:2 name=Ben clef=bass\n[V:1]" + notes + "]\n[V:2]" + notes + "]\n"
		require.NoError(x.t, os.WriteFile(filepath.Join(folder, fmt.Sprint(i, "Anna.abc")), []byte(text), 0o600))
	}
	done := func() bool { return x.d.Pieces.Reading == "" }
	x.d.Pieces.Add(folder)
	x.visit("pieces, being put there")
	x.pump(done)
	x.visit("pieces, three")
	x.d.Pieces.Choose(0)
	x.d.Pieces.Ready().Progress = pieces.Progress{Last: x.d.Now().AddDate(0, 0, -60), Of: 123, Clean: 101, Low: 100, High: 120, From: "101", To: "123", Faster: true}
	x.visit("pieces, one worked on")
	x.w.pieces.Rune('z')
	x.visit("pieces, none found")
	x.w.pieces.Key(fyne.KeyEscape)
	x.w.pieces.Key(fyne.KeyDelete)
	x.over("pieces, take one off")
	x.w.openPiece()
	x.over("open a piece")
	x.d.Pieces.OpenReady()
	x.pump(done)
	x.over("pieces, which part")
}

func (x *tour) atThePage() {
	x.visit("page with the strings' offer")
	x.w.tuning.Tuner.Decline()
	for _, way := range work.Ways {
		x.d.SetWay(way)
		for i := range x.d.Between() {
			if i == 0 || way == work.PlayAlong { // whose sentence is the longest
				x.visit(fmt.Sprint("page, ", way, ", deed ", i))
			}
			x.d.Choose()
		}
	}
	x.d.SetWay(work.PlayAlong)
	_ = x.d.TypeQPM("1")
	x.visit("page, a tempo that is none")
	x.d.Say("")
	x.d.CutOff = &shelf.Take{Made: time.Date(2026, 9, 30, 17, 30, 0, 0, time.UTC), Seconds: 75}
	x.visit("page, a take cut off")
	x.d.CutOff = nil
	uitest.Press(x.t, x.win, words.Say("window.bar.plan"))
	for i := range x.w.plan.Minutes.Options {
		x.w.plan.Minutes.SetSelectedIndex(i)
		x.visit(fmt.Sprint("plan ", i))
	}
	x.w.columns.toggle(x.w.side.Box) // in a low window the plan has the place of the bar
	x.visit("takes, none")
	uitest.Press(x.t, x.win, words.Say("window.takes.tab.heard"))
	x.visit("takes, none shown")
	uitest.Press(x.t, x.win, words.Say("window.bar.takes"))
	x.pencil()
	x.drills()
	x.w.caution()
	x.over("caution")
	x.w.open()
	x.over("open a recording")
	x.w.keys()
	x.over("keys")
}

// pencil is what is marked at a note and at a measure, and what is asked before it is kept.
func (x *tour) pencil() {
	x.w.takePencil()
	x.pump(func() bool { return x.d.Pencil.On })
	x.visit("pencil, a note")
	x.d.Pencil.Finger("3")
	x.visit("pencil, a note marked")
	x.d.Pencil.Turn()
	x.visit("pencil, a measure")
	x.w.pencil.Keep()
	x.over("pencil, keep")
	x.w.close()
	x.over("pencil, marks that would be lost")
	x.d.Pencil.Undo()
	x.d.Pencil.PutAway()
}

// drills are made beside the plan, and lead back to the piece.
func (x *tour) drills() {
	done := func() bool { return x.d.Pieces.Reading == "" }
	x.d.Score.Demo = true // to which one goes back without a file
	x.w.columns.open(x.w.plan.Box)
	x.d.Drills.Shift(x.d.Drills.Shifts()[0])
	x.pump(done)
	require.NotNil(x.t, x.d.Drills.Of())
	x.visit("a shift on each string")
	x.d.Drills.Scale(2)
	x.pump(done)
	x.visit("a scale")
	x.w.columns.toggle(x.w.plan.Box)
	x.visit("a scale, without the plan")
	x.d.Drills.Back()
	x.pump(done)
	require.Nil(x.t, x.d.Drills.Of())
	for x.d.Pieces.Count() > 0 { // the shelf is visited without
		x.d.Pieces.Forget(x.d.Pieces.List()[0])
	}
	x.d.Say("")
}

func (x *tour) playing() {
	x.d.Running = true
	for name, live := range map[string]attempt.Live{"listen": {First: true, Measure: 3}, "count-in": {Phase: attempt.Counting, Count: 2}, "listening": {Heard: true, Measure: 3}, "listening for you": {Measure: -1}} {
		x.d.Live = live
		x.visit("playing, " + name)
	}
	x.d.Loud = room.Loudness{On: true, Level: -1, Peak: 0, Word: words.Say("sound.level.too-loud"), Say: words.Say("sound.mend.too-loud")}
	x.visit("playing, too loud")
	x.d.Running, x.d.Loud = false, room.Loudness{}
	x.d.Judging, x.d.Heard = true, 0.4
	x.visit("hearing")
	x.d.Judging = false
	x.d.SetWay(work.BowSilently)
	x.d.SetQPM(300)
	x.d.SetRange(0, 4) // as far as a shift: nobody's bow is faster than the clock
	x.d.Start()
	require.True(x.t, x.d.Running, x.d.Message)
	x.visit("cues, the count")
	visited := map[int]bool{-1: true}
	for x.d.Running {
		x.card.Step(strungRate / 50)
		(<-x.posted)()
		if m := x.d.Live.Measure; !visited[m] {
			visited[m] = true
			x.visit(fmt.Sprint("cues, measure ", m+1))
		}
	}
	require.True(x.t, visited[4], "the shift has its cue")
	x.d.SetRange(0, 15)
	x.d.SetWay(work.PlayAlong)
}

func (x *tour) aTake() {
	uitest.ShowDemoTake(x.t, x.d)
	t := x.d.Shown.Take
	t.Made, t.Measures, t.QPM, t.Found = time.Date(2026, 9, 30, 17, 30, 0, 0, time.UTC), "5-16", 84, words.Many("desk.found", 9).String()
	x.d.Takes = []*shelf.Take{t, {Made: t.Made, Complete: true, Measures: "7", QPM: 84, Found: words.Many("desk.found", 9).String()},
		{Sound: "/elsewhere/mine.wav", Recording: "/elsewhere/mine.wav", Player: "Mina", Complete: true, Found: t.Found}}
	x.visit("a take shown")
	x.listening()
	x.mending()
	uitest.ShowDemoTake(x.t, x.d)
	x.d.Shown.Take = t
	uitest.Press(x.t, x.win, words.Say("window.bar.takes"))
	x.visit("takes, heard")
	uitest.Press(x.t, x.win, words.Say("window.takes.put-aside"))
	x.over("put aside")
	x.d.Dismiss(0, shelf.Reasons()[0])
	x.visit("takes, one put aside")
	uitest.Press(x.t, x.win, words.Say("window.takes.rename"))
	x.over("name a take")
	uitest.Press(x.t, x.win, words.Say("window.takes.report"))
	x.over("keep the report")
	uitest.Press(x.t, x.win, words.Say("window.takes.tab.all"))
	x.visit("takes, all")
	uitest.Press(x.t, x.win, words.Say("window.takes.row.remove"))
	x.over("remove a take")
	x.w.columns.toggle(x.w.plan.Box)
	x.visit("plan after a take")
	x.w.columns.toggle(x.w.plan.Box)
}

// listening is listening back to a take, and to another in turn.
func (x *tour) listening() {
	l := x.d.Listening
	l.Toggle()
	require.True(x.t, l.Playing(), x.d.Message)
	x.visit("listening")
	l.Range(4, 6)
	l.SetSlowly(true)
	l.Other, l.Waiting = &l.Others()[0], true
	x.visit("listening, a loop")
	l.Waiting = false
	l.Stop()
	x.visit("listening, stopped")
	l.Close()
}

// mending is the work on one thing: each of its stages, and what is offered.
func (x *tour) mending() {
	x.d.Result = &desk.Result{Says: gist.Of(x.d.Score.Piece, x.d.Shown.Hearing).String(), Beside: words.Say("desk.reference.supposed", "from", words.Say("desk.reference.set", "hz", words.Significant(440, 4)))}
	for range 2 {
		x.visit("what a take came to")
		x.d.Choose()
	}
	x.d.WorkOn(x.d.First())
	m := x.d.Mending.Now
	require.NotNil(x.t, m)
	x.visit("mending, begun")
	for stage, cents := range []float64{31, 24, 12, 5, -3} {
		m.Rounds = append(m.Rounds, practice.Round{Value: cents, Told: true, Verdict: practice.Verdict(stage / 2)})
		x.d.Result.Says = m.Say().String()
		x.visit(fmt.Sprint("mending, round ", stage))
	}
	m.Stage = practice.InJoin
	x.d.Result.Says = m.Say().String()
	x.visit("mending, it holds")
	x.d.SetRange(0, 1)
	x.d.Result = nil
	x.d.SetRange(0, 15)
}

func (x *tour) closer() {
	for _, m := range []int{0, 4, 8, 10, 11, 15} {
		x.d.LookCloser(m)
		x.visit(fmt.Sprint("closer look ", m+1))
	}
	x.w.columns.toggle(x.w.side.Box)
	x.d.LookCloser(4)
	x.visit("closer look beside the takes")
	x.w.columns.toggle(x.w.side.Box)
	x.d.LookAway()
}

// tuner is the check of the strings, of a bass whose pitch track is given.
func (x *tour) tuner() {
	x.screen(1)
	s := &strung{win: x.win, desk: x.d, tuner: x.w.tuning.Tuner, check: tuning.New(fingerboard.DoubleBass(), 440, 10)}
	hear := func(name string, hz, seconds float64) {
		s.hear(hz, seconds)
		x.visit("tuning, " + name)
	}
	hear("nothing yet", 0, 0.8)
	hear("flat", 73.4162*dsp.Cents(-100), 2)
	hear("nothing again", 0, 0.5)
	for _, hz := range []float64{41.2034, 55, 73.4162, 97.9989} {
		hear("a string", hz*dsp.Cents(-20), 1.5)
		hear("a pause", 0, 0.5)
	}
	s.check = tuning.New(fingerboard.DoubleBass(), 440, 10)
	hear("anew", 0, 0.8)
	hear("a harmonic", 220, 1.5)
	hear("its neighbour to come", 0, 0.5)
	hear("its neighbour", 221.8, 1.5)
	s.tuner.Sound(2)
	x.visit("tuning, a tone")
	s.tuner.Sound(2)
}

func (x *tour) class() {
	x.screen(2)
	x.visit("class, asked")
	x.w.class.Drop(filepath.Join(os.Getenv("HOME"), "recordings"))
	x.visit("class, a folder chosen")
	for _, choose := range []int{0, 1} {
		var buttons []*prose.Button
		for _, b := range uitest.Find[*prose.Button](x.win) {
			if b.Text == words.Say("window.class.choose") || b.Text == words.Say("window.class.piece.add") {
				buttons = append(buttons, b)
			}
		}
		test.Tap(buttons[choose])
		x.over(fmt.Sprint("class, choose ", choose))
	}
	uitest.Press(x.t, x.win, words.Say("window.class.start"))
	x.w.class.Class.Told = classroom.Told{Done: 1, Of: 3, Heard: 0.4, Hearing: []string{"Anna.wav", "Ben.wav"}}
	x.visit("class, going on")
	x.pump(func() bool { return !x.w.class.Class.Going })
	for i := -1; i < 3; i++ {
		x.w.class.Class.Choose(i)
		x.visit(fmt.Sprint("class, student ", i))
	}
	x.w.class.Class.Choose(-1)
	uitest.Press(x.t, x.win, words.Say("window.class.another"))
	folder := x.t.TempDir()
	for _, tune := range []string{"Ben", "Mina"} {
		require.NoError(x.t, os.WriteFile(filepath.Join(folder, tune+".abc"), []byte("X:1\nT:"+tune+"\nM:4/4\nL:1/4\nQ:1/4=80\nK:D clef=bass\n"+strings.Repeat("D,E,F,G,|", 1+len(tune)%2)+"\n"), 0o600))
	}
	x.w.class.Drop(folder)
	x.visit("class of several pieces, asked")
	uitest.Press(x.t, x.win, words.Say("window.class.start"))
	x.pump(func() bool { return !x.w.class.Class.Going })
	for i := -1; i < 3; i++ {
		x.w.class.Class.Choose(i)
		x.visit(fmt.Sprint("class of several pieces, student ", i))
	}
}

func (x *tour) settings() {
	x.screen(4)
	x.visit("settings")
	x.d.Settings.Microphone = "Brass Ear"
	x.d.MeasureDelay()
	x.screen(0)
	x.screen(4)
	x.visit("settings, a microphone away")
}

// own are words that belong to no language, or to what lies on the desk. The toolkit
// has the last two for its places from no catalogue.
func own() []string {
	return append(strings.Split(os.Getenv("HOME"), "/")[1:], "Stairs to the Loft", "Stairs to the", "Stairs to", "Stairs", "demo.musicxml", "pieces", "VII", "III", "Anna-2", "Anna", "Ben", "Cleo", "Mina", "Brass Ear", ".wav", "class.html", ".html",
		"mine", "recordings", "class sheet", "Home", "Computer")
}

func TestEveryScreenSpeaksTheLanguageOfTheProgramAndHasRoomForALongerOne(t *testing.T) {
	defer prose.Speak()
	defer pseudo.Speak()()
	var x *tour
	x = newTour(t, fyne.NewSize(1280, 800), false, func(name string, win fyne.Window) {
		uitest.Keep(t, win, "long "+name)
		for _, read := range uitest.Texts(win) {
			assert.Empty(t, pseudo.Plain(read.Says, own()...), "%s: %q", name, read.Says)
			whole := strings.Count(read.Says, "⟦") == strings.Count(read.Says, "⟧") || !strings.HasSuffix(read.Says, "…")
			title := strings.HasPrefix(x.d.Score.Title(), strings.TrimRight(read.Says, " …"))
			assert.True(t, whole || title || read.Says == x.w.head.Says(), "%s: %q", name, read.Says) // the head alone may leave words out
		}
		assert.Empty(t, uitest.Misplaced(win), name)
	})
	x.whole()
	for _, m := range mark.ByMeasure(x.d.Shown.Hearing.Findings, x.d.Score.Piece.Measures, nil) {
		for _, mark := range m {
			assert.Empty(t, pseudo.Plain(mark.Text+" "+mark.Brief), "under the page")
		}
	}
}

func TestNothingIsCutOffOrLiesOnAnotherInAWindowOfAnySize(t *testing.T) {
	// A real window has its menus over it, which a test does not lay out.
	const menu = 38
	for _, size := range []fyne.Size{{Width: 640, Height: 800 - menu}, {Width: 960, Height: 640 - menu}, {Width: 1920, Height: 1080 - menu}} { // half a screen of 1280; what fits 1280 in longer words fits it
		for _, dark := range []bool{false, true} {
			if dark && os.Getenv("ENDPIN_PICTURES") == "" {
				continue // the same places by night
			}
			newTour(t, size, dark, func(name string, win fyne.Window) {
				uitest.Keep(t, win, fmt.Sprintf("%.0f %v %s", size.Width, map[bool]string{false: "day", true: "night"}[dark], name))
				assert.Empty(t, uitest.Misplaced(win), "%.0f × %.0f: %s", size.Width, size.Height, name)
				for _, b := range uitest.Find[*widget.Button](win) { // the toolkit's own, of a line with a list, bear no words
					assert.Empty(t, b.Text, "%s: prose.NewButton makes one that leaves the pedals to the desk", name)
				}
				assert.Empty(t, uitest.Find[*widget.Select](win), "%s: and prose.NewDrop a list", name)
			}).whole()
		}
	}
}

// Each language in one size, so that this takes no longer than it must; with ENDPIN_PICTURES
// in all of them.
func TestNothingIsCutOffInALanguageThatIsSpoken(t *testing.T) {
	defer prose.Speak()
	sizes := []fyne.Size{{Width: 960, Height: 640 - 38}, {Width: 640, Height: 800 - 38}, {Width: 1280, Height: 800 - 38}}
	for i, tag := range words.Languages()[1:] {
		for k, size := range sizes {
			if k != i%2 && os.Getenv("ENDPIN_PICTURES") == "" {
				continue
			}
			t.Run(fmt.Sprintf("%s %.0f", tag, size.Width), func(t *testing.T) {
				own, _ := words.Best(tag)
				defer words.Speak(words.Speak(own))
				newTour(t, size, false, func(name string, win fyne.Window) {
					uitest.Keep(t, win, fmt.Sprintf("%s %.0f %s", tag, size.Width, name))
					assert.Empty(t, uitest.Misplaced(win), name)
				}).whole()
			})
		}
	}
}

func TestTheToolkitSpeaksTheLanguageOfTheProgramWhateverTheSystemsIs(t *testing.T) {
	defer prose.Speak()
	for _, system := range []string{"de_DE.UTF-8", "fr", "pt_BR.UTF-8", "ja_JP.UTF-8", "en_US.UTF-8"} {
		t.Setenv("LC_ALL", system)
		prose.Speak()
		assert.Equal(t, "Cancel", lang.L("Cancel"), system)
		func() {
			defer pseudo.Speak()()
			prose.Speak()
			assert.Equal(t, words.Say("window.toolkit.cancel"), lang.L("Cancel"), system)
		}()
	}
}
