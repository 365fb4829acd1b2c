package report

import (
	"math"
	"sort"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
)

// sounded is one note of the take, laid on the music.
type sounded struct {
	*finding.Note
	bar    int
	tick   piece.Ticks // where it is written
	length piece.Ticks
	beat   float64 // s: when the beat that the player keeps has it; NaN if nothing was heard
	pace   float64 // s a tick, hereabouts
	target float64 // where it belongs: MIDI number with a fraction at A4 = 440
	entry  *piece.Expected
}

// at gives the moment of the music that a time of the recording falls on, as
// this note goes: a late note begins after its tick.
func (s *sounded) at(t float64) float64 { return float64(s.tick) + (t-s.beat)/s.pace }

// sounds lays the hearing's notes on the music, extra ones left out.
func (m *music) sounds(h *finding.Hearing, heard *dsp.Heard) []sounded {
	pace := 60 / 76. / float64(piece.Quarter)
	for _, qpm := range []float64{h.TempoAsked, h.TempoHeard} {
		if qpm > 0 && !math.IsInf(qpm, 0) {
			pace = 60 / qpm / float64(piece.Quarter)
		}
	}
	var all []sounded
	for i := range h.Notes {
		n := &h.Notes[i]
		bar := m.barOf(n)
		if bar < 0 || n.State == finding.StateExtra {
			continue
		}
		s := sounded{Note: n, bar: bar, tick: m.tick(bar, n.Beat), beat: math.NaN(), pace: pace, target: h.Target(n, heard)}
		if s.entry = m.note(bar, n.Beat); s.entry != nil {
			s.length = s.entry.Length
		}
		if n.Onset != nil {
			s.beat = *n.Onset
			if n.LateMS != nil {
				s.beat -= *n.LateMS / 1000
			}
		}
		all = append(all, s)
	}
	for i := range all {
		all[i].pace = local(all, i, pace)
	}
	return all
}

// local is the pace at a note: to the next note heard, else from the one
// before, where that is anything like the pace of the whole take.
func local(all []sounded, i int, pace float64) float64 {
	for _, j := range []int{i, i - 1} {
		if j < 0 || j+1 >= len(all) || all[j+1].tick <= all[j].tick {
			continue
		}
		here := (all[j+1].beat - all[j].beat) / float64(all[j+1].tick-all[j].tick)
		if here > pace/2 && here < pace*2 {
			return here
		}
	}
	return pace
}

// frames gives the pitch track from one time to another.
func frames(heard *dsp.Heard, from, to float64) []dsp.Frame {
	if heard == nil {
		return nil
	}
	f := heard.Frames
	a := sort.Search(len(f), func(i int) bool { return f[i].Time >= from })
	b := sort.Search(len(f), func(i int) bool { return f[i].Time > to })
	return f[a:max(a, b)]
}
