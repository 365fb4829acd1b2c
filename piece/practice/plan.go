package practice

import (
	"math"
	"slices"

	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/words"
)

// Work is a way of working on a measure range; the desk has the same words.
type Work string

// The ways of working.
const (
	BowSilently Work = "bow-silently" // the bow in the air or on damped strings, for the rhythm alone
	Echo        Work = "echo"         // listen, then answer
	WorkUp      Work = "bring-up"     // from a slow tempo step by step to the piece's
	PlayAlone   Work = "play-alone"
	PlayAlong   Work = "play-along" // with the beat
	Join        Work = "join"       // one section and the next, played across the seam
	Rest        Work = "rest"
)

// Item is one thing to do.
type Item struct {
	Measures  [2]string `json:"measures"`
	Work      Work      `json:"work"`
	TempoFrom float64   `json:"tempo_from"` // quarter notes a minute; 0 for rest
	TempoTo   float64   `json:"tempo_to"`
	Step      float64   `json:"step"`    // quarter notes a minute; 0 where there are none
	Reaches   float64   `json:"reaches"` // the tempo that the minutes allow for
	Minutes   float64   `json:"minutes"`
	Why       string    `json:"why"`             // sentences
	Drill     string    `json:"drill,omitempty"` // the measure of a shift that is worth a drill of its own; "" for none

	Range outline.Range `json:"-"`
	Floor float64       `json:"-"`

	said []words.Sentence // what Why tells
}

func (it *Item) say(s words.Sentence) { it.said = append(it.said, s) }

// Plan is a sitting.
type Plan struct {
	Minutes int      `json:"minutes"`
	Items   []Item   `json:"plan"`
	Changed []string `json:"changed"` // what the takes heard have changed
	Caution string   `json:"caution"` // stands under every plan
}

// Options are how long a sitting is, and what was heard.
type Options struct {
	Minutes  int     // 10, 20 or 30; 0 for 20
	Step     float64 // beats felt a minute; 0 for Step
	Hearings []*finding.Hearing
	Drill    bool // the piece is a drill itself, and none of it is worth another
}

// slow is the part of the tempo at which a range is begun. Common practice, no source.
const slow = 0.6

// longestWork is how many minutes one range is worked at most; then hand and
// attention tire. Common practice, no source.
const longestWork = 6

// Needs is how many of the minutes the items fill.
func (p Plan) Needs() int {
	sum := 0.0
	for _, it := range p.Items {
		sum += it.Minutes
	}
	return int(math.Ceil(sum))
}

// For plans a sitting: something easy played to begin with, a new rhythm bowed
// silently, the hardest ranges brought up from slow, the two hardest measures
// echoed, a rest, then sections joined over a measure and the whole played. What
// has no room in the minutes is left out, the least hard first.
func For(o *outline.Outline, opt Options) Plan {
	if opt.Minutes == 0 {
		opt.Minutes = 20
	}
	if opt.Step <= 0 {
		opt.Step = Step
	}
	plan := Plan{Minutes: opt.Minutes, Items: []Item{}, Changed: []string{}, Caution: words.Say("practice.caution")}
	if len(o.Line) == 0 {
		return plan
	}
	floors := floorsOf(o)
	var said []evidence
	if len(opt.Hearings) > 0 {
		said = heardIn(o, opt.Hearings)
	}
	most := 3
	if opt.Minutes <= 10 {
		most = 1
	}
	spots := spotsOf(o, said, floors, hard)
	if len(spots) < most { // an easy piece: its least easy measures
		spots = spotsOf(o, said, floors, hard/2)
	}
	if said != nil {
		plan.Changed = append(plan.Changed, whatChanged(o, spots, len(opt.Hearings))...)
	}
	spots = slices.DeleteFunc(spots, func(s spot) bool { return s.kind == dropped })
	rest := math.Max(1, math.Round(float64(opt.Minutes)/10))
	left := float64(opt.Minutes) - rest
	endPart := math.Round(left * 0.3) // for joining
	left -= endPart
	used := 0.0 // what the joins have no use for goes to the hard ranges
	joins(o, spots, opt.Step, endPart, func(it Item, from *float64) bool {
		if it.Minutes > *from {
			return false
		}
		*from -= it.Minutes
		used += it.Minutes
		return true
	})
	left, endPart = left+endPart-used, used
	add := func(it Item, from *float64) bool {
		if it.Minutes > *from {
			return false
		}
		*from -= it.Minutes
		it.Measures = [2]string{o.Measures[it.Range.First].Number, o.Measures[it.Range.Last].Number}
		it.Why = words.Sentences(it.said...).String()
		plan.Items = append(plan.Items, it)
		return true
	}
	add(begin(o, spots), &left)
	for i := range o.Measures {
		if o.Measures[i].NewRhythm {
			q := o.Measures[i].QPM
			if add(Item{Range: outline.Range{First: i, Last: i}, Work: BowSilently, TempoFrom: q, TempoTo: q, Reaches: q, Minutes: 1,
				said: []words.Sentence{words.Of("practice.new-rhythm", "measure", o.Measures[i].Number)}}, &left) {
				break // one new thing at a sitting
			}
		}
	}
	hardest := hardestTwo(o, spots)
	left -= float64(len(hardest)) // a minute each, after the slow work
	echoed := float64(len(hardest))
	proposed := opt.Drill // one at a sitting
	for i, s := range spots {
		if i == most || left < 2 {
			break
		}
		share := math.Max(2, math.Floor(left/float64(min(most, len(spots))-i)))
		share = math.Min(share, longestWork)
		if s.kind == clean {
			share = math.Max(1, math.Floor(share/2))
		}
		it := bringUp(o, s, floors, math.Min(share, left), opt)
		if it.Work == PlayAlone {
			it.Minutes = math.Min(it.Minutes, 2) // there are no steps to take
		}
		if measure, why := drilled(o, it.Range); measure != "" && !proposed {
			it.Drill = measure
			it.say(why)
			proposed = add(it, &left)
			continue
		}
		add(it, &left)
	}
	for _, s := range hardest {
		q := o.Measures[s].QPM
		why := words.Of("practice.hardest", "reason", because(o, s), "instrument", o.Called())
		if said != nil && said[s].takes > 0 {
			why = words.Of("practice.hardest.heard", "measure", o.Measures[s].Number, "heard", said[s].heard.said(), "instrument", o.Called())
		}
		add(Item{Range: outline.Range{First: s, Last: s}, Work: Echo, TempoFrom: q, TempoTo: q, Reaches: q, Minutes: 1,
			said: []words.Sentence{why}}, &echoed)
	}
	plan.Items = append(plan.Items, Item{Measures: whole(o), Range: outline.Range{First: 0, Last: len(o.Measures) - 1},
		Work: Rest, Minutes: rest, Why: words.Say("practice.rest")})
	endPart += left // what nothing hard has needed
	joins(o, spots, opt.Step, endPart, add)
	return plan
}
