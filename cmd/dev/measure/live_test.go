package main

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/dsp/robust"
	desk "endpin/dsp/voice"
	"endpin/piece/pupil"
)

// What is heard while the player plays is a rendered take pushed block by block, as
// the desk does it: what sounds now is asked every 10 ms, what was heard every 20.

func tools(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("renders and hears whole takes")
	}
	_, err := exec.LookPath("fluidsynth")
	if err == nil {
		_, err = bowed.play(rig.Plan{TempoQPM: 60, Notes: []rig.Note{{MIDI: 40, DurBeats: 1}}})
	}
	if err == nil {
		return
	}
	if os.Getenv("CI") == "true" {
		t.Fatal(err)
	}
	t.Skip(err)
}

// told is what the looks at one group of takes came to.
type told struct {
	final, near, heard int       // notes at the end; those of them that the last look had; notes of the last look
	first, later       int       // of those told as they sounded, those that were as at the end at once, and half a second later
	onsets, notes      []float64 // s from a tenth of a note's peak until its beginning is told, and the note
	marks              []float64 // until beginning and pitch are told, s beyond two periods of the note
	never              int       // notes of the truth that were never told as they sounded
	unmarked           int       // those whose beginning and pitch were never told together
	right, wrong, none int       // moments of a note, later than 60 ms and two periods, by the pitch told
	extra              int       // beginnings told where no note began
}

// look hears a take as it comes.
func (s *told) look(t *testing.T, take *rig.Take) {
	l, err := dsp.NewListener(dsp.Bass.Live(), rig.Rate)
	require.NoError(t, err)
	truth := take.Truth.Notes
	began, known, marked := make([]float64, len(truth)), make([]float64, len(truth)), make([]float64, len(truth))
	first, later := make([]dsp.Note, len(truth)), make([]dsp.Note, len(truth))
	const block = rig.Rate / 100
	lastBegan := -1.0
	for at := 0; at < len(take.Samples); at += block {
		end := min(len(take.Samples), at+block)
		l.Push(take.Samples[at:end])
		now, moment := float64(end)/rig.Rate, l.Now()
		if moment.Began > lastBegan {
			lastBegan = moment.Began
			if !slices.ContainsFunc(truth, func(n rig.TrueNote) bool { return math.Abs(n.HeardS-moment.Began) < 0.1 }) {
				s.extra++
			}
		}
		for i, n := range truth {
			if n.HeardS > now || n.HeardS < now-3 {
				continue
			}
			if began[i] == 0 && math.Abs(moment.Began-n.HeardS) < 0.1 {
				began[i] = now - n.HeardS
			}
			off := math.Abs(moment.Pitch - n.Pitch())
			if began[i] > 0 && marked[i] == 0 && off < 0.5 {
				marked[i] = now - n.HeardS
			}
			if now > n.HeardS+0.06+2/n.FreqHz && now < n.OffsetS-0.02 {
				switch {
				case moment.Pitch == 0:
					s.none++
				case off < 0.5:
					s.right++
				default:
					s.wrong++
				}
			}
		}
		if at/block%2 == 1 {
			continue
		}
		p := l.Provisional()
		for i, n := range truth {
			at := slices.IndexFunc(p.Notes, func(o dsp.Note) bool {
				return math.Abs(o.Onset-n.HeardS) < 0.1 && math.Abs(o.Pitch-n.Pitch()) < 0.3
			})
			switch {
			case at < 0 || n.HeardS > now || n.HeardS < now-3:
			case known[i] == 0:
				known[i], first[i] = now-n.HeardS, p.Notes[at]
			case now <= n.HeardS+known[i]+0.5:
				later[i] = p.Notes[at]
			}
		}
	}
	last := slices.Clone(l.Provisional().Notes)
	end := l.Finish()
	s.final += len(end.Notes)
	s.heard += len(last)
	among := func(n dsp.Note, all []dsp.Note) int {
		if slices.ContainsFunc(all, func(p dsp.Note) bool {
			return math.Abs(p.Onset-n.Onset) < 0.02 && math.Abs(p.Pitch-n.Pitch) < 0.1
		}) {
			return 1
		}
		return 0
	}
	for _, n := range end.Notes {
		s.near += among(n, last)
	}
	for i := range truth {
		if began[i] > 0 && marked[i] > 0 {
			s.onsets = append(s.onsets, began[i])
			s.marks = append(s.marks, marked[i]-2/truth[i].FreqHz)
		} else {
			s.unmarked++
		}
		if known[i] == 0 {
			s.never++
			continue
		}
		s.first += among(first[i], end.Notes)
		s.later += among(later[i], end.Notes)
		s.notes = append(s.notes, known[i])
	}
}

// That 95 of 100 notes agree with the end holds. Beginning and pitch are told 60 ms
// and two periods after a tenth of the note's peak, as the design asks, for half of
// the notes and more; a slow bow's latest need some 20 ms longer. Times are of the
// sound, so no busy computer moves them: what blocks, loudspeaker and screen add is
// measured in the window.
func TestWhatIsHeardLiveAgreesWithTheEnd(t *testing.T) {
	tools(t)
	for _, v := range []voicing{{bowed, pupil.Style{Marked: true}}, {plucked, pupil.Style{Marked: true}}, {bowed, pupil.Style{Marked: true, Slurs: true}}, {realArco, pupil.Style{Marked: true, Short: true}}} {
		var s told
		for seed := range int64(2) {
			take, err := clean(v.voice, v.style, firstSeed+seed)
			require.NoError(t, err)
			take.RoomNoise(-55, seed)
			s.look(t, take)
		}
		ms := func(x []float64) string {
			return fmt.Sprintf("%.0f, %.0f, %.0f ms", 1000*robust.Median(x), 1000*quantile(x, 0.95), 1000*quantile(x, 1))
		}
		t.Logf("%s%s: %d of %d notes as at the end, %d told in all; of %d that sounded %d never told, %d as at the end at once, %d half a second later; beginning after %s, beginning and pitch two periods and %s, note after %s (median, 95 %%, most); never marked %d, moments right %.1f %%, wrong %.1f %%, beginnings where none is %d",
			v.name, map[bool]string{true: " with slurs"}[v.style.Slurs], s.near, s.final, s.heard, len(s.notes)+s.never, s.never, s.first, s.later, ms(s.onsets), ms(s.marks), ms(s.notes),
			s.unmarked, 100*float64(s.right)/float64(s.right+s.wrong+s.none), 100*float64(s.wrong)/float64(s.right+s.wrong+s.none), s.extra)
		require.NotZero(t, s.final)
		assert.GreaterOrEqual(t, float64(s.near), 0.95*float64(s.final), v.name)
		assert.Less(t, robust.Median(s.marks), 0.06, v.name)
		assert.Less(t, quantile(s.marks, 0.95), 0.08, v.name)
		assert.Less(t, float64(s.wrong), 0.01*float64(s.right), v.name)
		assert.LessOrEqual(t, s.unmarked+s.extra, s.final/5, v.name)
		assert.Less(t, robust.Median(s.notes), 0.3, v.name)
		assert.Less(t, quantile(s.notes, 0.95), 0.5, v.name)
	}
}

type voicing struct {
	voice
	style pupil.Style
}

// leaks are what a loudspeaker sounds beside a take. A drone left in is not among
// them: at -12 dB nothing right is told beside it.
var leaks = []struct {
	name    string
	holds   bool
	sound   func(*trial, []float32)
	without bool
}{
	{"click", true, clicking(desk.Click), false},
	{"soft click", false, clicking(desk.SoftClick), false},
	{"drone taken out", true, droning, true},
}

func clicking(click func(int, bool) desk.Clip) func(*trial, []float32) {
	return func(t *trial, x []float32) {
		for beat := 0; ; beat++ {
			at := rig.Rate + int(float64(beat)*60/t.out.Plan.TempoQPM*rig.Rate)
			if at+rig.Rate/5 > len(x) {
				return
			}
			click(rig.Rate, beat%4 == 0).Play(x[at:], 0)
		}
	}
}

// droneOf is the tune's first note, two octaves up: the worst, since it has
// partials with the bass in common.
func droneOf(t *trial) float64 { return desk.DroneHz(t.tune.Line[0].MIDI, 2, 440) }

func droning(t *trial, x []float32) { desk.Drone(rig.Rate, droneOf(t)).Play(x, 0) }

func TestALeakingLoudspeakerChangesNoFinding(t *testing.T) {
	tools(t)
	folder := t.TempDir()
	counts := map[string]*[4]int{} // findings clean, lost, new, changed in trust
	for k := 0; k < len(pupil.Catalogue); k += 3 {
		trial, err := quietly.plant(pupil.Catalogue[k], firstSeed+int64(1000*k))
		require.NoError(t, err)
		require.NoError(t, trial.render(folder))
		take := trial.take.Samples
		judge := func(x []float32) map[string]string {
			trial.take.Samples = x
			a, err := hearInside(trial)
			require.NoError(t, err)
			out := map[string]string{}
			for _, f := range a.Findings {
				out[fmt.Sprint(f.Kind, " ", f.Measure, "-", f.ToMeasure, " ", f.Pass)] = f.Trust
			}
			return out
		}
		before := judge(take)
		for _, leak := range leaks {
			other := make([]float32, len(take))
			leak.sound(trial, other)
			mixed := mixed(take, other, -12, rig.Rate*80/1000)
			if leak.without {
				w := desk.NewWithout(&dsp.Samples{SampleRate: rig.Rate, Data: mixed}, droneOf(trial), 1)
				x := make([]float32, len(mixed))
				n, err := w.Read(x)
				require.NoError(t, err)
				require.Equal(t, len(mixed), n)
				mixed = x
			}
			c := counts[leak.name]
			if c == nil {
				c = new([4]int)
				counts[leak.name] = c
			}
			after := judge(mixed)
			var differ []string
			for f, trust := range before {
				c[0]++
				if now, ok := after[f]; !ok {
					c[1]++
					differ = append(differ, "lost "+f)
				} else if now != trust {
					c[3]++
				}
			}
			for f := range after {
				if _, ok := before[f]; !ok {
					c[2]++
					differ = append(differ, "new "+f)
				}
			}
			if len(differ) > 0 {
				t.Logf("%s, %s: %s", trial.name, leak.name, strings.Join(differ, "; "))
			}
		}
	}
	for _, leak := range leaks {
		c := counts[leak.name]
		t.Logf("%-16s at -12 dB, 80 ms late: of %d findings %d lost, %d new, %d of another trust", leak.name, c[0], c[1], c[2], c[3])
		if leak.holds {
			assert.NotZero(t, c[0])
			assert.Zero(t, c[1]+c[2], leak.name)
		}
	}
}

// mixed is a take with another sound so many dB below its peak, some samples later.
func mixed(take, other []float32, db float64, later int) []float32 {
	peak := func(x []float32) (most float32) {
		for _, v := range x {
			most = max(most, v, -v)
		}
		return most
	}
	gain := float32(math.Pow(10, db/20)) * peak(take) / peak(other)
	out := slices.Clone(take)
	for i := later; i < len(out); i++ {
		out[i] = max(-1, min(1, out[i]+gain*other[i-later]))
	}
	return out
}
