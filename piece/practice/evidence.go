package practice

import (
	"slices"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/words"
)

// evidence is what the takes say of one measure.
type evidence struct {
	played int  // takes in which it was played
	takes  int  // takes in which something was heard there
	marked bool // the page of one bears a mark there, whatever it weighs
	heard  heardKinds
	here   heardKinds // and what began in a measure before and goes through it
	weight float64    // findings by what they are worth mending, what was heard in only one of several takes by half
}

// heardKinds counts the findings by their kind, in the order of the first of each.
type heardKinds []heardKind

type heardKind struct {
	kind  finding.Kind
	level string // at which it was told first
	times int
}

func (h *heardKinds) add(one heardKind) {
	for i := range *h {
		if (*h)[i].kind == one.kind {
			(*h)[i].times += one.times
			return
		}
	}
	*h = append(*h, one)
}

// said names what was heard: "sharp after the shift, late twice".
func (h heardKinds) said() words.Linked {
	var all []words.Sentence
	for _, one := range h {
		name := one.kind.NameAt(one.level)
		switch one.times {
		case 1:
			all = append(all, name)
		case 2:
			all = append(all, words.Of("practice.heard.twice", "what", name))
		default:
			all = append(all, words.Of("practice.heard.times", "what", name, "n", words.NumberWord(one.times)))
		}
	}
	return words.Row(all...)
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
			along, places := f.Drawn(func(number string) int {
				return slices.IndexFunc(o.Measures, func(m outline.Measure) bool { return m.Number == number })
			})
			for _, at := range slices.Concat(along, places) { // nothing else may be said of them beside the mark
				all[first[at]].marked = true
			}
			if f.Kind.Row().About == finding.WholeTake || f.Trust == dsp.NotSure || h.Throughout(f) {
				continue
			}
			for k, at := range measuresOf(f, index) {
				found[at] += f.Weight() / late
				all[at].here.add(heardKind{f.Kind, h.Level, 1})
				if k == 0 || len(f.Places) > 0 { // further on it is the same one
					all[at].heard.add(heardKind{f.Kind, h.Level, 1})
				}
			}
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

// measuresOf are the measures that a finding is worked in: all that were played so, those
// of each place of what was heard in several, else the one that it begins in.
func measuresOf(f *finding.Finding, index map[string]int) (at []int) {
	add := func(measure string) {
		if i, ok := index[measure]; ok && !slices.Contains(at, i) {
			at = append(at, i)
		}
	}
	add(f.Measure)
	for _, p := range f.Places {
		add(p.Measure)
	}
	if last, ok := index[f.ToMeasure]; ok && len(at) > 0 && f.Kind.Row().About == finding.Measures {
		for i := at[0] + 1; i <= last; i++ {
			at = append(at, i)
		}
	}
	return at
}
