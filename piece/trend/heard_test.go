package trend_test

import (
	"fmt"
	"math"
	"math/rand"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/dsp/robust"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/pupil"
	"endpin/piece/trend"
)

// upAndBack goes from first to third position on the D string four times; a tune
// of our own.
const upAndBack = `X:1
T:Up and Back
M:4/4
L:1/4
Q:1/4=92
K:G
"I"D, !1!E, !4!^F, D, | "III"!1!G, !4!A, !1!G,2 | "I"!4!^F, !1!E, D, !1!E, | "III"!1!G, !4!A, !1!G,2 |
"I"!1!E, !4!^F, D,2 | "III"!1!G, !4!A, !1!G,2 | "I"!1!E, !4!^F, D,2 | "III"!1!G, !4!A, !1!G,2 |]
`

// A month as it sounds: takes of four weeks rendered, heard and judged as any other.
// The hand comes down so many cents off after each shift up, SD 20 cents.
func TestAMonthOfRenderedTakesIsHeardForWhatItIs(t *testing.T) {
	if testing.Short() {
		t.Skip("renders takes")
	}
	if _, err := exec.LookPath("fluidsynth"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	p, err := notation.Read("up.abc", []byte(upAndBack))
	require.NoError(t, err)
	tune, err := pupil.FromPiece(p)
	require.NoError(t, err)
	for _, c := range []struct {
		name     string
		from, to float64
		takes    int // one every other day
		want     trend.Verdict
	}{
		{"closes", 40, 0, 14, trend.Closing},
		{"holds", 25, 25, 7, trend.Holding},
		{"opens flat", 0, -40, 14, trend.Opening},
	} {
		t.Run(c.name, func(t *testing.T) {
			rng := rand.New(rand.NewSource(11))
			byShift := map[trend.Shift][]trend.Landing{}
			var off []float64
			at := make([]float64, c.takes)
			for k := range at {
				at[k] = c.from + (c.to-c.from)*float64(k)/13
			}
			sound, planted := render(t, tune, at, 20, rng)
			for k := range at {
				day := 2 * k
				for _, l := range hear(t, tune, cut(sound, tune, k)) {
					if l.From != "1" || l.To != "3" {
						continue
					}
					if want, ok := planted[k][l.Measure]; ok {
						off = append(off, math.Abs(l.Cents-want))
					}
					settle := math.NaN()
					if l.SettleMS != nil {
						settle = *l.SettleMS
					}
					s := trend.Shift{Piece: "Up and Back", Measure: l.Measure, Beat: l.Beat, String: l.String, From: l.From, To: l.To}
					byShift[s] = append(byShift[s], trend.Landing{When: time.Date(2026, 11, 2+day, 18, 0, 0, 0, time.UTC), Take: fmt.Sprint(k),
						Cents: l.Cents, Tolerance: 18, SettleMS: settle, QPM: l.QPM, CarriedBy: l.CarriedBy, Plucked: l.Plucked, Trust: l.Trust})
				}
			}
			var groups []trend.Group
			for s, ls := range byShift {
				groups = append(groups, trend.Group{Shift: s, Landings: ls})
			}
			kinds := trend.Kinds(groups, trend.Options{})
			require.Len(t, kinds, 1)
			k := kinds[0]
			t.Log(k.Text, k.Times, "landings; error of a landing, median", robust.Median(off), "cents; slope", *k.Slope, *k.Interval, "p", k.P)
			assert.GreaterOrEqual(t, k.Times, 4*c.takes-6, "of four a take")
			assert.Less(t, robust.Median(off), 5.0)
			assert.Equal(t, c.want, k.Verdict)
		})
	}
}

// takeBeats is from the beginning of one take to that of the next, in quarter
// notes: the tune and a rest.
const takeBeats = 36

// render plays one take after another, in one go since the synthesizer is slow to
// begin. In each the hand is that many cents off after its shifts up, with a
// scatter; what was planted is told by measure.
func render(t *testing.T, tune *pupil.Tune, cents []float64, sd float64, rng *rand.Rand) (*rig.Take, []map[string]float64) {
	t.Helper()
	var all rig.Plan
	var planted []map[string]float64
	for k, at := range cents {
		perf := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Program: rig.Bowed, Seed: int64(k)}.Play()
		here := map[string]float64{}
		for i, n := range perf.Plan.Notes {
			if tune.Line[i].Position == "3" {
				if _, ok := here[n.Measure]; !ok {
					here[n.Measure] = at + sd*rng.NormFloat64()
				}
				n.Cents = here[n.Measure]
			}
			n.OnsetBeat += float64(k * takeBeats)
			perf.Plan.Notes[i] = n
		}
		notes := append(all.Notes, perf.Plan.Notes...)
		all = perf.Plan
		all.Notes = notes
		planted = append(planted, here)
	}
	sound, err := rig.Render(all)
	require.NoError(t, err)
	return sound, planted
}

// cut gives the sound of one take.
func cut(sound *rig.Take, tune *pupil.Tune, take int) []float32 {
	one := int(takeBeats * 60 / tune.QPM * rig.Rate)
	return sound.Samples[take*one : min(len(sound.Samples), (take+1)*one)]
}

// hear hears and judges one take.
func hear(t *testing.T, tune *pupil.Tune, samples []float32) []finding.Landing {
	t.Helper()
	heard, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: samples}, dsp.Bass)
	require.NoError(t, err)
	h, err := finding.Judge(tune.Piece, heard, finding.Options{})
	require.NoError(t, err)
	return h.Landings
}
