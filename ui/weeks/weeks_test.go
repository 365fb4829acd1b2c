package weeks

import (
	"fmt"
	"image/color"
	"math"
	"math/rand"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/report/progress"
	"endpin/piece/trend"
	"endpin/piece/words"
	"endpin/piece/words/pseudo"
	"endpin/ui/desk"
	"endpin/ui/desk/weeks"
	"endpin/ui/ink"
	"endpin/ui/uitest"
)

// shelf is a diary with made-up weeks in it.
type shelf struct {
	players []string
	weeks   map[string]progress.Model
	sound   weeks.KeptSound
}

func (s *shelf) Mended(weeks.Mended) error                     { return nil }
func (s *shelf) Remember(weeks.Remembered) (weeks.Kept, error) { return weeks.Kept{}, nil }
func (s *shelf) Players() ([]string, error)                    { return s.players, nil }
func (s *shelf) Weeks(player string, _ time.Time) (progress.Model, error) {
	return s.weeks[player], nil
}
func (s *shelf) Class(time.Time) (m progress.ClassModel, err error) {
	for _, p := range s.players {
		if w := s.weeks[p]; len(w.Takes) > 0 {
			m.Players, m.From, m.To = append(m.Players, w), w.From, w.To
		}
	}
	return m, nil
}
func (s *shelf) Sound(string) (weeks.KeptSound, error)          { return s.sound, nil }
func (s *shelf) KeepSound(_ string, said weeks.KeptSound) error { s.sound = said; return nil }

// weeksOfPractice are a player's, with so many shifts: the first closes in, the
// second stays sharp, the third opens, the fourth lands now here, now there.
func weeksOfPractice(player string, days, shifts int) progress.Model {
	rng := rand.New(rand.NewSource(int64(len(player) + shifts)))
	first := time.Date(2026, 10, 26, 17, 0, 0, 0, time.UTC)
	m := progress.Model{Player: player, From: first, To: first.AddDate(0, 0, days-1)}
	groups := make([]trend.Group, shifts)
	for s := range groups {
		groups[s].Shift = trend.Shift{Piece: "Stairs to the Loft", Measure: fmt.Sprint(1 + s*16/shifts), Beat: float64(1 + s%4), String: 1 + s%3, From: "1", To: "3"}
	}
	var passes [16][]trend.Count
	for day := range days {
		part := float64(day) / 29
		for take := range 1 + day*7%4 {
			at := first.AddDate(0, 0, day).Add(time.Duration(take) * 20 * time.Minute)
			m.Takes = append(m.Takes, progress.Take{When: at, Piece: "Stairs to the Loft"})
			for s := range groups {
				middle := []float64{38 - 34*part, 24, -4 - 30*part, 0}[s%4]
				groups[s].Landings = append(groups[s].Landings, trend.Landing{When: at, Take: fmt.Sprint(day, take), Tolerance: 18, SettleMS: 140, QPM: 76, Trust: dsp.Sure,
					Cents: middle + []float64{12, 10, 12, 32}[s%4]*rng.NormFloat64()})
			}
			for k := range passes {
				c := trend.Count{When: at, Chance: 1}
				if rng.Float64() < 0.9*math.Exp(-float64(k)/4)*(1-part/2) {
					c.Told = 1
				}
				passes[k] = append(passes[k], c)
			}
		}
	}
	for i, l := range trend.Shifts(groups, trend.Options{}) {
		m.Shifts = append(m.Shifts, progress.Shift{Line: l, Landings: groups[i].Landings})
	}
	m.Kinds = trend.Kinds(groups, trend.Options{})
	for k := range passes {
		m.Weeks = append(m.Weeks, progress.Measure{Piece: "Stairs to the Loft", Measure: fmt.Sprint(k + 1), Weeks: trend.Share(passes[k])})
	}
	m.Mended = []progress.Mended{{When: first, Piece: "Stairs to the Loft", Says: words.Of("practice.mend.what", "what", words.Of("finding.sharp.name"), "measure", "5")}}
	m.More = []string{words.Many("window.diary.days", 30).String(), words.Say("window.diary.write-a-name")} // sentences of any kind
	return m
}

// diaryTable is a window on a desk with a diary.
func diaryTable(t *testing.T, s *shelf, size fyne.Size, dark bool) (*Screen, *desk.Desk, fyne.Window, func()) {
	t.Helper()
	a := test.NewTempApp(t)
	a.Settings().SetTheme(ink.Look{Dark: dark})
	posted := make(chan func(), 100)
	d := desk.New(uitest.DemoScore(t), desk.Means{
		Post: func(f func()) { posted <- f }, Folder: t.TempDir(), Diary: s,
		Now: func() time.Time { return time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC) },
	})
	d.Settings.Dark = dark
	win := test.NewTempWindow(t, widget.NewLabel(""))
	screen := New(d)
	win.SetContent(container.NewStack(canvas.NewRectangle(ink.Look{Dark: dark}.Colours().Paper), screen.Box()))
	win.Resize(size)
	d.OnChange(screen.Refresh)
	return screen, d, win, func() {
		t.Helper()
		select {
		case f := <-posted:
			f()
		case <-time.After(20 * time.Second):
			t.Fatal("nothing came of it")
		}
	}
}

func TestAPlayersWeeksAreLookedAtOnTheDesk(t *testing.T) {
	s := &shelf{sound: weeks.KeptSound{Limit: 2 << 30}}
	screen, d, win, do := diaryTable(t, s, fyne.NewSize(1280, 800), false)
	screen.Enter()
	assert.True(t, uitest.Reads(win, "Reading the diary …"))
	do()
	assert.True(t, uitest.Reads(win, "Nobody's diary is kept on this desk yet. Write a name below: from then on every take goes into that player's diary."))
	uitest.Keep(t, win, "diary-nobody")

	whose := screen.whose
	test.Type(whose, "Mina Vella")
	whose.OnSubmitted(whose.Text)
	do()
	assert.Equal(t, "Mina Vella", d.Settings.Player)
	assert.True(t, uitest.Reads(win, "There is no take of Mina Vella in the last 30 days. Play, and come back here."))

	s.players = []string{"Mina Vella", "Ole Quist", "Tarik"}
	s.weeks = map[string]progress.Model{"Mina Vella": weeksOfPractice("Mina Vella", 30, 4), "Ole Quist": weeksOfPractice("Ole Quist", 30, 30), "Tarik": weeksOfPractice("Tarik", 3, 4)}
	screen.Enter()
	do()
	story := progress.PageOf(s.weeks["Mina Vella"]).Story
	require.Len(t, story, 4)
	for _, sentence := range story {
		assert.True(t, uitest.Reads(win, sentence), sentence)
	}
	assert.Len(t, uitest.Find[*strip](win), 4, "a strip a shift")
	var words []string
	for _, v := range uitest.Find[*shiftView](win) {
		words = append(words, v.word.Text)
	}
	assert.ElementsMatch(t, []string{"closing", "holding", "opening", "scattered"}, words)
	uitest.Keep(t, win, "diary-month")

	assert.Zero(t, screen.main.Top())
	assert.True(t, screen.Key(fyne.KeyPageDown))
	assert.Greater(t, screen.main.Top(), float32(300))
	uitest.Keep(t, win, "diary-month-down")

	assert.False(t, screen.keep.Checked)
	test.Tap(screen.keep)
	do() // kept
	do() // and read anew
	assert.True(t, s.sound.Keep)

	screen.players.SetSelected("Tarik")
	do()
	assert.True(t, uitest.Reads(win, "There is not enough yet to say how the shifts go. A shift needs landings on six days, over ten days or more."))
	assert.Empty(t, uitest.Find[*strip](win))
	uitest.Keep(t, win, "diary-few")

	uitest.Press(t, win, "All players")
	do()
	assert.True(t, uitest.Reads(win, "Came nearer on a shift: Mina Vella and Ole Quist."))
	uitest.Keep(t, win, "diary-players")
	uitest.Press(t, win, "Ole Quist")
	do()
	assert.Equal(t, "Mina Vella", d.Settings.Player, "whose desk it is stays")
	assert.Len(t, uitest.Find[*strip](win), 30)
	uitest.Keep(t, win, "diary-thirty")
	assert.False(t, screen.Key(fyne.KeyEscape), "which is the window's")
}

// everyWeek shows a diary in each of its states, in a window of a size.
func everyWeek(t *testing.T, size fyne.Size, visit func(name string, win fyne.Window)) {
	t.Helper()
	s := &shelf{sound: weeks.KeptSound{Keep: true, Limit: 2 << 30, Taken: 300 << 20}}
	screen, d, win, do := diaryTable(t, s, size, false)
	show := func(name string) {
		t.Helper()
		d.Say("")
		for range 2 { // as a window does before it paints: what asks for another size gets it
			win.Content().Refresh()
		}
		visit(name, win)
	}
	read := func() {
		t.Helper()
		for do(); screen.diary.Loading; {
			do()
		}
	}
	screen.Enter()
	show("reading")
	read()
	show("nobody")
	s.players = []string{"Mina Vella", "Ole Quist", "Tarik"}
	s.weeks = map[string]progress.Model{"Mina Vella": weeksOfPractice("Mina Vella", 30, 4), "Ole Quist": weeksOfPractice("Ole Quist", 100, 8), "Tarik": weeksOfPractice("Tarik", 3, 4)}
	screen.whose.OnSubmitted("Mina Vella")
	read()
	for _, player := range s.players {
		screen.diary.Choose(player)
		read()
		require.Equal(t, player, screen.page.Player)
		for range 4 {
			show(player)
			screen.Key(fyne.KeyPageDown)
		}
	}
	screen.diary.ChooseAll()
	read()
	require.NotNil(t, screen.pupil)
	show("all players")
}

func TestTheWeeksSpeakTheLanguageOfTheProgramAndHaveRoomForALongerOne(t *testing.T) {
	defer pseudo.Speak()()
	seen := 0
	everyWeek(t, fyne.NewSize(1280, 800), func(name string, win fyne.Window) {
		uitest.Keep(t, win, fmt.Sprint("long diary ", seen, " ", name))
		seen++
		for _, read := range uitest.Texts(win) {
			assert.Empty(t, pseudo.Plain(read.Says, "Mina Vella", "Ole Quist", "Tarik", "Stairs to the Loft", "Stairs to the", "Stairs to", "the Loft", "Loft"), "%s: %q", name, read.Says)
		}
		assert.Empty(t, uitest.Misplaced(win), name)
	})
}

func TestNothingOfTheWeeksIsCutOffOrLiesOnAnother(t *testing.T) {
	for _, size := range []fyne.Size{{Width: 960, Height: 640}, {Width: 1280, Height: 800}, {Width: 1920, Height: 1080}} {
		seen := 0
		everyWeek(t, size, func(name string, win fyne.Window) {
			uitest.Keep(t, win, fmt.Sprintf("%.0f diary %d %s", size.Width, seen, name))
			seen++
			assert.Empty(t, uitest.Misplaced(win), "%.0f × %.0f: %s", size.Width, size.Height, name)
		})
	}
}

func TestTheWeeksFitALargeWindowByNight(t *testing.T) {
	s := &shelf{players: []string{"Mina Vella"}, sound: weeks.KeptSound{Limit: 2 << 30}, weeks: map[string]progress.Model{"Mina Vella": weeksOfPractice("Mina Vella", 30, 8)}}
	screen, _, win, do := diaryTable(t, s, fyne.NewSize(1920, 1080), true)
	screen.Enter()
	do()
	strips := uitest.Find[*strip](win)
	require.Len(t, strips, 8)
	assert.Greater(t, strips[0].Size().Width, float32(700))
	uitest.Keep(t, win, "diary-night")
}

// luminance is the relative luminance of WCAG 2.2 (W3C), from memory.
func luminance(c color.Color) float64 {
	r, g, b, _ := c.RGBA()
	lin := func(v uint32) float64 {
		x := float64(v) / 65535
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(r) + 0.7152*lin(g) + 0.0722*lin(b)
}

// What has to be seen stands out from the paper by 3 to 1 in luminance alone, as
// WCAG 2.2 asks of graphics (1.4.11), so that it is legible in grey.
func TestTheStripIsLegibleInGreyByDayAndByNight(t *testing.T) {
	for _, dark := range []bool{false, true} {
		c := ink.Look{Dark: dark}.Colours()
		contrast := func(a, b color.Color) float64 {
			x, y := luminance(a), luminance(b)
			return (max(x, y) + 0.05) / (min(x, y) + 0.05)
		}
		for name, drawn := range map[string]color.Color{"median": c.Cursor, "landing": c.Soft, "words": c.Ink} {
			assert.Greater(t, contrast(drawn, c.Paper), 3.0, "%s, dark %v", name, dark)
			assert.Greater(t, contrast(drawn, ink.Mixed(c.Paper, c.Ink, 0.1)), 3.0, "%s on the band, dark %v", name, dark)
		}
	}
}

func TestOnTheStripSharpIsAboveTheLine(t *testing.T) {
	for name, cents := range map[string]float64{"sharp": 40, "flat": -40} {
		m := weeksOfPractice("Mina", 30, 1)
		for i := range m.Shifts[0].Landings {
			m.Shifts[0].Landings[i].Cents = cents
		}
		m.Shifts[0].Line = trend.Shifts([]trend.Group{{Shift: m.Shifts[0].Shift, Landings: m.Shifts[0].Landings}}, trend.Options{})[0]
		page := progress.PageOf(m)
		c := ink.Look{}.Colours()
		s := newStrip(page.Groups[0].Shifts[0], c)
		s.Resize(fyne.NewSize(520, 176))
		picture := s.draw(520, 176)
		zero := int(float64(s.geometry().Zero) * enlarged)
		above, below := 0, 0
		for y := range 176 {
			for x := range 520 {
				if r, g, b, _ := picture.At(x, y).RGBA(); uint8(r>>8) == c.Cursor.R && uint8(g>>8) == c.Cursor.G && uint8(b>>8) == c.Cursor.B {
					if y < zero-5 {
						above++
					} else {
						below++
					}
				}
			}
		}
		if name == "flat" {
			above, below = below, above
		}
		assert.Greater(t, above, 500, name)
		assert.Zero(t, below, name)
	}
}
