package main

import (
	"math"
	"strings"

	"endpin/piece"
	"endpin/piece/pupil"
)

// verdict is what became of one take's findings.
//
// A planted fault is found when a finding of its kind names its measure (for a
// fault of one note also its beat, within a quarter of one) and a value within
// 10 cents or 30 ms of what was played (half a semitone, 0.15 of a written
// length, 0.15 beats, 3 % of the tempo; no value is compared for missing,
// extra, restarted and a drifting tempo). Signs count where the kind does not
// tell them. A right place with a wrong value is a miss and a false finding.
//
// Every other finding is false, except: not_sure, which claims nothing; a
// finding that the planted fault makes true as well (a note cut off by an early
// entrance is held short); a narrow or wide hand told frame by frame.
type verdict struct {
	found    []bool      // by expected finding
	place    []bool      // its kind and measure were told, whatever the value
	sure     []bool      // it was told with trust sure
	right    []toldFault // what was told and is so
	mistaken []toldFault
	unsure   int // not_sure findings
}

func judge(out *pupil.Performance, told []toldFault) verdict {
	n := len(out.Expected)
	samePlace := places(out.Tune.Piece).same
	v := verdict{found: make([]bool, n), place: make([]bool, n), sure: make([]bool, n)}
	used := make([]bool, len(told))
	for i, want := range out.Expected {
		for j, got := range told {
			if used[j] || !samePlace(want, got) {
				continue
			}
			v.place[i] = true
			if !sameValue(want, got) {
				continue
			}
			used[j], v.found[i], v.sure[i] = true, true, got.Trust == "sure"
			break
		}
	}
	for j, got := range told {
		switch {
		case used[j] || got.Kind != "not_sure" && excused(out, got):
			v.right = append(v.right, got)
		case got.Kind == "not_sure":
			v.unsure++
		default:
			v.mistaken = append(v.mistaken, got)
		}
	}
	return v
}

func excused(out *pupil.Performance, got toldFault) bool {
	samePlace := places(out.Tune.Piece).same
	for _, may := range out.Allowed {
		if may.Kind == got.Kind && may.Measure == got.Measure {
			return true
		}
	}
	for _, want := range out.Expected {
		if strings.HasSuffix(want.Kind, "_hand") && samePlace(want, got) && sameValue(want, got) {
			return true
		}
	}
	return false
}

// order is where each printed measure number stands in the piece.
type order map[string]int

func places(p *piece.Piece) order {
	o := order{}
	for i, m := range p.Measures {
		if _, seen := o[m.Number]; !seen {
			o[m.Number] = i
		}
	}
	return o
}

// same says that a finding is of the kind wanted and stands where it should.
func (o order) same(want pupil.Finding, got toldFault) bool {
	if want.Kind != got.Kind {
		return false
	}
	if strings.HasSuffix(want.Kind, "_passage") { // found within a measure at either end
		return max(o[want.Measure]-o[got.Measure], o[got.Measure]-o[want.Measure]) <= 1 && max(o[want.ToMeasure]-o[got.ToMeasure], o[got.ToMeasure]-o[want.ToMeasure]) <= 1
	}
	to := got.ToMeasure
	if to == "" {
		to = got.Measure
	}
	if (want.Kind == "held_short" || want.Kind == "late") && want.ToMeasure != want.Measure { // the manner of the take
		return got.Measure == want.Measure && to == want.ToMeasure
	}
	if want.Anywhere {
		if got.Measure == want.Measure && to == want.ToMeasure { // as played: a repeat may lead back
			return true
		}
		return o[got.Measure] <= o[want.ToMeasure] && o[to] >= o[want.Measure]
	}
	if want.Measure != got.Measure || want.Pass != 0 && got.Pass != 0 && want.Pass != got.Pass {
		return false
	}
	if want.Kind == "restarted" || want.Kind == "left_out" {
		return want.ToMeasure == to
	}
	if want.FrameSize > 0 {
		return true
	}
	within := 0.26
	if want.Kind == "extra" {
		within = 1.01 // it has no beat of its own on the page
	}
	return got.Beat == 0 || math.Abs(want.Beat-got.Beat) <= within
}

func sameValue(want pupil.Finding, got toldFault) bool {
	if want.Within == 0 {
		return true
	}
	a, b := want.Value, got.Value
	switch want.Kind {
	case "tuning", "wrong_note":
	default: // the kind tells the sign
		a, b = math.Abs(a), math.Abs(b)
	}
	return math.Abs(a-b) <= want.Within
}
