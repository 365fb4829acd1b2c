package finding

import (
	"math"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece/fingerboard"
	"endpin/piece/intonation"
)

// What is told of hands and fingers. Where no source is named: set by ear, no source.
const (
	noChance         = 3.8   // times the player's scatter: such a note is no chance of many, and sure
	farthestOff      = 170.0 // cents: a note further off was another, and tells nothing of intonation
	leadingAllowance = 10.0  // cents: a leading note is habitually played high (common practice)
	pluckedAllowance = 8.0   // cents: a pluck begins sharp and sinks
	landingMore      = 1.1   // times the frame's tolerance that a landing put right must have been off
	steadySure       = 0.1   // s of steady pitch that make a note off by itself sure
	spanFourths      = 3     // notes of the fourth finger that tell of the hand's span
)

// hand is one hand frame as heard.
type hand struct {
	notes []int // of the line, heard well enough
	all   []int // of the line
	shift *fingerboard.Shift
	at    float64 // median displacement, cents
	frame int     // of the plan
}

// displacements tells of hands that lay off their places.
func (t *take) displacements() {
	for _, h := range t.hands {
		t.displaced(h)
	}
}

// strays tells of single notes off by themselves.
func (t *take) strays() {
	for _, h := range t.hands {
		t.straysOf(h)
	}
	for i, f := range t.plan.Notes {
		if f.Off { // no finger is known for it, but a pitch is expected all the same
			t.straysOf(&hand{notes: []int{i}, all: []int{i}, frame: -1})
		}
	}
}

// gatherHands gathers the notes of each frame.
func (t *take) gatherHands() []*hand {
	byFrame := map[int]*hand{}
	var hands []*hand
	for i, f := range t.plan.Notes {
		if !f.Stopped() {
			continue
		}
		h := byFrame[f.Frame]
		if h == nil {
			h = &hand{frame: f.Frame}
			byFrame[f.Frame] = h
			hands = append(hands, h)
		}
		h.all = append(h.all, i)
		if t.usable(i) && !f.Reach {
			h.notes = append(h.notes, i)
		}
	}
	for k := range t.plan.Shifts {
		if h := byFrame[t.plan.Shifts[k].Frame]; h != nil {
			h.shift = &t.plan.Shifts[k]
		}
	}
	for _, h := range hands {
		h.at = t.middle(h.notes)
	}
	return hands
}

// usable tells whether a note's pitch may be judged.
func (t *take) usable(i int) bool {
	return t.pitched(i) && !t.wrong[i] && math.Abs(t.off(i)) < farthestOff
}

func (t *take) middle(notes []int) float64 {
	off := make([]float64, len(notes))
	for k, i := range notes {
		off[k] = t.off(i)
	}
	return robust.Median(off)
}

// displaced tells of a hand that came down off its place: the frame after a
// shift, or the one that the piece opens with.
func (t *take) displaced(h *hand) {
	n := len(h.notes)
	if n == 0 || h.shift == nil && n < 2 {
		return // a first finger by itself: strays tells of it
	}
	frame := intonation.OfFrame(h.frame)
	lies, sd := t.tuned.Effect(frame)
	beyond := t.tuned.Beyond(nearly*t.level.Frame, sd, func(r *intonation.Reading) float64 { return r.Of(frame) })
	if beyond == dsp.NotSure || math.Abs(h.at) <= t.level.Frame || h.at*lies < 0 {
		t.corrected(h)
		return
	}
	var off []float64
	last := h.all[0]
	for _, i := range h.notes {
		off = append(off, t.off(i))
		if math.Abs(t.off(i)-h.at) < math.Abs(t.off(i)) {
			last = i
		}
	}
	kind := either(h.at, Sharp, Flat)
	supposed := false // that there was a shift
	if h.shift != nil {
		kind = either(h.at, SharpAfterShift, FlatAfterShift)
		supposed = !h.shift.Marked || h.shift.Alternative
	}
	trust := least(least(t.tuned.Trust, beyond), sureUnless(n < 2 || t.rests(h) || supposed || t.struck[h.all[0]]))
	t.offFrames[h.frame] = true
	said, located := t.frameText(h, t.until(h, last))
	t.add(Finding{Kind: kind, Value: h.at, Trust: trust, Spread: robust.SpreadAbout(off, h.at), Tolerance: t.level.Frame, Notes: n,
		Said: said, Located: located}, h.all[0], t.until(h, last))
}

// until is the last note of a frame that a displacement seen up to one of its
// notes covers: to the end of the frame, where no note after that one was heard
// in its place.
func (t *take) until(h *hand, last int) int {
	end := last
	for _, i := range h.all {
		if i <= last {
			continue
		}
		if t.pitched(i) && math.Abs(t.off(i)) < math.Abs(h.at)/2 {
			break
		}
		if t.match(i).Heard >= 0 {
			end = i
		}
	}
	return end
}

// rests tells whether the hand may have left its place within a frame: a rest
// of a measure or more is written in it.
func (ev *evidence) rests(h *hand) bool {
	for i := h.all[0]; i < h.all[len(h.all)-1]; i++ {
		m := &ev.piece.Measures[ev.line[i].Measure]
		if rest := ev.line[i].RestAfter; rest > 0 && rest >= m.Length {
			return true
		}
	}
	return false
}

// corrected tells of a first note that landed off and was then put right.
func (t *take) corrected(h *hand) {
	i := h.all[0]
	if h.shift == nil || !t.usable(i) {
		return
	}
	landing, corrected := t.landed(h)
	if !corrected || math.Abs(landing) > farthestOff || math.Abs(landing) <= landingMore*t.level.Frame || math.Abs(t.off(i)) > t.level.Frame ||
		math.Abs(landing) < math.Abs(t.off(i))+t.level.Frame/2 {
		return
	}
	m := &t.match(i).Note
	t.add(Finding{Kind: either(landing, SharpAfterShift, FlatAfterShift), Value: landing, Trust: dsp.Fair, Spread: m.Spread, Tolerance: t.level.Frame, Notes: 1,
		Said: t.correctedText(i, landing, m.Settle), Located: true}, i, i)
}

// straysOf tells of the notes of one frame, measured from where the hand was told to lie.
func (t *take) straysOf(h *hand) {
	told := t.offFrames[h.frame]
	if len(h.all) == 1 && h.shift != nil || told && len(h.notes) < 2 {
		return // the frame is the note
	}
	for _, i := range h.all {
		e := t.off(i)
		if !t.usable(i) || math.Abs(t.cents[i]-t.tuned.A) <= t.level.Note || told && math.Abs(e) <= t.level.Note {
			continue // in tune, though its string or the hand was not
		}
		at := 0.0
		if told {
			at = h.at
		}
		allowed := t.level.Note
		if e > 0 && t.leading(i) {
			allowed += leadingAllowance
		}
		allowed = math.Max(allowed, noChance*t.unevenBy)
		e -= at
		beyond := t.tuned.Beyond(allowed, t.pitchDoubt(i), func(r *intonation.Reading) float64 { return t.cents[i] - r.A - t.told(i) - at })
		if beyond == dsp.NotSure {
			continue
		}
		n := &t.match(i).Note
		trust := least(least(n.Trust, least(t.tuned.Trust, beyond)), sureUnless(math.Abs(e) < noChance*t.tuned.Scatter ||
			n.SteadyTo-n.SteadyFrom < steadySure || t.struck[i]))
		t.add(Finding{Kind: either(e, Sharp, Flat), Value: e, Trust: trust, Spread: n.Spread, Tolerance: t.level.Note, Notes: 1}, i, i)
	}
}

// span tells of a hand whose fourth finger lies too near to the first, or too
// far, wherever a frame uses both; from then on the fingers are judged by that hand.
func (t *take) span() (hands []*hand) {
	hands = t.gatherHands()
	all := intonation.Span
	wide, sd := t.tuned.Effect(all)
	beyond := t.tuned.Beyond(nearly*t.level.Frame, sd, func(r *intonation.Reading) float64 { return r.Of(all) })
	notes, _ := t.intoned()
	both := intonation.Spanning(notes)
	var off []float64 // by fourth finger: from where the first puts it
	var used []*hand
	for _, h := range hands {
		if !both[h.frame] {
			continue
		}
		var first, fourth []int
		for _, i := range h.notes {
			switch t.plan.Notes[i].Finger {
			case "1":
				first = append(first, i)
			case "4":
				fourth = append(fourth, i)
			}
		}
		if len(first) == 0 || len(fourth) == 0 {
			continue
		}
		for _, i := range fourth {
			off = append(off, t.off(i)-t.middle(first))
		}
		used = append(used, h)
	}
	if beyond == dsp.NotSure || math.Abs(wide) <= t.level.Frame || len(off) < spanFourths {
		return hands
	}
	trust := least(least(t.tuned.Trust, beyond), sureUnless(len(used) < 2 || t.struck[used[0].all[0]]))
	last := used[len(used)-1].all
	t.add(Finding{Kind: either(wide, WideHand, NarrowHand), Value: wide, Trust: trust, Spread: robust.SpreadAbout(off, robust.Median(off)), Tolerance: t.level.Frame,
		Notes: len(off)}, used[0].all[0], last[len(last)-1])
	for _, h := range used {
		for _, i := range h.all {
			if share := intonation.FingerShare[t.plan.Notes[i].Finger]; share > 0 {
				t.spanned[i] = share * wide
			}
		}
		h.at = t.middle(h.notes)
	}
	return hands
}
