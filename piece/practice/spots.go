package practice

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/outline"
)

// hard is from where a measure is worth working by itself: about one plain
// shift. Common practice, no source.
const hard = 0.9

// spotsOf lists the ranges to be worked, the hardest first: hard measures that
// stand together, at most four. What was heard goes before what was guessed, and
// what comes again elsewhere is worked once, its findings counted together.
func spotsOf(o *outline.Outline, hearings []*finding.Hearing) (spots []spot, changed []string) {
	found := foundIn(o, hearings)
	weight := make([]float64, len(o.Measures))
	for i := range o.Measures {
		weight[i] = o.Measures[i].Hardness
		if len(hearings) > 0 {
			weight[i] = float64(found[i])*2 + weight[i]/100 // hardness only breaks ties
		}
	}
	repeats := map[int]bool{} // worked where they stand first
	for _, s := range o.Same {
		if s.How != outline.Exact {
			continue
		}
		for k := range s.Second.Last - s.Second.First + 1 {
			a, b := s.First.First+k, s.Second.First+k
			if len(hearings) > 0 {
				weight[a] += weight[b]
				found[a] += found[b]
			}
			weight[a] = math.Max(weight[a], weight[b]) // the second time may fall another way on the bow
			repeats[b] = true
		}
	}
	for i := 0; i < len(weight); i++ {
		if weight[i] < hard || repeats[i] {
			continue
		}
		s := spot{Range: outline.Range{First: i, Last: i}, weight: weight[i], heard: found[i]}
		for i+1 < len(weight) && weight[i+1] >= hard && !repeats[i+1] && i+1-s.First < 4 {
			i++
			s.Last = i
			s.weight = math.Max(s.weight, weight[i]) + math.Min(s.weight, weight[i])/4
			s.heard += found[i]
		}
		spots = append(spots, s)
	}
	slices.SortStableFunc(spots, func(a, b spot) int { return cmp.Compare(b.weight, a.weight) })
	if len(hearings) > 0 {
		changed = whatChanged(o, found, spots, len(hearings))
	}
	return spots, changed
}

// foundIn counts by measure what was heard there and is at least fairly sure.
func foundIn(o *outline.Outline, hearings []*finding.Hearing) []int {
	index := map[string]int{}
	for i := len(o.Measures) - 1; i >= 0; i-- {
		index[o.Measures[i].Number] = i
	}
	found := make([]int, len(o.Measures))
	for _, h := range hearings {
		for i := range h.Findings {
			f := &h.Findings[i]
			at, ok := index[f.Measure]
			whole := f.Kind == finding.Tempo || f.Kind == finding.Tuning || f.Kind == finding.NotSure
			if ok && !whole && f.Trust != dsp.NotSure {
				found[at]++
			}
		}
	}
	return found
}

// whatChanged says what the takes have changed of what was guessed.
func whatChanged(o *outline.Outline, found []int, spots []spot, takes int) []string {
	said := []string{fmt.Sprintf("The order goes by %s heard, not by the guess from the page.", counted(takes, "take"))}
	guessed, _ := spotsOf(o, nil)
	var clean, extra []string
	for _, s := range guessed[:min(3, len(guessed))] {
		heard := 0
		for k := s.First; k <= s.Last; k++ {
			heard += found[k]
		}
		if heard == 0 {
			clean = append(clean, spoken(o, s.Range))
		}
	}
	for _, s := range spots {
		if !slices.ContainsFunc(guessed, func(g spot) bool { return g.First <= s.Last && s.First <= g.Last }) {
			extra = append(extra, spoken(o, s.Range))
		}
	}
	if len(clean) > 0 {
		said = append(said, "Left out, since nothing stood out there: "+strings.Join(clean, ", ")+".")
	}
	if len(extra) > 0 {
		said = append(said, "Added, since something was heard there: "+strings.Join(extra, ", ")+".")
	}
	return said
}

// hardestTwo are the two hardest measures of what is to be worked, in order of
// the music.
func hardestTwo(o *outline.Outline, spots []spot) []int {
	var all []int
	for _, s := range spots {
		for k := s.First; k <= s.Last; k++ {
			all = append(all, k)
		}
	}
	if len(spots) > 0 && spots[0].heard == 0 {
		slices.SortStableFunc(all, func(a, b int) int { return cmp.Compare(o.Measures[b].Hardness, o.Measures[a].Hardness) })
	}
	all = all[:min(2, len(all))]
	slices.Sort(all)
	return all
}

// bringUp is the way up to the tempo for one range.
func bringUp(o *outline.Outline, s spot, opt Options) Item {
	s.Range = withApproach(o, s.Range)
	to := o.Measures[s.First].QPM
	for k := s.First; k <= s.Last; k++ {
		to = math.Min(to, o.Measures[k].QPM)
	}
	floor, floorWhy := Floor(o, s.Range)
	it := Item{Range: s.Range, Work: WorkUp, TempoTo: to, Step: opt.Step, Floor: floor}
	it.TempoFrom = to - opt.Step*math.Ceil((1-slow)*to/opt.Step)
	why := capital(spoken(o, s.Range)) + ": " + because(o, hardestIn(o, s.Range)) + "."
	if s.heard > 0 {
		why = capital(spoken(o, s.Range)) + ": " + counted(s.heard, "thing") + " heard there."
		if heard := slowest(opt.Hearings); heard > 0 && heard < to {
			it.TempoFrom = math.Max(it.TempoFrom, to-opt.Step*math.Ceil((to-0.9*heard)/opt.Step))
			why += fmt.Sprintf(" Begun just under the ♩ = %.0f that was played.", heard)
		}
	}
	switch {
	case floor >= to:
		it.Work, it.TempoFrom, it.Step = PlayAlone, to, 0
		why += " It is not slowed: " + floorWhy
	case it.TempoFrom < floor:
		it.TempoFrom = to - opt.Step*math.Floor((to-floor)/opt.Step)
		why += fmt.Sprintf(" Not slower than ♩ = %.0f: %s", it.TempoFrom, floorWhy)
	default:
		why += fmt.Sprintf(" Three times clean, then %.0f faster.", opt.Step)
	}
	it.Why = why
	return it
}

// withApproach takes in the measure before, where the hand comes out of it: a
// shift is practised from the note that it leaves.
func withApproach(o *outline.Outline, r outline.Range) outline.Range {
	for _, sh := range o.Plan.Shifts {
		n := &o.Line[sh.Note]
		if n.Pass == 1 && n.Measure == r.First && o.Line[sh.Before].Measure == r.First-1 {
			r.First--
			break
		}
	}
	return r
}

func slowest(hearings []*finding.Hearing) float64 {
	least := 0.0
	for _, h := range hearings {
		if h.TempoHeard > 0 && (least == 0 || h.TempoHeard < least) {
			least = h.TempoHeard
		}
	}
	return least
}

// joins plays the sections in pairs, each overlapping the one after by a
// measure, and then the whole, as far as the minutes go. The seam of the hardest
// sections would be first; a reader follows the order of the music more easily.
func joins(o *outline.Outline, minutes float64, add func(Item, *float64) bool) {
	last := len(o.Measures) - 1
	full := outline.Range{First: 0, Last: last}
	all := Item{Range: full, Work: PlayAlone, TempoFrom: o.Tempo, TempoTo: o.Tempo, Why: "The whole piece once, without stopping, whatever happens.",
		Minutes: math.Max(1, math.Ceil(seconds(o)/60))}
	keep := 0.0
	if all.Minutes < minutes {
		keep = all.Minutes
	}
	minutes -= keep
	for k := range o.Parts {
		r := o.Parts[k]
		why := "Section " + ranged(o, r) + " by itself, at the piece’s tempo."
		if k+1 < len(o.Parts) {
			r.Last = min(last, r.Last+1)
			why = "Section " + ranged(o, o.Parts[k]) + " and one measure of the next, so that the seam holds."
		}
		it := Item{Range: r, Work: Join, TempoFrom: o.Tempo, TempoTo: o.Tempo, Minutes: 1, Why: why}
		if floor, because := Floor(o, r); floor > slow*o.Tempo {
			it.Why += " Not slowed: " + because
		}
		if !add(it, &minutes) {
			break
		}
	}
	minutes += keep
	if keep > 0 {
		add(all, &minutes)
	}
}

// seconds is how long the piece takes at its tempo.
func seconds(o *outline.Outline) float64 {
	if len(o.Line) == 0 {
		return 0
	}
	n := &o.Line[len(o.Line)-1]
	return (n.Onset + n.Length).Quarters() * 60 / o.Tempo
}

func whole(o *outline.Outline) [2]string {
	return [2]string{o.Measures[0].Number, o.Measures[len(o.Measures)-1].Number}
}

func hardestIn(o *outline.Outline, r outline.Range) int {
	at := r.First
	for k := r.First; k <= r.Last; k++ {
		if o.Measures[k].Hardness > o.Measures[at].Hardness {
			at = k
		}
	}
	return at
}

func because(o *outline.Outline, measure int) string {
	if r := o.Measures[measure].Reasons; len(r) > 0 {
		return r[0]
	}
	return "something was heard there"
}

func ranged(o *outline.Outline, r outline.Range) string {
	if r.First == r.Last {
		return o.Measures[r.First].Number
	}
	return o.Measures[r.First].Number + "–" + o.Measures[r.Last].Number
}

func spoken(o *outline.Outline, r outline.Range) string {
	if r.First == r.Last {
		return "measure " + ranged(o, r)
	}
	return "measures " + ranged(o, r)
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func counted(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
