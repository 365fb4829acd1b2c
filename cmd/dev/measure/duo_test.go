package main

import (
	"errors"
	"fmt"
	"math"
	"math/rand"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/pupil"
)

func TestASecondPlayerOnAnotherLineLowersTrust(t *testing.T) {
	rendered(t, 1)
	pieces, err := printedPieces()
	require.NoError(t, err)
	for i, sheet := range pieces[:2] {
		tune, err := sheet.tune()
		require.NoError(t, err)
		read, err := notation.Read(sheet.file, sheet.data)
		require.NoError(t, err)
		play := func(seed int64, program int, change func(n *rig.Note)) []float32 {
			plan := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Seed: seed, Program: program}.Play().Plan
			for k := range plan.Notes {
				change(&plan.Notes[k])
			}
			take, err := rig.Render(plan)
			require.NoError(t, err)
			return take.Samples
		}
		rng := rand.New(rand.NewSource(int64(i)))
		alone := play(int64(i), rig.Bowed, func(*rig.Note) {})
		other := play(int64(i+70), rig.Cello, func(n *rig.Note) { n.MIDI += []int{3, 4, 7, 9}[rng.Intn(4)] })
		both := make([]float32, len(alone))
		for k := range both {
			both[k] = 0.6 * alone[k]
			if k < len(other) {
				both[k] += 0.3 * other[k]
			}
		}
		judged := func(sound []float32) (*finding.Hearing, error) {
			heard, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: sound}, dsp.Bass)
			require.NoError(t, err)
			return finding.Judge(read, heard, finding.Options{})
		}
		h, err := judged(alone)
		require.NoError(t, err)
		for _, f := range h.Findings {
			assert.NotEqual(t, finding.NotSure, f.Kind, "alone: %s", f.Text)
		}
		h, err = judged(both)
		if errors.Is(err, align.ErrNothing) {
			continue // told as another piece, or another player
		}
		require.NoError(t, err)
		unsure := false
		for _, f := range h.Findings {
			unsure = unsure || f.Kind == finding.NotSure
			assert.NotEqual(t, dsp.Sure, f.Trust, f.Text)
		}
		assert.True(t, unsure, "%s: nothing told of the second player", sheet.file)
	}
}

// chords plays a triad on every half measure of a take, of the notes of D major that
// fit what is played there: an accompaniment as on a backing track.
func chords(plan rig.Plan, program int) rig.Plan {
	scale := []int{50, 52, 54, 55, 57, 59, 61}
	end := 0.0
	for _, n := range plan.Notes {
		end = max(end, n.OnsetBeat+n.DurBeats)
	}
	played := plan.Notes
	plan.Program, plan.Notes = program, nil
	for beat := 0.0; beat < end; beat += 2 {
		best, most := 0, -1.0
		for d := range scale {
			fits := 0.0
			for _, n := range played {
				shared := min(beat+2, n.OnsetBeat+n.DurBeats) - max(beat, n.OnsetBeat)
				for _, k := range []int{0, 2, 4} {
					if shared > 0 && n.MIDI%12 == scale[(d+k)%7]%12 {
						fits += shared
					}
				}
			}
			if fits > most {
				best, most = d, fits
			}
		}
		for _, k := range []int{0, 2, 4} {
			plan.Notes = append(plan.Notes, rig.Note{MIDI: scale[(best+k)%7], OnsetBeat: beat, DurBeats: 2, Hold: 0.98})
		}
	}
	return plan
}

// under mixes other sound under a take, db below it by their powers.
func under(take *rig.Take, other []float32, db float64) {
	power := func(s []float32) (sum float64) {
		for _, v := range s {
			sum += float64(v) * float64(v)
		}
		return sum
	}
	gain := math.Sqrt(power(take.Samples)/power(other)) * math.Pow(10, db/20)
	for i := range take.Samples {
		take.Samples[i] *= 0.6
		if i < len(other) {
			take.Samples[i] += float32(0.6 * gain * float64(other[i]))
		}
	}
}

// inD is the tune of these tests, read as it is printed.
func inD(t *testing.T) (*pupil.Tune, *piece.Piece) {
	t.Helper()
	pieces, err := printedPieces()
	require.NoError(t, err)
	at := slices.IndexFunc(pieces, func(p printed) bool { return filepath.Base(p.file) == "two_places.musicxml" })
	require.GreaterOrEqual(t, at, 0)
	read, err := notation.Read(pieces[at].file, pieces[at].data)
	require.NoError(t, err)
	tune, err := pupil.FromPiece(read)
	require.NoError(t, err)
	return tune, read
}

func tells(t *testing.T, read *piece.Piece, sound []float32) (*finding.Hearing, error) {
	t.Helper()
	heard, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: sound}, dsp.Bass)
	require.NoError(t, err)
	return finding.Judge(read, heard, finding.Options{})
}

func TestABackingTrackIsNoFaultOfThePlayer(t *testing.T) {
	rendered(t, 1)
	tune, read := inD(t)
	for seed, v := range []voice{bowed, realArco} {
		for _, program := range []int{rig.Cello, rig.Plucked} {
			for _, db := range []float64{-20, -12} {
				if program == rig.Plucked && db < -12 {
					continue // dies away in the pauses, too soft to be told from a ring
				}
				plan := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Seed: int64(300 + seed)}.Play().Plan
				take, err := v.play(plan)
				require.NoError(t, err)
				track, err := rig.Render(chords(plan, program))
				require.NoError(t, err)
				under(take, track.Samples, db)
				h, err := tells(t, read, take.Samples)
				what := fmt.Sprintf("%s, program %d at %.0f dB", v.name, program, db)
				if errors.Is(err, align.ErrNothing) {
					t.Logf("%s: nothing of the piece could be heard", what)
					continue // told as another piece, or an instrument that sounds along
				}
				require.NoError(t, err)
				said := false
				t.Logf("%s: findings %d", what, len(h.Findings))
				for _, f := range h.Findings {
					t.Logf("%s, %s: %s", f.Kind, f.Trust, f.Text)
					said = said || f.Kind == finding.NotSure && (strings.Contains(f.Text, "another instrument sounds along") || strings.Contains(f.Text, "an instrument that plays along"))
					assert.NotEqual(t, dsp.Sure, f.Trust, "%s: %s", what, f.Text)
					switch f.Kind {
					case finding.Extra, finding.WrongNote, finding.Late, finding.Early, finding.HeldLong, finding.HeldShort, finding.WrongRhythm:
						t.Errorf("%s: what the track plays is told of the player: %s", what, f.Text)
					}
				}
				assert.True(t, said, "%s: nothing is said of it", what)
			}
		}
	}
}

func TestTalkAfterATakeIsNoPartOfIt(t *testing.T) {
	rendered(t, 1)
	words, err := rig.Speak("So, that was it. The middle was out of tune. Mum, how do I stop this? Is it still running? Oh, there is the button. Goodbye, see you on Monday.", -6)
	require.NoError(t, err)
	tune, read := inD(t)
	for seed, v := range []voice{bowed, realArco} {
		late := slices.IndexFunc(pupil.Catalogue, func(f pupil.Fault) bool { return f.Name == "late" })
		plan := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Seed: int64(310 + seed)}.Play(pupil.Catalogue[late]).Plan
		take, err := v.play(plan)
		require.NoError(t, err)
		quiet, err := tells(t, read, take.Samples)
		require.NoError(t, err)
		require.Len(t, quiet.Findings, 1)
		for _, gap := range []float64{0.1, 0.6} {
			with := &rig.Take{Samples: slices.Concat(take.Samples, make([]float32, int(gap*rig.Rate)), words)}
			h, err := tells(t, read, with.Samples)
			require.NoError(t, err)
			require.Len(t, h.Findings, 1, "%s, %.1f s: %+v", v.name, gap, h.Findings)
			assert.Equal(t, finding.Late, h.Findings[0].Kind)
			assert.Equal(t, quiet.Findings[0].Measure, h.Findings[0].Measure)
			assert.Equal(t, dsp.Sure, h.Findings[0].Trust)
			assert.Less(t, *h.Notes[len(h.Notes)-1].Onset, float64(len(with.Samples))/rig.Rate-8, "no word is a note of the page")
		}
	}
}
