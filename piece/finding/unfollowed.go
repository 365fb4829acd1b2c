package finding

import (
	"math"
	"slices"

	"endpin/dsp"
)

// unfollowed is what was heard with the notes whose beginning was heard, and whose pitch the
// track could not follow: where several strings sound at once there is no one period. Their
// pitch is the one whose partials, with what rings, explain the sound.
func (ev *evidence) unfollowed() *dsp.Heard {
	heard := *ev.heard
	heard.Notes = nil
	var before []float64
	add := func(n dsp.Note) {
		heard.Notes, before = append(heard.Notes, n), append(before, n.Pitch-ev.referredBy())
	}
	k := 0
	for j, o := range ev.heard.Onsets {
		for ; k < len(ev.heard.Notes) && ev.heard.Notes[k].Onset < o.Time+nextOnset; k++ {
			add(ev.heard.Notes[k])
		}
		if o.Fresh < plainFresh || k > 0 && ev.heard.Notes[k-1].Offset > o.Time+nextOnset {
			continue
		}
		end := ev.heard.Duration
		if j+1 < len(ev.heard.Onsets) {
			end = ev.heard.Onsets[j+1].Time
		}
		if n, ok := ev.byPartials(o, end, before); ok {
			add(n)
		}
	}
	heard.Notes = append(heard.Notes, ev.heard.Notes[k:]...)
	return &heard
}

// byPartials is the note that begins with an onset and sounds until an end, by its partials.
func (ev *evidence) byPartials(o dsp.Onset, end float64, before []float64) (n dsp.Note, ok bool) {
	var levels []float64
	for _, f := range ev.framesIn(o.Time+witnessSkip, end) {
		if f.Level < ev.heard.Floor+sounding {
			end = f.Time
			break
		}
		levels = append(levels, f.Level)
	}
	w, likeliest := ev.stretchOf(o.Time, end, before), 0.0
	least, tried := math.Inf(1), map[int]bool{}
	for i := range ev.line {
		p := ev.line[i].MIDI
		if tried[p] {
			continue
		}
		tried[p], w.rings = true, ev.ringsOf(before, float64(p))
		if cost, _, at := w.fit(float64(p), witnessGrid); cost < least {
			least, likeliest = cost, at
		}
	}
	w.rings = ev.ringsOf(before, likeliest)
	cost, left, at := w.fit(likeliest, witnessReach)
	without := 0.0
	if len(w.rings) > 0 {
		without, _ = w.sound.Explained(ev.absolute(w.rings...)...)
	}
	if !(cost+muchBetter < without) || left > mostLeft || len(levels) == 0 {
		return n, false
	}
	pitch := at + ev.referredBy()
	return dsp.Note{Onset: o.Time, Offset: end, Pitch: pitch, Landing: pitch, Spread: 100 * witnessFine, SteadyFrom: o.Time + witnessSkip, SteadyTo: end,
		Level: slices.Max(levels), Aperiodicity: left, Kind: o.Kind, Strength: o.Strength, Fresh: o.Fresh, Stroke: o.Stroke, Trust: dsp.Fair}, true
}
