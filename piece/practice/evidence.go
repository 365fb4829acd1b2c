package practice

import (
	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/outline"
)

// evidence is what the takes say of one measure.
type evidence struct {
	played int     // takes in which it was played
	takes  int     // takes in which something was heard there
	things int     // findings
	weight float64 // findings by what they are worth mending, what was heard in only one of several takes by half
}

// What a finding weighs. Common practice, no source: what comes back in every
// take is worth the time, a slip may not come again.
const (
	late     = 2.0 // the unit: about one late note
	onceOnly = 0.5
)

// heardIn gathers by measure what the takes say. What is heard where a passage
// comes again counts where it stands first.
func heardIn(o *outline.Outline, hearings []*finding.Hearing) []evidence {
	first := o.Learned()
	index := map[string]int{}
	for i := len(o.Measures) - 1; i >= 0; i-- {
		index[o.Measures[i].Number] = first[i]
	}
	all := make([]evidence, len(o.Measures))
	for _, h := range hearings {
		played := make([]bool, len(all))
		for i := range h.Notes {
			n := &h.Notes[i]
			if at, ok := index[n.Measure]; ok && n.State != finding.StateMissing && n.State != finding.StateExtra {
				played[at] = true
			}
		}
		found := make([]float64, len(all))
		for i := range h.Findings {
			f := &h.Findings[i]
			at, ok := index[f.Measure]
			if !ok || f.Kind.Row().About == finding.WholeTake || f.Trust == dsp.NotSure {
				continue
			}
			found[at] += f.Weight() / late
			all[at].things++
		}
		for i := range all {
			if found[i] > 0 {
				all[i].takes++
				all[i].weight += found[i]
			}
			if played[i] || found[i] > 0 || len(h.Notes) == 0 {
				all[i].played++
			}
		}
	}
	for i := range all {
		if e := &all[i]; e.takes == 1 && e.played > 1 {
			e.weight *= onceOnly
		}
	}
	return all
}
