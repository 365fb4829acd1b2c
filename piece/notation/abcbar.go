package notation

import (
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// measureRests reads Z4: four measures of rest.
func (r *abcReader) measureRests(l *abcLine) error {
	v := r.current()
	count := 1
	if d := l.while(digits); d != "" {
		n, err := strconv.Atoi(d)
		if err != nil || n < 1 || n > maxPrinted {
			return atLine(r.line, words.Fault("notation.abc.rests", "typed", typed(d)))
		}
		count = n
	}
	whole := float64(v.time.Beat()) * float64(v.time.Beats)
	if whole == 0 {
		whole = 4 * float64(piece.Quarter)
	}
	for i := range count {
		if i > 0 || v.holds() {
			if err := r.endMeasure(); err != nil {
				return err
			}
		}
		n := draftNote{voice: "1", staff: 1}
		n.Rest = true
		if err := r.put([]draftNote{n}, whole/v.unitTicks()); err != nil {
			return err
		}
	}
	return nil
}

// endMeasure closes the measure being written, within bounds.
func (r *abcReader) endMeasure() error {
	if r.measures++; r.measures > maxPrinted {
		return atLine(r.line, words.Fault("notation.too-many-measures", "most", maxPrinted))
	}
	return r.voice.closeMeasure()
}

// barLine reads a bar line with its repeat signs, and a bracket right after it.
func (r *abcReader) barLine(l *abcLine) error {
	v := r.current()
	from := l.i
	for {
		switch c := l.at(0); {
		case c == '|' || c == ':':
			l.i++
			continue
		case c == '.' && l.at(1) == '|', c == '[' && l.at(1) == '|':
			l.i++
			continue
		case c == ']' && l.i > from && l.text[l.i-1] == '|':
			l.i++
			continue
		}
		break
	}
	sign := l.text[from:l.i]
	first, last := strings.IndexByte(sign, '|'), strings.LastIndexByte(sign, '|')
	back, forward := 0, 0
	if first < 0 {
		if len(sign) < 2 {
			return nil // a colon by itself
		}
		back, forward = len(sign)/2, len(sign)/2
	} else {
		back = strings.Count(sign[:first], ":")
		forward = strings.Count(sign[last:], ":")
		if first != last && back == 0 && forward == 0 && strings.Contains(sign[first:last], ":") {
			back, forward = 1, 1 // |::| and its like
		}
	}
	v.atBarLine()
	double := strings.Contains(sign, "||") || strings.Contains(sign, "|]") || strings.Contains(sign, "[|")
	if back > 16 {
		return atLine(r.line, words.Fault("notation.abc.repeat", "n", back))
	}
	if v.holds() {
		v.m.DoubleBar = double || back > 0
		if back > 0 {
			v.m.RepeatTimes = back + 1
		}
		if err := r.endMeasure(); err != nil {
			return err
		}
	} else if n := len(v.measures); n > 0 {
		m := v.measures[n-1]
		m.DoubleBar = m.DoubleBar || double || back > 0
		if back > 0 {
			m.RepeatTimes = back + 1
		}
	}
	if back > 0 || forward > 0 || double {
		v.endings = nil
	}
	if forward > 0 {
		v.m.RepeatStart = true
	}
	if c := l.at(0); c >= '1' && c <= '9' {
		return r.bracket(l)
	}
	return nil
}

// bracket reads the numbers of an ending: 1, 1,3 or 1-3.
func (r *abcReader) bracket(l *abcLine) error {
	v := r.current()
	text := strings.Trim(l.while(digits+",-."), ",-.")
	numbers, ok := endingNumbers(text)
	if !ok {
		return atLine(r.line, words.Fault("notation.abc.ending", "typed", typed(text)))
	}
	if v.holds() { // the bracket begins inside a measure
		if err := r.endMeasure(); err != nil {
			return err
		}
		v.m.extra = true
	}
	v.endings = numbers
	v.m.Endings = numbers
	return nil
}
