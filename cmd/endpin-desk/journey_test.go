package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp/recording"
	"endpin/dsp/rig"
	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/pupil"
	"endpin/ui/desk/timetable"
)

// A pupil who lands a shift 35 cents sharp mends it over six rounds, and the right pedal
// is all that is pressed: from the first take to where it holds, in the real window, heard
// through a microphone.
func TestTheRightPedalLeadsFromAShiftThatIsSharpToWhereItHolds(t *testing.T) {
	if testing.Short() {
		t.Skip("plays for three minutes")
	}
	r := newRoom(t, "xdotool", "fluidsynth")
	half := firstHalf(t)
	require.NoError(t, os.WriteFile(r.piece, half, 0o600))
	p, err := notation.Read("half.musicxml", half)
	require.NoError(t, err)
	settings := filepath.Join(r.dir, "config", "endpin")
	require.NoError(t, os.MkdirAll(settings, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(settings, "desk.json"), []byte(`{"version": 1, "caution_seen": true, "player": "Ada"}`), 0o600))
	folder, diary := filepath.Join(r.dir, "takes"), filepath.Join(r.dir, "ada.diary")
	r.work(t, "--takes", folder, "--diary", diary)
	picture(t, r.env, "journey, before")

	type pressed struct {
		first, last int // measures, from 1
		qpm, hand   float64
		says        []string
	}
	rounds := []pressed{{1, 8, 84, 35, []string{"the hand lands sharp"}}}
	for i, hand := range []float64{35, 29, 20, 5, 4, -2} {
		clean := max(0, i-2)
		says := []string{"Was +", fmt.Sprintf("%d of 3 clean", clean)}
		if clean == 3 {
			says = []string{"It holds", "measures 3–6"}
		}
		rounds = append(rounds, pressed{4, 5, 63, hand, says})
	}
	rounds = append(rounds, pressed{3, 6, 63, 4, []string{"measures 1–8"}}, pressed{1, 8, 74, 3, []string{"a little faster"}}, pressed{1, 8, 84, 3, []string{"mended in"}})
	for i, x := range rounds {
		sound := r.render(t, p, x.first-1, x.last-1, x.qpm, x.hand, int64(i+1))
		if i == 1 {
			r.press(t, "Next") // Work on this
			time.Sleep(300 * time.Millisecond)
		}
		r.press(t, "Next")
		require.Eventually(t, func() bool { sounds, _ := takes(folder); return len(sounds) > i }, 10*time.Second, 20*time.Millisecond, "round %d does not begin", i)
		time.Sleep(time.Duration((timetable.LeadIn + 4*60/x.qpm) * float64(time.Second)))
		runEnv(t, r.env, "paplay", "--device=room", sound)
		said := ""
		require.Eventually(t, func() bool {
			said = saidOf(folder, i)
			return said != ""
		}, 30*time.Second, 50*time.Millisecond, "round %d is not heard", i)
		t.Logf("%d–%d, hand %+.0f: %s", x.first, x.last, x.hand, said)
		for _, s := range x.says {
			assert.Contains(t, said, s)
		}
		time.Sleep(300 * time.Millisecond)
		picture(t, r.env, fmt.Sprintf("journey, %d", i))
	}
	for range 2 { // Start, Listen, That is all for today
		r.press(t, "Prior")
	}
	r.press(t, "Next")
	time.Sleep(300 * time.Millisecond)
	picture(t, r.env, "journey, the end")
	kept := ""
	require.Eventually(t, func() bool {
		c := exec.Command(r.hear, "diary", "mended", "Ada", "--diary", diary)
		c.Env = r.env
		out, _ := c.Output()
		kept = string(out)
		return strings.Contains(kept, ": was +")
	}, 30*time.Second, 500*time.Millisecond, "the diary does not say what was mended")
	t.Log(kept)
	assert.Contains(t, kept, "measure 5: was +3")
}

// saidOf is what a take came to, "" for not yet.
func saidOf(folder string, take int) string {
	sounds, _ := takes(folder)
	if take >= len(sounds) {
		return ""
	}
	var k struct{ Said string }
	data, _ := os.ReadFile(strings.TrimSuffix(sounds[take], ".wav") + ".json")
	json.Unmarshal(data, &k)
	return k.Said
}

// firstHalf is the demo piece as far as measure 8.
func firstHalf(t *testing.T) []byte {
	t.Helper()
	head, rest, found := bytes.Cut(assets.DemoPiece, []byte(`<measure number="9"`))
	require.True(t, found)
	_, tail, found := bytes.Cut(rest, []byte("</part>"))
	require.True(t, found)
	return slices.Concat(head, []byte("</part>"), tail) // a copy: the demo stays as it is
}

// render plays some measures with the hand beside its place in third position, as a file.
func (r *stage) render(t *testing.T, p *piece.Piece, first, last int, qpm, cents float64, seed int64) string {
	t.Helper()
	tune, err := pupil.FromPiece(p)
	require.NoError(t, err)
	plan := pupil.Player{Tune: tune, Program: rig.Bowed, Seed: seed}.Play().Plan
	notes, begin := plan.Notes[:0:0], math.Inf(1)
	for i, n := range plan.Notes {
		at := tune.Line[i]
		if at.Measure < first || at.Measure > last {
			continue
		}
		begin = min(begin, n.OnsetBeat)
		n.OnsetBeat -= begin
		if at.Position == "3" {
			n.Cents += cents
		}
		notes = append(notes, n)
	}
	plan.Notes, plan.TempoQPM, plan.GapS, plan.Seed = notes, qpm, 0.05, seed
	take, err := rig.Render(plan)
	require.NoError(t, err)
	path := filepath.Join(r.dir, fmt.Sprintf("round%d.wav", seed))
	file, err := os.Create(path)
	require.NoError(t, err)
	defer file.Close()
	require.NoError(t, recording.WriteWAV(file, rig.Rate, take.Samples))
	return path
}
