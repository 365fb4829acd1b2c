package voice

import (
	"io"
	"math"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/rig"
)

// leaked is a take with another sound mixed in so many dB below the take's peak.
func leaked(x []float32, other []float32, db float64, delay int) []float32 {
	top, loud := 0.0, 0.0
	for _, v := range x {
		top = math.Max(top, math.Abs(float64(v)))
	}
	for _, v := range other {
		loud = math.Max(loud, math.Abs(float64(v)))
	}
	gain := float32(top / loud * math.Pow(10, db/20))
	out := append([]float32(nil), x...)
	for i := delay; i < len(out); i++ {
		out[i] += gain * other[i-delay]
	}
	return out
}

// changed is how many notes are missing, how many new, and how many have moved by
// more than 10 ms or 5 cents.
func changed(before, after []dsp.Note) (missing, extra, moved int) {
	found := 0
	for _, b := range before {
		ok := false
		for _, a := range after {
			if math.Abs(a.Onset-b.Onset) < 0.06 && math.Abs(a.Pitch-b.Pitch) < 0.5 {
				ok = true
				if math.Abs(a.Onset-b.Onset) > 0.01 || math.Abs(a.Pitch-b.Pitch) > 0.05 {
					moved++
				}
				break
			}
		}
		if ok {
			found++
		}
	}
	return len(before) - found, len(after) - found, moved
}

// What a loudspeaker sounds comes back into the microphone, more or less loud and
// later or sooner. The click may not be heard as playing, nor a drone that is taken
// out: not even its beginning, in the count-in.
func TestWhatLeaksFromTheLoudspeaker(t *testing.T) {
	if testing.Short() {
		t.Skip("a test of accuracy, and this is a short run")
	}
	if _, err := exec.LookPath("fluidsynth"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("fluidsynth is missing")
		}
		t.Skip("fluidsynth is missing")
	}
	const rate = 44100
	for what, program := range map[string]int{"bowed": rig.Bowed, "plucked": rig.Plucked} {
		plan := rig.Plan{Take: what, TempoQPM: 92, Program: program}
		for i, midi := range []int{28, 33, 35, 36, 38, 40, 43, 45, 38, 33, 31, 28} {
			if i%4 != 3 { // a rest in every measure
				plan.Notes = append(plan.Notes, rig.Note{MIDI: midi, OnsetBeat: float64(i), DurBeats: 1})
			}
		}
		take, err := rig.Render(plan)
		require.NoError(t, err)
		take.WhiteNoise(-60, 1)
		hear := func(x []float32) []dsp.Note {
			h, err := dsp.Listen(&dsp.Samples{SampleRate: rate, Data: x}, dsp.Bass)
			require.NoError(t, err)
			return h.Notes
		}
		clean := hear(take.Samples)
		clicks := func(click func(int, bool) Clip) []float32 {
			x := make([]float32, len(take.Samples))
			for beat := 0; ; beat++ {
				at := rate + int(float64(beat)*60/92*rate)
				if at+2*rate/10 > len(x) {
					return x
				}
				click(rate, beat%4 == 0).Play(x[at:], 0)
			}
		}
		drone := make([]float32, len(take.Samples))
		Drone(rate, DroneHz(33, 2, 440)).Play(drone, 0)
		for _, leak := range []struct {
			name    string
			sound   []float32
			holds   bool
			without bool
		}{{"click", clicks(Click), true, false}, {"soft click", clicks(SoftClick), false, false}, {"drone", drone, false, false}, {"taken out", drone, true, true}} {
			for _, db := range []float64{-12, -20, -30} {
				for _, ms := range []int{20, 80, 150} {
					mixed := leaked(take.Samples, leak.sound, db, ms*rate/1000)
					if leak.without {
						w := NewWithout(&dsp.Samples{SampleRate: rate, Data: append([]float32(nil), mixed...)}, DroneHz(33, 2, 440), 1)
						mixed = drain(t, w)
					}
					missing, extra, moved := changed(clean, hear(mixed))
					t.Logf("%-8s %-10s %4.0f dB %4d ms: of %d notes %d missing, %d extra, %d moved", what, leak.name, db, ms, len(clean), missing, extra, moved)
					if leak.holds {
						assert.Zero(t, missing+extra+moved, "%s, %s at %g dB after %d ms", what, leak.name, db, ms)
					}
				}
			}
		}
	}
}

func drain(t *testing.T, src dsp.Source) []float32 {
	var all []float32
	for buf := make([]float32, 1000); ; {
		n, err := src.Read(buf)
		if err == io.EOF {
			return all
		}
		require.NoError(t, err)
		all = append(all, buf[:n]...)
	}
}
