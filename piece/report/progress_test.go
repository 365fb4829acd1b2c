package report_test

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/practice"
	"endpin/piece/report/progress"
	"endpin/piece/trend"
)

var firstDay = time.Date(2026, 11, 2, 17, 30, 0, 0, time.UTC)

// aMonth is a player's month, made up: SD 18 cents about a way from one place
// to another for each shift.
func aMonth(player string) progress.Model {
	rng := rand.New(rand.NewSource(int64(len(player)) + 1))
	m := progress.Model{Player: player, From: firstDay, To: firstDay.AddDate(0, 0, 29)}
	shapes := []struct {
		measure  string
		from, to float64
		spread   float64
		days     int
	}{{"5", 36, 4, 18, 30}, {"9", -4, -34, 16, 30}, {"14", 26, 27, 14, 30}, {"17", 0, 0, 34, 30}, {"22", 4, 4, 9, 30}, {"23", -30, -6, 15, 30}, {"31", 20, 20, 12, 4}}
	groups := make([]trend.Group, len(shapes))
	for i, s := range shapes {
		groups[i].Shift = trend.Shift{Piece: "Harbour Steps", Measure: s.measure, Beat: 1, String: 1 + i%2, From: "1", To: "3"}
	}
	for d := 0; d < 30; d++ {
		if d%7 == 5 || d == 17 || d == 18 {
			continue
		}
		for k := 0; k < 2+d%2; k++ {
			at := firstDay.AddDate(0, 0, d).Add(time.Duration(k) * 20 * time.Minute)
			m.Takes = append(m.Takes, progress.Take{When: at, Piece: "Harbour Steps"})
			for i, s := range shapes {
				if d >= s.days {
					continue
				}
				groups[i].Landings = append(groups[i].Landings, trend.Landing{When: at, Take: fmt.Sprint(d, k), Tolerance: 18, SettleMS: 180, Trust: dsp.Sure,
					QPM: 72 + 2*rng.NormFloat64(), Cents: s.from + (s.to-s.from)*float64(d)/29 + s.spread*rng.NormFloat64()})
			}
		}
	}
	for i, l := range trend.Shifts(groups, trend.Options{}) {
		m.Shifts = append(m.Shifts, progress.Shift{Line: l, Landings: groups[i].Landings})
		var counts []trend.Count
		for _, x := range groups[i].Landings {
			c := trend.Count{When: x.When, Chance: 1}
			if math.Abs(x.Cents) > 18 {
				c.Told = 1
			}
			counts = append(counts, c)
		}
		m.Weeks = append(m.Weeks, progress.Measure{Piece: "Harbour Steps", Measure: l.Measure, Weeks: trend.Share(counts)})
	}
	m.Kinds = trend.Kinds(groups, trend.Options{})
	return m
}

func diaryPage(t *testing.T, m progress.Model) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, progress.HTML(&b, m))
	if dir := os.Getenv("ENDPIN_PAGES"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, t.Name()+".html"), b.Bytes(), 0o644))
	}
	return b.String()
}

func TestADiaryPageOpensWithWhatMovedAndWhatNeedsWork(t *testing.T) {
	page := diaryPage(t, aMonth("Ida"))
	_, rest, ok := strings.Cut(page, `<div class="story">`)
	require.True(t, ok)
	story, _, _ := strings.Cut(rest, "</div>")
	assert.Contains(t, story, "Nearer: the shift in measure 5")
	assert.Contains(t, story, "Needs work: the shift in measure 9")
	assert.Contains(t, story, "cents flat")
	assert.Less(t, strings.Index(page, "Needs work</h2>"), strings.Index(page, "Coming nearer</h2>"))
}

func TestEveryLandingStandsOnItsStrip(t *testing.T) {
	m := aMonth("Ida")
	page := diaryPage(t, m)
	want := 0
	for _, s := range m.Shifts {
		if s.Verdict != trend.TooFew {
			want += len(s.Landings)
		}
	}
	assert.Equal(t, want, strings.Count(page, "<circle")+strings.Count(page, `class="out"`))
}

func TestSharpIsAboveTheLineAndFlatBelow(t *testing.T) {
	s := progress.NewStrip([]trend.Landing{{When: firstDay, Cents: 30}, {When: firstDay.AddDate(0, 0, 9), Cents: -30}, {When: firstDay, Cents: 900}},
		firstDay, firstDay.AddDate(0, 0, 20), 18, 400, 120)
	require.Len(t, s.Dots, 3)
	assert.Less(t, s.Dots[0].Y, s.BandTop)
	assert.Greater(t, s.Dots[1].Y, s.BandTop+s.BandHeight)
	assert.Less(t, s.Dots[0].X, s.Dots[1].X)
	assert.Equal(t, 1, s.Dots[2].Out)
	assert.Equal(t, s.Top, s.Dots[2].Y)
}

func TestADiaryPageNeedsNothingElseAndTrustsNoName(t *testing.T) {
	m := aMonth("<script>alert(1)</script> \u202eÑandú")
	page := diaryPage(t, m)
	assert.NotContains(t, page, "<script")
	assert.NotRegexp(t, "https?:", page)
	assert.NotContains(t, page, "src=")
	assert.NotContains(t, page, "NaN")
}

func TestAnEmptyDiarySaysThatThereIsNotEnough(t *testing.T) {
	page := diaryPage(t, progress.Model{Player: "Ida", From: firstDay, To: firstDay})
	assert.Contains(t, page, "not enough yet")
}

func TestThePageSaysWhatWasMended(t *testing.T) {
	m := aMonth("Ida")
	a, now := practice.Aim{Kind: finding.SharpAfterShift, Measure: "5", Was: 31, Let: 18, Level: "intermediate"}, -2.4
	first := a
	first.Measure, first.Level = "3", finding.FirstYear.Name
	m.Mended = []progress.Mended{{When: firstDay, Piece: "Gate <Song>", Says: first.CameTo(&now)}, {When: firstDay.AddDate(0, 0, 2), Piece: "Gate <Song>", Says: a.CameTo(&now)}}
	page := html.UnescapeString(diaryPage(t, m))
	assert.Contains(t, page, "2 things were mended, the last of them sharp after shift in measure 5: was +31 cents, now −2 cents.")
	assert.Contains(t, page, "Gate <Song>: too high after shift in measure 3: was too high, now in tune.")
	assert.Less(t, strings.Index(page, "<Song>: sharp after shift in measure 5"), strings.Index(page, "<Song>: too high after shift in measure 3"), "the newest first")
	assert.NotContains(t, diaryPage(t, aMonth("Ida")), "mended")
}

func TestTheTeachersPageGoesByNameAndNotByRank(t *testing.T) {
	m := progress.ClassModel{From: firstDay, To: firstDay.AddDate(0, 0, 29)}
	for _, n := range []string{"Zoë", "Bo", "Ida"} {
		m.Players = append(m.Players, aMonth(n))
	}
	var b bytes.Buffer
	require.NoError(t, progress.ClassHTML(&b, m))
	if dir := os.Getenv("ENDPIN_PAGES"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "class.html"), b.Bytes(), 0o644))
	}
	page := b.String()
	assert.Less(t, strings.Index(page, "<th>Bo"), strings.Index(page, "<th>Ida"))
	assert.Less(t, strings.Index(page, "<th>Ida"), strings.Index(page, "<th>Zoë"))
	assert.Contains(t, page, "Harbour Steps, measure 9, 1st to 3rd position on the D string")
}

func TestAYearIsToldByLongerMedians(t *testing.T) {
	first := time.Date(2026, 1, 5, 18, 0, 0, 0, time.UTC)
	for days, want := range map[int]struct {
		strokes int
		words   string
	}{30: {5, "a week"}, 90: {13, "a week"}, 364: {13, "four weeks"}, 3 * 364: {12, "thirteen weeks"}} {
		var landings []trend.Landing
		for d := range days {
			landings = append(landings, trend.Landing{When: first.AddDate(0, 0, d), Cents: 20, Tolerance: 18})
		}
		last := first.AddDate(0, 0, days-1)
		assert.Len(t, progress.NewStrip(landings, first, last, 18, 470, 160).Weeks, want.strokes, "%d days", days)
		page := progress.PageOf(progress.Model{Player: "Mina", From: first, To: last})
		assert.Equal(t, want.words, page.Period)
	}
}

// Six days of a shift that began 31 cents sharp, with others that stand still: not
// certain to be closing, but not as before either.
func TestAsBeforeIsSaidOnlyOfWhatWasWithinTheToleranceAtFirst(t *testing.T) {
	var groups []trend.Group
	for k, cents := range [][]float64{{31, 26, 21, 16, 11, 6}, {3, -2, 4, 1, -3, 2}, {3, -2, 4, 1, -3, 2}, {3, -2, 4, 1, -3, 2}} {
		g := trend.Group{Shift: trend.Shift{Piece: "Harbour Steps", Measure: fmt.Sprint(k + 1), Beat: 1, String: 1, From: "1", To: "3"}}
		for d, c := range cents {
			g.Landings = append(g.Landings, trend.Landing{When: firstDay.AddDate(0, 0, 2*d), Take: fmt.Sprint(d), Cents: c, Tolerance: 18, SettleMS: 180, Trust: dsp.Sure})
		}
		groups = append(groups, g)
	}
	model := func(groups []trend.Group) progress.Model {
		m := progress.Model{Player: "Ida", From: firstDay, To: firstDay.AddDate(0, 0, 11)}
		for i, l := range trend.Shifts(groups, trend.Options{}) {
			m.Shifts = append(m.Shifts, progress.Shift{Line: l, Landings: groups[i].Landings})
		}
		return m
	}
	assert.Equal(t, []string{"4 shifts land within the tolerance. One of them did not at first, but it is not sure yet that it came nearer."}, progress.PageOf(model(groups)).Story)
	assert.Equal(t, []string{"3 shifts land within the tolerance, as before."}, progress.PageOf(model(groups[1:])).Story)
}

// From 1 cent sharp to 11 over a month is certain, and within what the level lets pass.
func TestWhatMovesWithinTheToleranceIsNotWhatTheDiaryBeginsWith(t *testing.T) {
	for tolerance, says := range map[float64]string{18: "within the tolerance", 6: "Needs work"} {
		g := trend.Group{Shift: trend.Shift{Piece: "Harbour Steps", Measure: "1", Beat: 1, String: 1, From: "1", To: "3"}}
		for d := range 30 {
			for k, off := range []float64{-1, 0, 1} {
				g.Landings = append(g.Landings, trend.Landing{When: firstDay.AddDate(0, 0, d), Take: fmt.Sprint(3*d + k), Cents: 1 + float64(d)/3 + off, Tolerance: tolerance, SettleMS: 180, Trust: dsp.Sure})
			}
		}
		l := trend.Shifts([]trend.Group{g}, trend.Options{})[0]
		require.Equal(t, trend.Opening, l.Verdict)
		story := progress.PageOf(progress.Model{Player: "Ida", From: firstDay, To: firstDay.AddDate(0, 0, 30), Shifts: []progress.Shift{{Line: l, Landings: g.Landings}}}).Story
		assert.Contains(t, story[0], says, "%v", tolerance)
	}
}

func TestAKindSaysWithinWhatAndWhereItIsNotAlike(t *testing.T) {
	var groups []trend.Group
	for measure, cents := range map[string]float64{"5": 31, "13": 1} {
		g := trend.Group{Shift: trend.Shift{Piece: "Harbour Steps", Measure: measure, Beat: 1, String: 1, From: "1", To: "3"}}
		for d := range 8 {
			g.Landings = append(g.Landings, trend.Landing{When: firstDay.AddDate(0, 0, 2*d), Take: fmt.Sprint(d), Cents: cents, Tolerance: 18, SettleMS: 180, Trust: dsp.Sure})
		}
		groups = append(groups, g)
	}
	m := progress.Model{Player: "Ida", From: firstDay, To: firstDay.AddDate(0, 0, 14), Kinds: trend.Kinds(groups, trend.Options{})}
	pg := progress.PageOf(m)
	require.Len(t, pg.Kinds, 1)
	assert.Equal(t, "5 in 10", pg.Kinds[0].Within)
	assert.Equal(t, "15", pg.Kinds[0].Spread)
	assert.Equal(t, "Not alike everywhere: 31 cents sharp in measure 5, 1 cent sharp in measure 13 of Harbour Steps.", pg.Kinds[0].Differ)
	page := diaryPage(t, m)
	assert.Contains(t, page, "Within ±18 cents</th>")
	assert.Contains(t, page, pg.Kinds[0].Differ)
}
