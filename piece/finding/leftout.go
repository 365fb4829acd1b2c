package finding

import (
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
			t.remark("finding.past-ending", "measure", t.line[s.To].Number, "next", t.line[s.From+1].Number)
			continue
		}
		from, to := s.From+1, s.To-1
		for from <= to && t.match(from).Heard >= 0 { // they were played before
			from++
		}
		for i := from; i <= to; i++ {
			if t.match(i).Heard >= 0 {
				to = from - 1
			}
		}
		if from > to {
			continue
		}
		if back := t.goesBack(from, s.To); back <= s.To && t.line[s.To].Measure > t.line[s.From].Measure {
			t.remark("finding.repeat-left"+one(t.line[back].Number == t.line[to].Number), "from", t.line[back].Number, "to", t.line[to].Number)
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
