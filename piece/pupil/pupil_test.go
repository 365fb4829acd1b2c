package pupil

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
)

func TestComposedTunesAreBassTunes(t *testing.T) {
	lengths := map[int]int{}
	for seed := range int64(60) {
		tune := Compose(Style{Marked: true, Triplets: true}, seed)
		require.NotEmpty(t, tune.Line)
		for _, m := range tune.Piece.Measures {
			assert.Equal(t, m.Time.Beat()*piece.Ticks(m.Time.Beats), m.Length, "seed %d measure %s is full", seed, m.Number)
		}
		for i, s := range tune.Line {
			assert.True(t, s.MIDI >= 28 && s.MIDI <= 52, "seed %d: MIDI %d", seed, s.MIDI)
			want := openStrings[s.String]
			if !s.Open() {
				want += positions[s.Position] + fingers[s.Finger]
			}
			assert.Equal(t, want, s.MIDI, "seed %d note %d: the hand holds the note", seed, i)
		}
		for _, f := range Frames(tune.Line) {
			lengths[min(len(f.Steps), 3)]++
		}
	}
	for n := 1; n <= 3; n++ {
		assert.Greater(t, lengths[n], 30, "frames of %d notes (3 means more)", n)
	}
}

func TestTheLineIsTheOneThatThePieceUnfoldsTo(t *testing.T) {
	for seed := range int64(20) {
		tune := Compose(Style{Marked: true, Slurs: true, Pickup: seed%2 == 0}, seed)
		line, _ := tune.Piece.Line()
		require.Len(t, line, len(tune.Line))
		for i := range line {
			want := tune.Line[i].Expected
			assert.Equal(t, want, line[i], "seed %d note %d", seed, i)
		}
	}
}

func TestAWrittenTuneIsReadAsItWasComposed(t *testing.T) {
	for seed := range int64(20) {
		tune := Compose(Style{Marked: seed%2 == 0, Slurs: true, Triplets: true, Pickup: seed%3 == 0}, seed)
		read, err := notation.Read("study.musicxml", tune.MusicXML())
		require.NoError(t, err)
		line, _ := read.Line()
		require.Len(t, line, len(tune.Line))
		for i := range line {
			want := tune.Line[i].Expected
			want.Marks.Position = "" // has no element in MusicXML
			if want.Marks.Open {
				want.Marks.Finger = line[i].Marks.Finger // the open-string sign alone says it
			}
			assert.Equal(t, want, line[i], "seed %d note %d", seed, i)
		}
		assert.Equal(t, tune.QPM, read.TempoAt(0, 0))
	}
}

func TestMarkedTunesHaveTheShiftsThatTheFingerboardFinds(t *testing.T) {
	for seed := range int64(20) {
		tune := Compose(Style{Marked: true}, seed)
		var line []piece.Expected
		for _, s := range tune.Line {
			line = append(line, s.Expected)
		}
		var ours, theirs []int
		for _, f := range Frames(tune.Line) {
			if f.AfterShift {
				ours = append(ours, f.Steps[0])
			}
		}
		for _, s := range fingerboard.DoubleBass().Finger(line, fingerboard.Options{}).Shifts {
			theirs = append(theirs, s.Note)
		}
		assert.Equal(t, ours, theirs, "seed %d", seed)
	}
}

func TestEveryFaultFindsAPlaceInSomeTunes(t *testing.T) {
	for _, kind := range Catalogue {
		planted := 0
		for seed := range int64(30) {
			tune := Compose(Style{Marked: true}, seed)
			out := Player{Tune: tune, Level: Intermediate, Scatter: Careful, Seed: seed, Program: 43}.Play(kind)
			planted += len(out.Expected)
			for _, f := range out.Expected {
				assert.False(t, math.IsNaN(f.Value), kind.Name)
				assert.NotEmpty(t, f.Measure, kind.Name)
			}
		}
		assert.GreaterOrEqual(t, planted, 4, kind.Name)
	}
}

func TestABadShiftMovesItsFrameAndNothingElse(t *testing.T) {
	tune := Compose(Style{Marked: true}, 3)
	player := Player{Tune: tune, Level: Intermediate, Seed: 3, Program: 43}
	plain, bad := player.Play(), player.Play(BadShift(3, 99))
	require.Len(t, bad.Expected, 1)
	moved := 0
	for i := range plain.Plan.Notes {
		a, b := plain.Plan.Notes[i], bad.Plan.Notes[i]
		if a.Cents != b.Cents {
			moved++
			assert.InDelta(t, bad.Expected[0].Value, b.Cents, 1e-9)
			assert.False(t, tune.Line[i].Open(), "an open string belongs to no frame")
		}
		a.Cents, b.Cents = 0, 0
		assert.Equal(t, a, b, "note %d keeps its time", i)
	}
	assert.Equal(t, bad.Expected[0].FrameSize, moved)
	assert.GreaterOrEqual(t, math.Abs(bad.Expected[0].Value), 1.5*Intermediate.FrameCents)
}

func TestABassAt436IsPlantedOnlyWhereThatIsWellBeyondTheTolerance(t *testing.T) {
	tune := Compose(Style{Marked: true}, 7)
	play := func(level Level, faults ...Fault) *Performance {
		return Player{Tune: tune, Level: level, Scatter: Careful, Seed: 7}.Play(faults...)
	}
	low := play(Intermediate, Tuned436)
	require.Len(t, low.Expected, 1)
	assert.InDelta(t, -1200*math.Log2(440.0/436), low.Expected[0].Value, 0.01)
	assert.GreaterOrEqual(t, -low.Expected[0].Value, 1.5*Intermediate.TuneCents)
	for _, kind := range Catalogue {
		if kind.NotFirstYear {
			assert.Equal(t, play(FirstYear), play(FirstYear, kind), "%s leaves the take as it was", kind.Name)
		}
	}
	assert.Equal(t, play(Intermediate, Tuned), play(Intermediate, Tuned, Tuned436), "a bass has one tuning")
	assert.Equal(t, play(FirstYear, Late).Plan, play(FirstYear, Tuned436, Late).Plan, "what comes after it is played alike")
}

func TestALateNoteEndsOnTime(t *testing.T) {
	tune := Compose(Style{Marked: true}, 5)
	player := Player{Tune: tune, Level: Intermediate, Seed: 5, Program: 43}
	plain, late := player.Play(), player.Play(Late)
	require.Len(t, late.Expected, 1)
	moved := 0
	for i := range plain.Plan.Notes {
		a, b := plain.Plan.Notes[i], late.Plan.Notes[i]
		assert.InDelta(t, a.OnsetBeat+a.DurBeats*a.Hold, b.OnsetBeat+b.DurBeats*b.Hold, 1e-9, "note %d", i)
		if b.LateMS != a.LateMS {
			moved++
			assert.Equal(t, late.Expected[0].Value, b.LateMS)
		}
	}
	assert.Equal(t, 1, moved)
}

func TestNoNoteOutlastsTheNextOnset(t *testing.T) {
	for seed := range int64(10) {
		for _, kind := range Catalogue {
			tune := Compose(Style{Marked: true}, seed)
			plan := Player{Tune: tune, Level: FirstYear, Scatter: Beginner, Seed: seed, Program: 43}.Play(kind).Plan
			beat := 60 / plan.TempoQPM
			for i := 1; i < len(plan.Notes); i++ {
				a, b := plan.Notes[i-1], plan.Notes[i]
				end, next := (a.OnsetBeat+a.DurBeats*a.Hold)*beat, b.OnsetBeat*beat+b.LateMS/1000
				onset := a.OnsetBeat*beat + a.LateMS/1000
				assert.Less(t, onset, next, "%s seed %d note %d: onsets keep their order", kind.Name, seed, i)
				assert.LessOrEqual(t, end, next+0.001, "%s seed %d note %d", kind.Name, seed, i)
			}
		}
	}
}

func TestARestartPlaysTheMeasuresAgain(t *testing.T) {
	tune := Compose(Style{Marked: true}, 7)
	out := Player{Tune: tune, Level: Intermediate, Seed: 7, Program: 43}.Play(TwoAttempts)
	require.Len(t, out.Expected, 1)
	assert.Equal(t, "1", out.Expected[0].Measure)
	count := map[string]int{}
	for _, n := range out.Plan.Notes {
		count[n.Measure]++
	}
	whole := map[string]int{}
	for _, s := range tune.Line {
		whole[s.Number]++
	}
	assert.Equal(t, 2*whole["1"], count["1"], "the first measure is played twice")
	last := tune.Line[len(tune.Line)-1].Number
	assert.Equal(t, whole[last], count[last], "the last one once")
}

func TestTheSameSeedMakesTheSamePerformance(t *testing.T) {
	for _, kind := range Catalogue {
		play := func() string {
			out := Player{Tune: Compose(Style{}, 11), Level: Intermediate, Scatter: Beginner, Seed: 11, Program: 43}.Play(kind)
			return fmt.Sprintf("%+v %+v", out.Plan.Notes, out.Expected)
		}
		assert.Equal(t, play(), play(), kind.Name)
	}
}
