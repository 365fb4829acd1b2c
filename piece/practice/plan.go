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
	x := sitting{o: o, opt: opt, plan: Plan{Minutes: opt.Minutes, Items: []Item{}, Changed: []string{}, Caution: words.Say("practice.caution")}}
	if len(o.Line) == 0 {
		return x.plan
	}
	x.choose()
	x.divide()
	x.add(begin(o, x.spots), &x.left)
	x.newRhythm()
	hardest := hardestTwo(o, x.spots)
	x.left -= float64(len(hardest)) // a minute each, after the slow work
	x.bringUp()
	x.echo(hardest)
	x.plan.Items = append(x.plan.Items, Item{Measures: whole(o), Range: outline.Range{First: 0, Last: len(o.Measures) - 1},
		Work: Rest, Minutes: x.rest(), Why: words.Say("practice.rest")})
	x.joining += x.left // what nothing hard has needed
	joins(o, x.spots, opt.Step, x.joining, x.add)
	return x.plan
}

// sitting is a plan being made.
type sitting struct {
	o      *outline.Outline
	opt    Options
	said   []evidence // what was heard of each measure; nil where nothing was
	floors []float64
	most   int    // ranges that are brought up
	spots  []spot // the hard ones, the hardest first
	plan   Plan

	left, joining float64 // minutes for what is hard, and for joining
}

// choose finds the hard ranges, and says what the takes heard have changed of them.
func (x *sitting) choose() {
	x.floors = floorsOf(x.o)
	if len(x.opt.Hearings) > 0 {
		x.said = heardIn(x.o, x.opt.Hearings)
	}
	x.most = 3
	if x.opt.Minutes <= 10 {
		x.most = 1
	}
	x.spots = spotsOf(x.o, x.said, x.floors, hard)
	if len(x.spots) < x.most { // an easy piece: its least easy measures
		x.spots = spotsOf(x.o, x.said, x.floors, hard/2)
	}
	if x.said != nil {
		x.plan.Changed = append(x.plan.Changed, whatChanged(x.o, x.spots, len(x.opt.Hearings))...)
	}
	x.spots = slices.DeleteFunc(x.spots, func(s spot) bool { return s.kind == dropped })
}

// rest is how long the rest is, min.
func (x *sitting) rest() float64 { return math.Max(1, math.Round(float64(x.opt.Minutes)/10)) }

// joinShare is how much of the minutes there is for joining. Common practice, no source.
const joinShare = 0.3

// divide shares the minutes out: what the joins have no use for goes to the hard ranges.
func (x *sitting) divide() {
	x.left = float64(x.opt.Minutes) - x.rest()
	x.joining = math.Round(x.left * joinShare)
	used := 0.0
	joins(x.o, x.spots, x.opt.Step, x.joining, func(it Item, from *float64) bool {
		if it.Minutes > *from {
			return false
		}
		*from -= it.Minutes
		used += it.Minutes
		return true
	})
	x.left, x.joining = x.left-used, used
}

// add puts an item into the plan where some minutes have room for it.
func (x *sitting) add(it Item, from *float64) bool {
	if it.Minutes > *from {
		return false
	}
	*from -= it.Minutes
	it.Measures = [2]string{x.o.Measures[it.Range.First].Number, x.o.Measures[it.Range.Last].Number}
	it.Why = words.Sentences(it.said...).String()
	x.plan.Items = append(x.plan.Items, it)
	return true
}

// one is a minute's work on one measure at its own tempo.
func (x *sitting) one(measure int, how Work, why words.Sentence) Item {
	q := x.o.Measures[measure].QPM
	return Item{Range: outline.Range{First: measure, Last: measure}, Work: how, TempoFrom: q, TempoTo: q, Reaches: q, Minutes: 1, said: []words.Sentence{why}}
}

// newRhythm has the first new rhythm bowed silently: one new thing at a sitting.
func (x *sitting) newRhythm() {
	for i, m := range x.o.Measures {
		if m.NewRhythm && x.add(x.one(i, BowSilently, words.Of("practice.new-rhythm", "measure", m.Number)), &x.left) {
			return
		}
	}
}

// bringUp brings up the hard ranges, the hardest first, and proposes one drill at a sitting.
func (x *sitting) bringUp() {
	proposed := x.opt.Drill
	for i, s := range x.spots {
		if i == x.most || x.left < 2 {
			return
		}
		share := math.Max(2, math.Floor(x.left/float64(min(x.most, len(x.spots))-i)))
		share = math.Min(share, longestWork)
		if s.kind == clean {
			share = math.Max(1, math.Floor(share/2))
		}
		it := bringUp(x.o, s, x.floors, math.Min(share, x.left), x.opt)
		if it.Work == PlayAlone {
			it.Minutes = math.Min(it.Minutes, 2) // there are no steps to take
		}
		measure, why := drilled(x.o, it.Range)
		drill := measure != "" && !proposed
		if drill {
			it.Drill = measure
			it.say(why)
		}
		if x.add(it, &x.left) && drill {
			proposed = true
		}
	}
}

// echo has the hardest measures echoed, a minute each.
func (x *sitting) echo(hardest []int) {
	minutes := float64(len(hardest))
	for _, s := range hardest {
		why := words.Of("practice.hardest", "reason", because(x.o, s), "instrument", x.o.Called())
		if x.said != nil && x.said[s].takes > 0 {
			why = words.Of("practice.hardest.heard", "measure", x.o.Measures[s].Number, "heard", x.said[s].here.said(), "instrument", x.o.Called())
		}
		x.add(x.one(s, Echo, why), &minutes)
	}
}
