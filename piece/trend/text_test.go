package trend

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/piece/words/pseudo"
)

// everySecondDay is one landing every second day, with these cents.
func everySecondDay(cents ...float64) []Landing {
	var all []Landing
	for i, c := range cents {
		all = append(all, Landing{When: monday.AddDate(0, 0, 2*i), Take: fmt.Sprint(i), Cents: c, Tolerance: 18, SettleMS: math.NaN(), Trust: dsp.Sure})
	}
	return all
}

// line is so many values from one to another.
func line(from, to float64, n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = from + (to-from)*float64(i)/float64(n-1)
	}
	return v
}

func TestNoDayIsAmongTheFirstAndAmongTheLast(t *testing.T) {
	ten := Judge(everySecondDay(line(30, 3, 10)...), Options{})
	assert.Equal(t, "Closing in: it landed 24 cents sharp on its first 5 days and 9 cents sharp on its last 5.", ten.Text)
	six := Judge(everySecondDay(line(30, 5, 6)...), Options{})
	assert.Equal(t, []float64{25, 10}, []float64{six.First, six.Last})
	month := Judge(everySecondDay(line(30, 0, 16)...), Options{})
	assert.Equal(t, "Closing in: it landed 24 cents sharp on its first 7 days and 6 cents sharp on its last 7.", month.Text)
}

func TestWhatSeemsToCloseAmongManyIsSaidToNeedMoreDays(t *testing.T) {
	groups := []Group{{Landings: everySecondDay(line(31, 5, 6)...)}}
	for k := range 3 {
		groups = append(groups, Group{Shift{Measure: fmt.Sprint(k)}, everySecondDay(3, -2, 4, 1, -3, 2)})
	}
	lines := Shifts(groups, Options{})
	got := lines[0]
	assert.Equal(t, Holding, got.Verdict, "p %v of four shown together", got.P)
	assert.Equal(t, Closing, got.Seems())
	assert.Equal(t, "Holding: it landed 26 cents sharp on its first 3 days and 10 cents sharp on its last 3. "+
		"It seems to be closing, but only more days can make that sure.", got.Text)
	assert.Empty(t, lines[1].Seems())
	groups[0].Landings = everySecondDay(line(-5, -31, 6)...)
	assert.Contains(t, Shifts(groups, Options{})[0].Text, "It seems to be opening")
}

// What the tempo may explain does not seem to be anything either.
func TestWhatTheTempoExplainsDoesNotSeemToOpen(t *testing.T) {
	all := everySecondDay(line(5, 30, 12)...)
	for i := range all {
		all[i].QPM = 60 + 4*float64(i)
	}
	got := Judge(all, Options{})
	assert.Equal(t, Holding, got.Verdict)
	assert.Empty(t, got.Seems())
}

func TestAFewCentsNearerAreNotTold(t *testing.T) {
	for _, ends := range [][2]float64{{9, 8}, {2, 1}, {-12, -8}, {1, 5}} {
		got := Judge(everySecondDay(line(ends[0], ends[1], 15)...), Options{})
		assert.Less(t, got.P, 0.001, "it does move")
		assert.Equal(t, Holding, got.Verdict, ends)
		assert.Contains(t, got.Text, "as before: less than 5 cents nearer or farther off")
	}
	assert.Equal(t, Closing, Judge(everySecondDay(line(14, 8, 15)...), Options{}).Verdict)
}

func TestFromOneSideToTheOtherIsSaidAsItIs(t *testing.T) {
	over := Judge(everySecondDay(line(40, -40, 14)...), Options{})
	assert.Equal(t, "Holding: it landed 22 cents sharp on its first 7 days and 22 cents flat on its last 7. It went over from one side to the other.", over.Text)
	near := Judge(everySecondDay(line(40, -15, 14)...), Options{}) // is nearer, in part
	assert.NotContains(t, near.Text, "no nearer")
}

func TestASteadyTrendIsNoSpread(t *testing.T) {
	got := Judge(everySecondDay(line(40, 5, 14)...), Options{})
	assert.InDelta(t, 0, got.Spread, 1e-9)
	assert.InDelta(t, 0, got.FirstSD, 1e-9)
}

// kindOf is one kind of shift from places with these landings, one every second day.
func kindOf(places ...[]float64) Line {
	var groups []Group
	for i, cents := range places {
		s := Shift{Piece: "Harbour Steps", Measure: fmt.Sprint(5 + 8*i), Beat: 1, String: 1, From: "1", To: "3"}
		groups = append(groups, Group{s, everySecondDay(cents...)})
	}
	return Kinds(groups, Options{})[0]
}

func TestAKindWhosePlacesDifferIsNotSaidToLandBetweenThem(t *testing.T) {
	got := kindOf(line(31, 31, 8), line(1, 1, 8))
	assert.Equal(t, 0.5, got.Within, "of the landings: 8 of 16 within 18 cents")
	assert.InDelta(t, 15, got.Spread, 1e-9, "the standard deviation of 8 at 31 and 8 at 1")
	assert.Equal(t, "Holding, but not alike everywhere: 31 cents sharp in measure 5, 1 cent sharp in measure 13 of Harbour Steps.", got.Text)
	assert.Equal(t, Holding, got.Verdict)

	most := kindOf(line(31, 31, 8), line(1, 1, 8), line(2, 2, 8), line(1, 1, 8))
	assert.Equal(t, 0.75, most.Within)
	assert.Greater(t, most.Spread, 10.0, "one place in four is seen too")

	sides := kindOf(line(30, 30, 8), line(-30, -30, 8))
	assert.Equal(t, "Scattered: 30 cents sharp in measure 5, 30 cents flat in measure 13 of Harbour Steps.", sides.Text)

	nearer := kindOf(line(60, 35, 12), line(27, 2, 12))
	assert.Equal(t, Closing, nearer.Verdict)
	assert.Contains(t, nearer.Text, "It does not land alike everywhere: 41 cents sharp in measure 5, 8 cents sharp in measure 13")
}

// Of a kind with places alike but for chance, nobody is told that they differ.
func TestPlacesThatDifferByChanceAreNotToldApart(t *testing.T) {
	told := 0
	for k := range 100 {
		var groups []Group
		for p := range 6 {
			groups = append(groups, Group{Shift{Measure: fmt.Sprint(p)}, month{seed: int64(10*k + p), from: 25, to: 25, daily: 12}.play()})
		}
		if kind := Kinds(groups, Options{})[0]; kind.Differ() != "" {
			told++
		}
	}
	t.Log(told, "of 100 kinds of six places")
	assert.LessOrEqual(t, told, 5)
	assert.Empty(t, func() string { k := kindOf(line(31, 31, 3), line(1, 1, 3)); return k.Differ() }(), "three days each do not make it sure")
}

func TestLandingsThatDoNotDifferAreNotSaidToDiffer(t *testing.T) {
	for _, cents := range [][]float64{line(31, 31, 8), {31, 31, 31, 32, 31, 31, 31, 31}, {30, 31, 31, 30, 31, 31, 30, 31}} {
		assert.Equal(t, "Holding: it lands 31 cents sharp, as before.", Judge(everySecondDay(cents...), Options{}).Text)
	}
	wide := Judge(everySecondDay(31, 2, 44, 20, 8, 52, 12, 33), Options{})
	assert.Contains(t, wide.Text, "No change is clear: the landings differ too much among themselves.")
	assert.Greater(t, wide.Spread, 5.0)
}

func TestNothingOfATrendIsLeftUntranslated(t *testing.T) {
	defer pseudo.Speak()()
	for _, cents := range [][]float64{line(30, 3, 10), line(3, 30, 10), line(40, -40, 14), line(9, 8, 15), line(31, 31, 8), {30, -30, 28, -31, 29, -28, 31, -30, 30}, {30}} {
		got := Judge(everySecondDay(cents...), Options{})
		assert.Empty(t, pseudo.Plain(got.Text+got.Rest().String()), "%s", got.Text)
	}
	got := kindOf(line(31, 31, 8), line(1, 1, 8))
	assert.Empty(t, pseudo.Plain(got.Text+got.Rest().String()+got.Differ(), "Harbour Steps"))
}

func TestTheRestOfATrendIsASentenceOfItsOwn(t *testing.T) {
	closing := Judge(everySecondDay(line(30, 3, 10)...), Options{})
	assert.Equal(t, "It landed 24 cents sharp on its first 5 days and 9 cents sharp on its last 5.", closing.Rest().String())
	few := Judge(everySecondDay(30), Options{})
	assert.Equal(t, few.Text, few.Rest().String(), "too few days is all there is to say")
	flat := kindOf(line(30, 30, 8), line(-30, -30, 8))
	assert.Equal(t, "30 cents sharp in measure 5, 30 cents flat in measure 13 of Harbour Steps.", flat.Rest().String())
}
