package finding

import (
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/words"
)

// goneOn is how many notes must be heard behind measures for it to be sure that the player
// went on there (set by ear, no source).
const goneOn = 4

// leavesOut tells of measures that the player went past, playing on behind them: as one
// finding, or, where the page goes back there, as a repeat that was not taken, which is
// no fault.
func (t *take) leavesOut() {
	for _, s := range t.align.Skips {
		if s.To <= s.From {
			t.goesOn(s)
			continue
		}
		from, to := s.From+1, s.To-1
		for from <= to && (t.match(from).Heard >= 0 || t.passed[from]) { // they were played before
			from++
		}
		for i := from; i <= to; i++ {
			if t.match(i).Heard >= 0 { // the page was followed afterwards
				t.otherEnding(from, s.To)
				to = from - 1
			}
		}
		if from > to {
			continue
		}
		if back := t.goesBack(from, s.To); back <= s.To && t.line[s.To].Measure > t.line[s.From].Measure {
			t.repeatLeft(back, to)
			t.passOver(from, to)
			continue
		}
		first, last := from, to // whole measures
		for first <= to && !t.startsMeasure(first) {
			first++
		}
		for last >= first && !t.startsMeasure(last+1) {
			last--
		}
		if first > last || t.timeWasLeft(s) {
			continue // notes of one measure, or silence in their place
		}
		measures := 0
		for i := first; i <= last; i++ {
			if t.startsMeasure(i) {
				measures++
			}
		}
		heard := 0
		for i := s.To; i < len(t.line) && t.match(i).Heard >= 0; i++ {
			heard++
		}
		t.passOver(from, to)
		t.add(Finding{Kind: LeftOut, Trust: sureUnless(heard < goneOn), Value: float64(measures), Notes: to - from + 1, At: round(s.At, 3)}, first, last)
	}
}

// goesOn remarks on a player who goes on where the page ends, or goes elsewhere: past a
// sign, or into an ending that was played before.
func (t *take) goesOn(s align.Skip) {
	from, to := &t.line[s.From], &t.line[s.To]
	switch {
	case s.From == len(t.line)-1:
		t.remark("finding.past-end", "measure", from.Number, "next", to.Number)
	case t.otherEnding(s.From+1, s.To):
	case from.Behind > 0 && s.To > 0 && t.line[s.To-1].Behind == from.Behind: // back from the other ending
	default:
		t.remark("finding.past-ending", "measure", to.Number, "next", t.line[s.From+1].Number)
	}
}

// otherEnding remarks that one ending was played where the page has another, if they are
// two endings of one repeat, each by a note of it.
func (t *take) otherEnding(written, played int) bool {
	behind := t.line[played].Behind
	if behind == 0 || t.line[written].Behind != behind {
		return false
	}
	t.remark("finding.other-ending", "measure", t.line[played].Number, "next", t.line[written].Number)
	for i := written; i < len(t.line) && t.line[i].Behind == behind; i++ {
		t.passed[i] = true
	}
	return true
}

// repeatLeft remarks that the player did not go back where the page does, before a note;
// to is the last note of what would have come again.
func (t *take) repeatLeft(back, to int) {
	before, again := &t.line[back-1], &t.line[back]
	switch t.piece.Measures[before.Measure].Jump {
	case piece.DaCapo:
		t.remark("finding.da-capo-left", "measure", before.Number)
	case piece.DalSegno:
		t.remark("finding.dal-segno-left", "measure", before.Number, "to", again.Number)
	default:
		for to > back && t.line[to].Pass == 1 { // the ending that nobody came to
			to--
		}
		t.remark("finding.repeat-left"+one(again.Number == t.line[to].Number), "from", again.Number, "to", t.line[to].Number)
	}
}

// timeWasLeft tells whether the player waited about as long as what he passed over lasts
// (between half and half as much again: set by ear, no source).
func (t *take) timeWasLeft(s align.Skip) bool {
	waited := s.At - t.match(s.From).Note.Onset
	all, next := t.clock[s.To]-t.clock[s.From], t.clock[s.From+1]-t.clock[s.From]
	return waited > (all+next)/2*t.align.Pace && waited < 1.5*all*t.align.Pace
}

// goesBack gives the first note from..to before which the page goes back, to+1 for none.
func (t *take) goesBack(from, to int) int {
	for i := from; i <= to; i++ {
		if t.startsMeasure(i) && t.line[i].Measure <= t.line[i-1].Measure {
			return i
		}
	}
	return to + 1
}

// startsMeasure tells whether a note is the first of a measure, or the line's end.
func (ev *evidence) startsMeasure(i int) bool {
	return i == 0 || i == len(ev.line) || ev.line[i].Measure != ev.line[i-1].Measure || ev.line[i].Pass != ev.line[i-1].Pass
}

// passOver notes that it is told why notes from..to were not heard.
func (t *take) passOver(from, to int) {
	for i := from; i <= to; i++ {
		t.passed[i] = true
	}
}

// remark says something of how the take was played that is no fault.
func (t *take) remark(key string, places ...any) {
	t.said = append(t.said, words.Say(key, places...))
}

// one is the end of the key of a sentence about a single thing.
func one(is bool) string {
	if is {
		return ".one"
	}
	return ""
}
