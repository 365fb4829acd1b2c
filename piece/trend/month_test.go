package trend

import (
	"fmt"
	"math"
	"math/rand"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
)

// month is one player's month with one shift, made up.
type month struct {
	seed     int64
	from, to float64 // cents, at its first day and its last
	takes    int     // a day; 0 for three
	landings int     // of the shift in a take; 0 for one
	days     int     // that were practised, the first ones; 0 for all thirty
	weekends bool    // nothing is practised on Saturday and Sunday
	shared   float64 // SD of what all landings of one take have in common
	daily    float64 // SD of what all landings of one day have in common
	qpm      func(part float64) float64
	perTempo float64 // cents for an octave of tempo
}

const scatter = 20.0 // SD of a landing, cents

var monday = time.Date(2026, 11, 2, 17, 30, 0, 0, time.UTC)

func (m month) play() []Landing {
	rng := rand.New(rand.NewSource(m.seed))
	var all []Landing
	days := m.days
	if days == 0 {
		days = 30
	}
	own := math.Sqrt(scatter*scatter - m.shared*m.shared - m.daily*m.daily)
	for d := 0; d < days; d++ {
		if m.weekends && d%7 >= 5 {
			continue
		}
		part := float64(d) / 29
		today := m.daily * rng.NormFloat64()
		for k := 0; k < max(m.takes, 1+2*b(m.takes == 0)); k++ {
			q := 76.0
			if m.qpm != nil {
				q = m.qpm(part)
			}
			q *= math.Exp(0.02 * rng.NormFloat64())
			take := m.shared * rng.NormFloat64()
			for j := 0; j < max(m.landings, 1); j++ {
				all = append(all, Landing{When: monday.AddDate(0, 0, d).Add(time.Duration(k) * time.Hour), Take: fmt.Sprint(d, "/", k),
					Cents:     m.from + (m.to-m.from)*part + m.perTempo*math.Log2(q/76) + today + take + own*rng.NormFloat64(),
					Tolerance: 18, SettleMS: 150, QPM: q, Trust: dsp.Sure})
			}
		}
	}
	return all
}

func b(is bool) int {
	if is {
		return 1
	}
	return 0
}

// verdicts counts what so many seeds of a month are told.
func verdicts(m month, seeds int) map[Verdict]int {
	out := map[Verdict]int{}
	for s := 0; s < seeds; s++ {
		m.seed = int64(1000 + s)
		out[Judge(m.play(), Options{}).Verdict]++
	}
	return out
}

func TestAShiftThatClosesHoldsOrOpensIsToldSo(t *testing.T) {
	for _, c := range []struct {
		name string
		m    month
		want Verdict
	}{
		{"closes from sharp", month{from: 35, to: 5}, Closing},
		{"closes from flat", month{from: -35, to: -5}, Closing},
		{"holds sharp", month{from: 25, to: 25}, Holding},
		{"opens sharp", month{from: 5, to: 35}, Opening},
		{"opens flat", month{from: -5, to: -35}, Opening},
		{"closes, two landings a take, weekends off", month{from: 35, to: 5, landings: 2, shared: 10, weekends: true}, Closing},
		{"closes while the tempo rises by a fifth", month{from: 35, to: 5, qpm: rising(1.2)}, Closing},
		{"holds while the tempo rises by a fifth", month{from: 25, to: 25, qpm: rising(1.2)}, Holding},
	} {
		got := verdicts(c.m, 20)
		t.Log(c.name, got)
		assert.GreaterOrEqual(t, got[c.want], 18, "%s: %v", c.name, got)
	}
}

func TestAMonthWithoutChangeIsHardlyEverToldAsChange(t *testing.T) {
	for _, c := range []struct {
		name string
		m    month
	}{
		{"sharp", month{from: 30, to: 30}},
		{"in tune", month{}},
		{"flat", month{from: -20, to: -20}},
		{"two landings a take that go together", month{from: 25, to: 25, landings: 2, shared: 12}},
		{"landings of a day go together, weekends off", month{from: 25, to: 25, landings: 2, daily: 12, weekends: true}},
		{"one take a day", month{from: 25, to: 25, takes: 1}},
		{"two weeks only", month{from: 25, to: 25, days: 14}},
		{"tempo up by half, landings no worse for it", month{from: 25, to: 25, qpm: rising(1.5)}},
		{"tempo up by half, landings worse for it alone", month{from: 5, to: 5, qpm: rising(1.5), perTempo: 40}},
	} {
		got := verdicts(c.m, 100)
		t.Log(c.name, got)
		assert.LessOrEqual(t, got[Closing]+got[Opening], 5, "%s: %v", c.name, got)
	}
}

func rising(to float64) func(float64) float64 {
	return func(part float64) float64 { return 76 * math.Pow(to, part) }
}

func TestThreeTakesAreAlwaysTooFew(t *testing.T) {
	for seed := int64(0); seed < 100; seed++ {
		all := month{seed: seed, from: 35, to: 5, takes: 1, landings: 4}.play()
		three := append(append(append([]Landing{}, all[:4]...), all[56:60]...), all[116:]...)
		got := Judge(three, Options{})
		assert.Equal(t, TooFew, got.Verdict)
		assert.Equal(t, 3, got.Takes)
	}
}

func TestManyTakesOfOneWeekAreTooFew(t *testing.T) {
	assert.Equal(t, map[Verdict]int{TooFew: 20}, verdicts(month{from: 35, to: 5, days: 7, takes: 12}, 20))
}

func TestTwelveShiftsTogetherCryWolfNoMoreThanOne(t *testing.T) {
	pages, wrong := 100, 0
	for p := 0; p < pages; p++ {
		var groups []Group
		for k := 0; k < 12; k++ {
			groups = append(groups, Group{Shift{Measure: fmt.Sprint(k)}, month{seed: int64(100*p + k), from: 25, to: 25}.play()})
		}
		for _, l := range Shifts(groups, Options{}) {
			if l.Verdict == Closing || l.Verdict == Opening {
				wrong++
				break
			}
		}
	}
	t.Log(wrong, "of", pages, "pages of twelve")
	assert.LessOrEqual(t, wrong, 5)
}

func TestAmongTwelveTheOneThatMovesIsFound(t *testing.T) {
	found := 0
	for p := 0; p < 20; p++ {
		groups := []Group{{Shift{Measure: "22"}, month{seed: int64(p), from: 35, to: 5, takes: 5}.play()}}
		for k := 0; k < 11; k++ {
			groups = append(groups, Group{Shift{}, month{seed: int64(5000 + 100*p + k), from: 25, to: 25}.play()})
		}
		if Shifts(groups, Options{})[0].Verdict == Closing {
			found++
		}
	}
	assert.GreaterOrEqual(t, found, 18)
}

func TestOpeningAndClosingAreToldByTheDistanceFromNothing(t *testing.T) {
	assert.GreaterOrEqual(t, verdicts(month{from: 40, to: -40}, 20)[Holding], 18, "from sharp to flat is no nearer")
	rises := month{from: -35, to: -5}.play()
	got := Judge(rises, Options{})
	assert.Equal(t, Closing, got.Verdict)
	assert.Positive(t, *got.Slope, "a flat shift closes upward")
}

func TestNeitherSharpNorFlatButWideIsScattered(t *testing.T) {
	m := month{}
	wide := 0
	for s := int64(0); s < 20; s++ {
		m.seed = s
		all := m.play()
		for i := range all {
			all[i].Cents *= 2
		}
		if Judge(all, Options{}).Verdict == Scattered {
			wide++
		}
	}
	assert.GreaterOrEqual(t, wide, 18)
	assert.Zero(t, verdicts(month{from: 30, to: 30}, 20)[Scattered], "sharp is sharp, however wide")
}

func TestTheFirstDaysAndTheLastAreDaysWithTakes(t *testing.T) {
	var all []Landing
	for i := 0; i < 10; i++ { // one day a week
		all = append(all, Landing{When: monday.AddDate(0, 0, 7*i), Cents: float64(10 * i), Tolerance: 18, SettleMS: math.NaN(), Trust: dsp.Sure})
	}
	got := Judge(all, Options{})
	assert.Equal(t, 20.0, got.First, "five days: no day is first and last")
	assert.Equal(t, 70.0, got.Last)
	assert.InDelta(t, 10, *got.Slope, 1e-9)
	assert.Nil(t, got.SettleMS)
	assert.Equal(t, 0.2, got.Within)
}

func TestNothingHeardIsNothingSaid(t *testing.T) {
	assert.Equal(t, TooFew, Judge(nil, Options{}).Verdict)
	got := Judge([]Landing{{When: monday, Cents: 90, Trust: dsp.NotSure}}, Options{})
	assert.Equal(t, 0, got.Times)
	assert.Equal(t, 1, got.Unsure)
}

func TestAKindIsJudgedOverItsPieces(t *testing.T) {
	// The sharp one is practised early, the one in tune late: no change at all.
	a, b := month{seed: 1, from: 40, to: 40}.play(), month{seed: 2}.play()
	groups := []Group{
		{Shift{Piece: "a", Measure: "3", String: 2, From: "1", To: "3"}, a[:45]},
		{Shift{Piece: "b", Measure: "9", String: 2, From: "1", To: "3"}, b[45:]},
	}
	kinds := Kinds(groups, Options{})
	assert.Len(t, kinds, 1)
	assert.Empty(t, kinds[0].Piece)
	assert.Equal(t, 90, kinds[0].Times)
	assert.NotEqual(t, Closing, kinds[0].Verdict)
}
