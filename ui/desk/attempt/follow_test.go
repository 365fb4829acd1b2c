package attempt

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/ui/desk/score"
	"endpin/ui/desk/timetable"
	"endpin/ui/desk/work"
)

func demoScore(t testing.TB) *score.Score {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	return score.New(p, "demo.musicxml")
}

func TestTheCursorMovesAtBeatsAndNotesAlone(t *testing.T) {
	s := demoScore(t)
	w := work.Work{Way: work.BowSilently, Last: 3, QPM: 60, CountIn: 1, Silence: 4}
	a, err := New(s, w, finding.Options{}, 8000, 0)
	require.NoError(t, err)
	due := map[int]bool{} // hundredths of a second at which a beat or a note comes
	for _, at := range a.steps {
		due[int(at*100+0.5)] = true
	}
	moves := 0
	before := a.Live()
	for a.Phase() != Ended {
		a.Push(make([]float32, 80))
		l := a.Live()
		if l.Measure >= 0 && before.Measure >= 0 && l.News(&before) {
			moves++
			at := int(a.Time()*100 + 0.5)
			assert.True(t, due[at] || due[at-1], "at %.2f s", a.Time())
		}
		before = l
	}
	assert.Greater(t, moves, 3*4-1, "four measures of at least three beats")
}

func TestANoteThatLiesNearEnoughIsNoNewsForTheViews(t *testing.T) {
	before := Live{Note: nowhere}
	for _, c := range []struct {
		cents float64
		news  bool
	}{{0, false}, {31, true}, {-28, true}} {
		l := Live{Note: Sounding{Line: 3, Measure: 1, Note: 0, Cents: c.cents}}
		assert.Equal(t, c.news, l.News(&before), "%g cents", c.cents)
		assert.Equal(t, c.news, before.News(&l), "and as it goes")
	}
}

// soft is a moment of the listening.
func soft(at, began, pitch float64) dsp.Now {
	return dsp.Now{Time: at, Began: began, Pitch: pitch, Level: -20}
}

func TestANoteBeyondTheToleranceIsToldWhileItSoundsAndNoOther(t *testing.T) {
	s := demoScore(t)
	w := work.Work{Way: work.PlayAlong, Last: 3, QPM: 60, CountIn: 1, Silence: 4}
	table := timetable.New(s, w)
	for off, told := range map[float64]bool{0: false, 10: false, 20: false, 45: true, -45: true} {
		f := newFollower(s, w, table, finding.Options{Level: finding.Intermediate})
		at := f.line[0].at
		pitch := float64(s.Line[f.line[0].index].MIDI) + off/100
		for k := range 30 {
			now := at + float64(k)*0.01
			f.hear(soft(now, at, pitch), now)
		}
		assert.Equal(t, f.line[0].index, f.told.Line)
		if assert.Equal(t, told, f.told.Cents != 0, "%g cents", off); told {
			assert.InDelta(t, off, f.told.Cents, 1)
		}
		f.hear(soft(at+0.4, at, 0), at+0.4)
		assert.Equal(t, nowhere, f.told, "it goes with the note")
	}
}

func TestAnotherNoteThanTheWrittenOneIsToldOfNothing(t *testing.T) {
	s := demoScore(t)
	w := work.Work{Way: work.PlayAlong, Last: 3, QPM: 60, CountIn: 1, Silence: 4}
	table := timetable.New(s, w)
	f := newFollower(s, w, table, finding.Options{})
	at := f.line[0].at
	for k := range 30 {
		now := at + float64(k)*0.01
		f.hear(soft(now, at, 57.5), now) // nothing near it is written there
	}
	assert.Equal(t, nowhere, f.told)
}

// play lets notes of the line sound, a quarter second each, from a time on.
func (f *follower) play(at float64, notes ...int) float64 {
	for _, k := range notes {
		for m := range 20 {
			f.hear(soft(at+float64(m)*0.01, at, float64(f.score.Line[f.line[k].index].MIDI)), 0)
		}
		at += 0.7
	}
	return at
}

func TestWhereNoBeatLeadsThePlayerIsFollowedFromWhereverHeBegins(t *testing.T) {
	s := demoScore(t)
	w := work.Work{Way: work.PlayAlone, Last: 15, QPM: 60, Silence: 4}
	for _, from := range []int{0, 9} {
		f := newFollower(s, w, timetable.New(s, w), finding.Options{})
		at := 1.0
		for k := from; k < from+14; k++ {
			at = f.play(at, k)
		}
		assert.Equal(t, from+13, f.at)
		assert.Equal(t, from+13, f.shown)
	}
}

func TestTheCursorGoesBackWhereThePlayerDoesAndNowhereElse(t *testing.T) {
	s := demoScore(t)
	w := work.Work{Way: work.PlayAlone, Last: 15, QPM: 60, Silence: 4}
	f := newFollower(s, w, timetable.New(s, w), finding.Options{})
	shown := -1
	at := 1.0
	for k := range 24 {
		if k == 8 || k == 15 {
			continue // not heard
		}
		at = f.play(at, k)
		require.GreaterOrEqual(t, f.shown, shown)
		shown = f.shown
	}
	require.Equal(t, 23, f.shown)
	for k := range 12 {
		at = f.play(at, k)
	}
	assert.Equal(t, []int{11, 11}, []int{f.at, f.shown}, "the player began anew")
}
