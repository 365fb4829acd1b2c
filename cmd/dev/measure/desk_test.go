package main

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/dsp/robust"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/pupil"
	"endpin/ui/desk/attempt"
	laid "endpin/ui/desk/score"
	"endpin/ui/desk/work"
)

// longTake is a long composed tune and its sound: every ninth note is 45 cents sharp
// or flat, every thirteenth comes 160 ms late.
func longTake(t *testing.T, measures int, seed int64) (*piece.Piece, *pupil.Tune, *rig.Take) {
	t.Helper()
	tune := pupil.Compose(pupil.Style{Marked: true, Measures: measures}, seed)
	plan := pupil.Player{Tune: tune, Scatter: pupil.Careful, Seed: seed}.Play().Plan
	for i := range plan.Notes {
		if i%9 == 5 {
			plan.Notes[i].Cents = float64(45 - 90*(i%2))
		}
		if i%13 == 7 {
			plan.Notes[i].LateMS += 160
		}
	}
	take, err := bowed.play(plan)
	require.NoError(t, err)
	p, err := notation.Read("long.musicxml", tune.MusicXML())
	require.NoError(t, err)
	return p, tune, take
}

func said(all []finding.Finding) (out []string) {
	for _, f := range all {
		out = append(out, fmt.Sprint(f.Measure, "-", f.ToMeasure, " ", f.Kind))
	}
	return out
}

// A look judges the last measures and keeps what was found before. At the end it
// tells what judging the whole take tells, and while it goes on hardly anything else.
func TestTheLooksAtATakeTellWhatTheEndTells(t *testing.T) {
	tools(t)
	for _, way := range []work.Way{work.PlayAlong, work.PlayAlone} {
		p, tune, take := longTake(t, 64, firstSeed+3)
		s := laid.New(p, "long")
		last := len(p.Measures) - 1
		w := work.Work{Way: way, Last: last, QPM: tune.QPM, Silence: 4}
		a, err := attempt.New(s, w, finding.Options{}, rig.Rate, take.Truth.Notes[0].OnsetS)
		require.NoError(t, err)
		ear, err := dsp.NewListener(dsp.Bass.Live(), rig.Rate)
		require.NoError(t, err)
		told := map[string]bool{}
		looks := 0
		for at := 0; at+441 <= len(take.Samples); at += 441 {
			ear.Push(take.Samples[at : at+441])
			a.Push(take.Samples[at : at+441])
			if look := a.Look(0); look != nil {
				a.See(look.Judge())
				looks++
			}
			for _, k := range said(a.Live().Findings) {
				told[k] = true
			}
		}
		heard := ear.Provisional().Heard
		h, err := finding.Judge(p, &heard, finding.Options{QPM: tune.QPM})
		require.NoError(t, err)
		var want, found []string
		for _, f := range h.Findings {
			if f.Kind != finding.Tempo && f.Kind != finding.Tuning && f.Kind != finding.NotSure && f.Last < len(s.Line)-8 {
				want = append(want, said([]finding.Finding{f})...)
			}
		}
		found = said(a.Live().Findings)
		var missed, more []string
		for _, k := range want {
			if !slices.Contains(found, k) {
				missed = append(missed, k)
			}
		}
		for _, k := range found {
			if !slices.Contains(said(h.Findings), k) {
				more = append(more, k)
			}
		}
		t.Logf("%s: %d looks at %.0f s; of %d findings of the whole take the looks had %d; missed %q, more %q; told at some moment %d",
			way, looks, float64(len(take.Samples))/rig.Rate, len(want), len(want)-len(missed), missed, more, len(told))
		require.NotEmpty(t, want)
		assert.LessOrEqual(t, len(missed)+len(more), 1+len(want)/8, way)
	}
}

// The note that sounds is told with its cents as it sounds. Truth is the rendered
// take's; a note is told of where it lies beyond the tolerance.
func TestTheNoteThatSoundsIsToldWithItsCents(t *testing.T) {
	tools(t)
	for _, way := range []work.Way{work.PlayAlong, work.PlayAlone} {
		p, tune, take := longTake(t, 32, firstSeed+5)
		s := laid.New(p, "long")
		w := work.Work{Way: way, Last: len(p.Measures) - 1, QPM: tune.QPM, Silence: 4}
		a, err := attempt.New(s, w, finding.Options{}, rig.Rate, take.Truth.Notes[0].OnsetS)
		require.NoError(t, err)
		tolerance := finding.Intermediate.Note
		var after, errors []float64
		off, marked, clean, falsely, wrongNote := 0, 0, 0, 0, 0
		told := make([]bool, len(take.Truth.Notes))
		first := make([]float64, len(told))
		value := make([]float64, len(told))
		for at := 0; at+441 <= len(take.Samples); at += 441 {
			a.Push(take.Samples[at : at+441])
			if look := a.Look(0); look != nil {
				a.See(look.Judge())
			}
			l, now := a.Live(), float64(at+441)/rig.Rate
			if l.Note.Line < 0 || l.Note.Cents == 0 {
				continue
			}
			for i, n := range take.Truth.Notes {
				if now > n.HeardS && (i+1 == len(told) || now < take.Truth.Notes[i+1].HeardS) {
					if s.Line[l.Note.Line].MIDI != n.MIDI && now > n.HeardS+0.15 {
						wrongNote++
					}
					if !told[i] && now > n.HeardS+0.03 && s.Line[l.Note.Line].MIDI == n.MIDI {
						told[i], first[i] = true, now-n.HeardS
					}
					if s.Line[l.Note.Line].MIDI == n.MIDI {
						value[i] = l.Note.Cents
					}
				}
			}
		}
		for i, n := range take.Truth.Notes {
			switch long := n.OffsetS-n.OnsetS > 0.25; {
			case long && math.Abs(n.Cents) > tolerance+8:
				if off++; !told[i] {
					t.Logf("off %d midi %d %.0f cents not told, %.2f s long", i, n.MIDI, n.Cents, n.OffsetS-n.OnsetS)
				} else {
					marked++
					after = append(after, first[i]-2/n.FreqHz)
					errors = append(errors, math.Abs(value[i]-n.Cents))
				}
			case long && math.Abs(n.Cents) < tolerance-8:
				if clean++; told[i] {
					t.Logf("clean %d midi %d %.0f cents told %.0f after %.0f ms, %.2f s long", i, n.MIDI, n.Cents, value[i], 1000*first[i], n.OffsetS-n.OnsetS)
					falsely++
				}
			}
		}
		t.Logf("%s: of %d notes beyond the tolerance %d marked, two periods and %.0f, %.0f ms after they began (median, 95 %%), %.0f, %.0f cents from the truth; of %d well within it %d marked; %d moments at another note",
			way, off, marked, 1000*robust.Median(after), 1000*quantile(after, 0.95), robust.Median(errors), quantile(errors, 0.95), clean, falsely, wrongNote)
		require.Greater(t, off, 8)
		assert.GreaterOrEqual(t, marked, off*8/10)
		assert.LessOrEqual(t, falsely, clean/25)
		assert.Less(t, robust.Median(errors), 5.0)
		assert.Less(t, robust.Median(after), 0.06)
	}
}
