package practice

import (
	"cmp"
	"math"
	"slices"

	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/words"
)

// hard is from where a measure is worth working by itself: about one plain
// shift. Common practice, no source.
const hard = 0.9

// spot is a range to be worked.
type spot struct {
	outline.Range
	weight float64
	heard  heardKinds
	once   bool
	kind   kind
}

// kind is why a measure is worked, or not.
type kind int

const (
	easy    kind = iota
	guessed      // hard by the page
	clean        // hard by the page, and nothing was heard there in the one take that has it
	dropped      // hard by the page, and nothing was heard there in several takes
	heard        // something was heard there
)

// How the weights of what was heard and guessed compare. Common practice, no source.
const (
	heardWeight = 3.0
	cleanWeight = 0.25
)

// spotsOf lists the ranges to be worked, the weightiest first: measures of one
// kind that stand together, at most four. What was heard goes before what was
// guessed, and what comes again elsewhere is worked once, where it stands first.
// Measures whose long notes forbid a slow tempo are ranges of their own. A guess
// counts from the least hardness given.
func spotsOf(o *outline.Outline, said []evidence, floors []float64, least float64) []spot {
	n := len(o.Measures)
	hardness := make([]float64, n)
	first := o.Learned()
	for i := range o.Measures { // the second time may fall another way on the bow
		hardness[first[i]] = math.Max(hardness[first[i]], o.Measures[i].Hardness)
	}
	kinds := make([]kind, n)
	weight := make([]float64, n)
	for i := range kinds {
		if first[i] != i {
			continue
		}
		e := evidence{}
		if said != nil {
			e = said[i]
		}
		switch {
		case e.takes > 0:
			kinds[i], weight[i] = heard, heardWeight*e.weight+hardness[i]/4
		case hardness[i] < least:
		case e.played == 0 || e.marked:
			kinds[i], weight[i] = guessed, hardness[i]
		case e.played == 1:
			kinds[i], weight[i] = clean, cleanWeight*hardness[i]
		default:
			kinds[i] = dropped
		}
	}
	slowed := func(i int) bool { return floors[i] <= slow*o.Measures[i].QPM }
	var spots []spot
	for i := 0; i < n; i++ {
		if kinds[i] == easy {
			continue
		}
		s := spot{Range: outline.Range{First: i, Last: i}, weight: weight[i], kind: kinds[i]}
		takes := func(k int) {
			if said != nil {
				for _, one := range said[k].heard {
					s.heard.add(one)
				}
				s.once = (k == s.First || s.once) && said[k].takes == 1 && said[k].played > 1
			}
		}
		takes(i)
		for i+1 < n && kinds[i+1] == s.kind && slowed(i+1) == slowed(i) && i+1-s.First < 4 {
			i++
			s.Last = i
			s.weight = math.Max(s.weight, weight[i]) + math.Min(s.weight, weight[i])/4
			takes(i)
		}
		spots = append(spots, s)
	}
	slices.SortStableFunc(spots, func(a, b spot) int { return cmp.Compare(b.weight, a.weight) })
	return spots
}

// whatChanged says what the takes have changed of what was guessed.
func whatChanged(o *outline.Outline, spots []spot, takes int) []string {
	told := []string{words.Many("practice.changed.order", takes).String()}
	tell := func(key string, of func(spot) bool) {
		var ranges []words.Sentence
		for _, s := range spots {
			if of(s) {
				ranges = append(ranges, inRange("practice.range", o, s.Range))
			}
		}
		if more := len(ranges) - 4; more > 1 {
			ranges = append(ranges[:4], words.Of("practice.range.more", "n", more))
		}
		if len(ranges) > 0 {
			told = append(told, words.Say(key, "where", words.Row(ranges...)))
		}
	}
	tell("practice.changed.added", func(s spot) bool {
		return s.kind == heard && o.Measures[hardestIn(o, s.Range)].Hardness < hard
	})
	tell("practice.changed.once", func(s spot) bool { return s.kind == heard && s.once })
	tell("practice.changed.shortened", func(s spot) bool { return s.kind == clean })
	tell("practice.changed.left-out", func(s spot) bool { return s.kind == dropped })
	return told
}

// hardestTwo are the two hardest measures of what is to be worked, in order of
// the music: what was heard first, the weightiest before the rest.
func hardestTwo(o *outline.Outline, spots []spot) []int {
	var all, guesses []int
	for _, s := range spots {
		switch s.kind {
		case heard:
			all = append(all, hardestIn(o, s.Range))
		case guessed, clean:
			for k := s.First; k <= s.Last; k++ {
				guesses = append(guesses, k)
			}
		}
	}
	slices.SortStableFunc(guesses, func(a, b int) int { return cmp.Compare(o.Measures[b].Hardness, o.Measures[a].Hardness) })
	all = append(all, guesses...)
	all = all[:min(2, len(all))]
	slices.Sort(all)
	return all
}

// bringUp is the way up to the tempo for one range, in so many minutes.
func bringUp(o *outline.Outline, s spot, floors []float64, minutes float64, opt Options) Item {
	to := o.Measures[s.First].QPM
	for k := s.First; k <= s.Last; k++ {
		to = math.Min(to, o.Measures[k].QPM)
	}
	felt := o.Measures[s.First].Felt
	step := opt.Step
	if felt.Quarters > 0 {
		step *= felt.Quarters
	}
	from := to - step*math.Ceil((1-slow)*to/step)
	it := Item{Work: WorkUp, TempoTo: to, Step: step, Minutes: minutes}
	switch {
	case len(s.heard) > 0:
		it.say(inRange("practice.why-heard", o, s.Range, "heard", s.heard.said()))
		if played := slowest(opt.Hearings); played > 0 && played < to {
			from = math.Max(from, to-step*math.Ceil((to-0.9*played)/step))
			it.say(words.Of("practice.begun-under", "tempo", felt.Tempo(played)))
		}
	default:
		it.say(inRange("practice.why", o, s.Range, "reason", because(o, hardestIn(o, s.Range))))
		if s.kind == clean {
			it.say(words.Of("practice.short"))
		}
	}
	r, beside := withApproach(o, s.Range, floors, from)
	floor, floorWhy := Floor(o, r)
	it.Range, it.TempoFrom, it.Floor = r, from, floor
	switch {
	case floor >= to:
		it.Work, it.TempoFrom, it.Step, it.Reaches = PlayAlone, to, 0, to
		it.say(words.Of("practice.alone", "why", floorWhy))
		return it
	case it.TempoFrom < floor:
		it.TempoFrom = to - step*math.Floor((to-floor)/step)
		it.say(words.Of("practice.floor", "tempo", felt.Tempo(it.TempoFrom), "why", floorWhy))
	}
	if !beside.Zero() {
		it.say(beside)
	}
	it.fit(o, felt)
	return it
}

// withApproach takes in the measure before, where the hand comes out of it: a
// shift is practised from the note that it leaves. Where a long note there
// forbids the slow tempo, it stays out and is not slowed, and beside says so.
func withApproach(o *outline.Outline, r outline.Range, floors []float64, from float64) (with outline.Range, beside words.Sentence) {
	for _, sh := range o.Plan.Shifts {
		n := &o.Line[sh.Note]
		if n.Pass != 1 || n.Measure != r.First || o.Line[sh.Before].Measure != r.First-1 {
			continue
		}
		if floors[r.First-1] > from {
			return r, words.Of("practice.approach", "measure", o.Measures[r.First-1].Number)
		}
		r.First--
		break
	}
	return r, beside
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
// measure, and then the whole, as far as the minutes go. A section in which
// something was worked comes once a little slower, where its bows allow that.
// The seam of the hardest sections would be first; a reader follows the order of
// the music more easily.
func joins(o *outline.Outline, spots []spot, step, minutes float64, add func(Item, *float64) bool) {
	last := len(o.Measures) - 1
	full := outline.Range{First: 0, Last: last}
	all := Item{Range: full, Work: PlayAlone, TempoFrom: o.Tempo, TempoTo: o.Tempo, Reaches: o.Tempo, said: []words.Sentence{words.Of("practice.whole-piece")},
		Minutes: math.Max(1, math.Ceil(seconds(o)/60))}
	keep := 0.0
	if all.Minutes < minutes {
		keep = all.Minutes
	}
	minutes -= keep
	for k := range o.Parts {
		r := o.Parts[k]
		why := words.Of("practice.section", "measures", ranged(o, r))
		if k+1 < len(o.Parts) {
			r.Last = min(last, r.Last+1)
			why = words.Of("practice.section.seam", "measures", ranged(o, o.Parts[k]))
		}
		to := o.Measures[r.First].QPM
		it := Item{Range: r, Work: Join, TempoFrom: to, TempoTo: to, Reaches: to, said: []words.Sentence{why}}
		worked := slices.ContainsFunc(spots, func(s spot) bool { return s.First <= r.Last && r.First <= s.Last })
		felt := o.Measures[r.First].Felt
		beat := math.Max(felt.Quarters, 1)
		slower := to - step*beat*math.Max(1, math.Round(0.1*to/(step*beat)))
		floor, because := Floor(o, r)
		switch {
		case worked && floor > slow*to && floor > slower:
			it.say(words.Of("practice.section.not-slowed", "why", because))
		case worked && slower >= floor && slower > slow*to:
			it.TempoFrom, it.Step = slower, to-slower
			it.say(words.Of("practice.section.slower", "tempo", felt.Tempo(slower)))
		}
		once := quarters(o, r) * 60
		need := once / to
		if it.TempoFrom < to {
			need += once / it.TempoFrom
		}
		it.Minutes = math.Max(1, math.Ceil(need/60))
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
	return words.Say("practice.heard-there")
}

// ranged are the numbers of a range: "3", "3–8".
func ranged(o *outline.Outline, r outline.Range) words.Sayer {
	if r.First == r.Last {
		return words.Plain(o.Measures[r.First].Number)
	}
	return words.Of("practice.range", "from", o.Measures[r.First].Number, "to", o.Measures[r.Last].Number)
}

// inRange is the message of a key about a range, which differs for a single measure.
func inRange(key string, o *outline.Outline, r outline.Range, places ...any) words.Sentence {
	if r.First == r.Last {
		return words.Of(key+".measure", append(places, "measure", o.Measures[r.First].Number)...)
	}
	return words.Of(key+".measures", append(places, "measures", ranged(o, r))...)
}
