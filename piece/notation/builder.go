package notation

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"endpin/piece"
)

// builder fills a draft measure by measure, for either format, and keeps what
// holds from one measure to the next.
type builder struct {
	draft
	time    piece.Time
	key     piece.Key
	clef    piece.Clef
	endings []int         // the bracket that is open
	carry   piece.Measure // signs for the start of the next measure
	codas   []codaSign    // coda signs that no <sound> explains

	// The measure being read. Places are in ticks, and floating, since a
	// division of a file need not be a whole number of them.
	m           *draftMeasure
	pos, end    float64
	segno, coda float64 // where such a sign stands in it, or absent
}

// codaSign is a coda sign without words: to the coda, or the coda itself.
type codaSign struct {
	measure int
	at      piece.Ticks
}

func newBuilder(p part) builder {
	return builder{draft: draft{part: p}, clef: piece.Clef{Sign: "F", Line: 4}}
}

// absent marks a sign that does not stand in the measure.
const absent = -1

func (r *builder) begin(number string) {
	r.m = &draftMeasure{Measure: r.carry}
	r.m.Number, r.m.Time, r.m.Key, r.m.Clef = number, r.time, r.key, r.clef
	r.carry = piece.Measure{}
	r.pos, r.end = 0, 0
	r.segno, r.coda = absent, absent
}

// maxTicks is longer than any measure: sixteen whole notes' worth of breves.
const maxTicks = 1024 * 4 * float64(piece.Quarter)

func (r *builder) move(d float64) {
	r.pos = max(0, r.pos+d)
	r.end = max(r.end, r.pos)
}

func ticks(pos float64) piece.Ticks { return piece.Ticks(math.Round(pos)) }

// close ends the measure being read.
func (r *builder) close() error {
	m := r.m
	m.Length = ticks(r.end)
	if whole := m.Time.Beat() * piece.Ticks(m.Time.Beats); m.Length == 0 {
		m.Length = whole
	}
	if r.endings != nil && m.Endings == nil {
		m.Endings = r.endings
	}
	if m.Endings != nil && m.RepeatTimes > 0 {
		r.endings = nil // a sign that goes back ends its bracket, told or not
	}
	if r.segno != absent {
		if r.segno > 0 && ticks(r.segno) >= m.Length {
			r.carry.Segno = true
		} else {
			m.Segno = true
		}
	}
	if r.coda != absent {
		if r.coda > 0 && ticks(r.coda) >= m.Length {
			r.carry.Coda = true
		} else {
			m.Coda = true
		}
	}
	r.measures = append(r.measures, m)
	return nil
}

// codaAt notes a coda sign of which only its place tells what it means.
func (r *builder) codaAt(pos float64) {
	r.codas = append(r.codas, codaSign{len(r.measures), ticks(pos)})
}

// settleCodas reads coda signs without words: where nothing else says where to
// leave for the coda, the first of two signs does; the last is the coda itself.
func (r *builder) settleCodas() {
	toCoda, hasCoda := false, false
	for _, m := range r.measures {
		toCoda = toCoda || m.ToCoda
		hasCoda = hasCoda || m.Coda
	}
	for i, c := range r.codas {
		m := c.measure
		if m >= len(r.measures) {
			continue
		}
		if i < len(r.codas)-1 || hasCoda {
			if !toCoda && !r.measures[m].Coda {
				if c.at == 0 && m > 0 { // before the bar's first note: at the end of the one before
					m--
				}
				r.measures[m].ToCoda = true
			}
			continue
		}
		if c.at > 0 && c.at >= r.measures[m].Length && m+1 < len(r.measures) {
			m++
		}
		if !r.measures[m].ToCoda || c.at == 0 {
			r.measures[m].Coda = true
		}
	}
}

// endingNumbers reads "1", "1, 2", "1,2", "1-3" and "1.-3.".
func endingNumbers(text string) (numbers []int, ok bool) {
	for _, word := range strings.FieldsFunc(text, func(c rune) bool { return c == ',' || c == ' ' || c == ';' }) {
		from, to, isRange := strings.Cut(word, "-")
		a, errA := strconv.Atoi(strings.TrimSuffix(from, "."))
		b := a
		var errB error
		if isRange {
			b, errB = strconv.Atoi(strings.TrimSuffix(to, "."))
		}
		if errA != nil || errB != nil || a < 1 || b < a || b > maxEnding {
			return nil, false
		}
		for n := a; n <= b; n++ {
			if !slices.Contains(numbers, n) {
				numbers = append(numbers, n)
			}
		}
	}
	if len(numbers) == 0 {
		return []int{1}, true // a bracket without a number is a first ending
	}
	return numbers, true
}

const maxEnding = 100
