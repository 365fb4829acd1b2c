package fingerboard

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
)

// measures gives the notes of a plan by measure: string, position and finger of each.
func measures(line []piece.Expected, p Plan) map[int][]string {
	all := map[int][]string{}
	for i, n := range p.Notes {
		m := line[i].Measure
		all[m] = append(all[m], fmt.Sprint(n.String, " ", n.Position, " ", n.Finger))
	}
	return all
}

func TestAMeasureThatComesAgainIsFingeredAlike(t *testing.T) {
	// Measures 1, 3 and 5 are equal and lead to C; before the third the hand comes
	// from high up, before the others from first position.
	line := tune(t, `B2 C3 A2 B2  C3 A2 G2 B2  B2 C3 A2 B2  C3 E3 D3 B2  B2 C3 A2 B2  C3 - - -`)
	found := measures(line, DoubleBass().Finger(line, Options{}))
	assert.Equal(t, found[2], found[4])
	for seed := range uint64(40) {
		// A tune of random measures, each four times, between two notes that are always the same.
		var text string
		few := [][]piece.Expected{}
		for m := range uint64(4) {
			few = append(few, wander(DoubleBass(), 100*seed+m, 4, false))
		}
		for m := range 16 {
			for _, n := range few[(m*7+int(seed))%4] {
				text += fmt.Sprintf("%s ", sounding(max(28, min(60, n.MIDI))))
			}
			text += "G2*4 "
		}
		line := tune(t, text)
		p := DoubleBass().Finger(line, Options{QPM: 90})
		found := measures(line, p)
		first := map[string][]string{}
		for m := 2; m < 30; m += 2 { // the first has no way in
			var pitches string
			for i := range line {
				if line[i].Measure == m {
					pitches += fmt.Sprint(line[i].MIDI, " ")
				}
			}
			if first[pitches] == nil {
				first[pitches] = found[m]
			}
			require.Equal(t, first[pitches], found[m], "seed %d, measure %d: %s", seed, m, text)
		}
	}
}

func TestWhatStandsElsewhereOnTheNeckIsFingeredAlike(t *testing.T) {
	// The same four notes from C sharp, D, E flat and E, each between rests.
	line := tune(t, `C#3 D3 D#3 C#3  - - - -  D3 Eb3 E3 D3  - - - -  Eb3 E3 F3 Eb3  - - - -  E3 F3 F#3 E3 - - - - E3`)
	p := DoubleBass().Finger(line, Options{})
	hands := map[string]bool{}
	for m := range 3 {
		var hand string
		for i, n := range p.Notes {
			if line[i].Measure == 2*m {
				hand += fmt.Sprint(n.String, n.Finger, " ")
			}
		}
		hands[hand] = true
	}
	assert.Len(t, hands, 1, "%v", hands)
}

// sounding writes a pitch as tune reads it.
func sounding(midi int) string {
	return fmt.Sprint([]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}[midi%12], midi/12-1)
}

func TestWhereTwoFingeringsLieCloseTheOtherIsShownAndCanBeTaken(t *testing.T) {
	line := tune(t, "A2 B2 C3 B2 A2 G2 F2 -")
	p := DoubleBass().Finger(line, Options{})
	require.NotEmpty(t, p.Others)
	for _, o := range p.Others {
		assert.Less(t, o.More, near)
		assert.False(t, sameStop(o.Notes[0], p.Notes[o.First]), "what is shown is another fingering, from its first note")
		assert.False(t, sameStop(o.Notes[len(o.Notes)-1], p.Notes[o.Last]), "to its last")
		taken := append([]piece.Expected{}, line...)
		for n, f := range o.Notes {
			taken[o.First+n].Marks = piece.Marks{Finger: f.Finger, String: f.String, Position: f.Position}
		}
		again := DoubleBass().Finger(taken, Options{})
		assert.Empty(t, again.Contradictions)
		for n, f := range o.Notes {
			assert.True(t, sameStop(f, again.Notes[o.First+n]), "who takes it plays it")
		}
		assert.InDelta(t, p.Cost+o.More, again.Cost, 1e-9, "and it costs what was said")
	}
}

func TestWhatIsTakenNeedsNoStringOverIt(t *testing.T) {
	everyone := Instruments()
	for _, s := range Schools() {
		everyone = append(everyone, Named{s.Name, bassUnder(s.Name)})
	}
	for _, in := range everyone {
		low, high := in.Range()
		for midi := low; midi <= high; midi++ {
			on := map[string]int{} // the string of a finger in a position
			for _, s := range in.stops(midi) {
				if !s.stopped() || in.System.Positions[s.place].Token == "thumb" {
					continue
				}
				what := s.finger + " in " + in.System.Positions[s.place].Token
				if str, known := on[what]; known {
					assert.Equal(t, str, s.str, "%s: %d: %s", in.Word, midi, what)
				}
				on[what] = s.str
			}
		}
	}
}

// A measure that climbs the whole range, over and over, each time a semitone higher: more
// fingerings of it are found than are weighed against each other, and those that stand on
// one pitch are alike all the same.
func TestAMeasureThatClimbsTheWholeRangeIsFingeredAlikeAtEachPitch(t *testing.T) {
	for _, in := range Instruments() {
		low, high := in.Range()
		for seed := range uint64(6) {
			steps := wander(in.Instrument, seed, 4, false)
			var text string
			var stand []int // the pitch of each measure
			for range 3 {
				for at := low + 5; at < high-5; at++ {
					for _, n := range steps {
						text += sounding(at+(n.MIDI-steps[0].MIDI)%6) + " "
					}
					stand = append(stand, at)
				}
			}
			line := tune(t, text)
			found := measures(line, in.Finger(line, Options{}))
			alike := map[int][]string{}
			for m, at := range stand {
				if at == low+5 || at == high-6 { // another way in or out
					continue
				}
				if alike[at] == nil {
					alike[at] = found[m]
				}
				require.Equal(t, alike[at], found[m], "%s, seed %d, on %s", in.Word, seed, sounding(at))
			}
		}
	}
}

func TestAFewMeasuresKeepTheFingersOfTheWhole(t *testing.T) {
	for seed := range uint64(30) {
		line := wander(DoubleBass(), 7300+seed, 40, false)
		whole := DoubleBass().Finger(line, Options{})
		from, to := 8+int(seed)%10, 24+int(seed)%9
		part := DoubleBass().FingerPart(line, from, to, Options{})
		for i, n := range part.Notes {
			w := whole.Notes[from+i]
			assert.Equal(t, []any{w.String, w.Position, w.Finger, w.Open}, []any{n.String, n.Position, n.Finger, n.Open})
		}
		var want []int
		for _, s := range whole.Shifts {
			if s.Before >= from && s.Note < to {
				want = append(want, s.Note)
			}
		}
		var got []int
		for _, s := range part.Shifts {
			got = append(got, s.Note+from)
			assert.Equal(t, s.Frame, part.Notes[s.Note].Frame)
			assert.Less(t, s.LastNote, to-from)
		}
		assert.Equal(t, want, got)
	}
}
