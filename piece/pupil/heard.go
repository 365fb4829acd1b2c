package pupil

import (
	"math"
	"math/rand"

	"endpin/dsp"
)

// Heard is what a listening without a fault would make of the performance, in a quiet
// room: no sound is rendered, so that thousands of takes can be judged. Each onset is
// heard off by some ms, as one of a rendered bass is (testdata/figures/onsets.md).
func (p *Performance) Heard() *dsp.Heard {
	const (
		lead  = 1.0   // s before the first note
		floor = -70.0 // dB of the room
		level = -20.0 // dB of the notes
		hop   = 0.01  // s
		slack = 0.006 // s by which onsets are heard off: standard deviation
	)
	rng := rand.New(rand.NewSource(p.Plan.Seed))
	beat := 60 / p.Plan.TempoQPM
	a4 := 0.0
	if p.Plan.TuningA4 > 0 {
		a4 = 12 * math.Log2(p.Plan.TuningA4/dsp.ReferenceA)
	}
	h := &dsp.Heard{Rate: 44100, Floor: floor, Release: dsp.Release{Level: 40, Bands: 40}, Peak: 0.5}
	for _, n := range p.Plan.Notes {
		begun := lead + n.OnsetBeat*beat + n.LateMS/1000
		end := lead + (n.OnsetBeat+n.Hold*n.DurBeats)*beat
		on := begun + slack*rng.NormFloat64()
		pitch := float64(n.MIDI) + n.Cents/100 + a4
		note := dsp.Note{Onset: on, Offset: math.Max(end, on+0.08), Pitch: pitch, Landing: pitch + n.SettleCents/100, Settle: n.SettleMS / 1000,
			Spread: 2, Level: level, Aperiodicity: 0.01, Kind: dsp.Attack, Strength: 4, Fresh: 6, Trust: dsp.Sure}
		if n.Slurred {
			note.Kind = dsp.PitchChange
		}
		length := note.Offset - on
		note.SteadyFrom, note.SteadyTo = on+math.Min(0.3, 0.4*length), on+0.9*length
		h.Notes = append(h.Notes, note)
		h.Onsets = append(h.Onsets, dsp.Onset{Time: on, Strength: 4, Kind: note.Kind, Fresh: 6})
	}
	for k := 1; k < len(h.Notes); k++ {
		h.Notes[k-1].Offset = math.Min(h.Notes[k-1].Offset, h.Notes[k].Onset)
	}
	h.Duration = h.Notes[len(h.Notes)-1].Offset + 1
	k := 0
	for t := 0.0; t < h.Duration; t += hop {
		for k < len(h.Notes) && h.Notes[k].Offset <= t {
			k++
		}
		f := dsp.Frame{Time: t, Aperiodicity: 1, Level: floor}
		if k < len(h.Notes) && h.Notes[k].Onset <= t {
			f = dsp.Frame{Time: t, Voiced: true, Freq: dsp.Hz(h.Notes[k].Pitch), Aperiodicity: 0.01, Level: level}
		}
		h.Frames = append(h.Frames, f)
	}
	return h
}
