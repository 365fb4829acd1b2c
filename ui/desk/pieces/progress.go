package pieces

import (
	"math"
	"slices"
	"time"

	"endpin/piece/trend"
	"endpin/piece/words"
)

// Worked is what is known of the work on one piece: each measure's passes, by the number
// that it is printed with, and the last take.
type Worked struct {
	Last     time.Time
	Measures map[string][]trend.Pass
}

// Add takes in one take: at what tempo, and which measures were clean and which not.
func (w *Worked) Add(at time.Time, qpm float64, clean, told []string) {
	if w.Measures == nil {
		w.Measures = map[string][]trend.Pass{}
	}
	if at.After(w.Last) {
		w.Last = at
	}
	for i, numbers := range [][]string{told, clean} {
		for _, m := range numbers {
			w.Measures[m] = append(w.Measures[m], trend.Pass{When: at, QPM: qpm, Clean: i == 1})
		}
	}
}

// Progress is how far a piece is.
type Progress struct {
	Last      time.Time // the last take; zero for none
	Clean, Of int       // measures, of all in which something is played
	Low, High float64   // the tempos at which they are clean, the slowest and the fastest
	From, To  string    // the measures that come next; "" where all are clean at the piece's tempo
	Faster    bool      // these are clean, but slower than the piece's tempo
}

// ofTempo is the share of the piece's tempo at which it is reached: nobody plays at 84 to
// the hair. As the intermediate level takes a tempo for the one asked for.
const ofTempo = 0.92

// progress is how far a piece is by the work on it: a measure is clean at the tempo of
// trend.FastestClean, and next comes the first run of measures that are not clean, or
// else of those that are slower than the piece.
func (p *Piece) progress(w Worked) Progress {
	x := Progress{Last: w.Last, Of: len(p.Measures), Low: math.Inf(1)}
	tempos := make([]float64, len(p.Measures))
	for i, m := range p.Measures {
		if tempos[i] = trend.FastestClean(w.Measures[m]); tempos[i] > 0 {
			x.Clean++
			x.Low, x.High = min(x.Low, tempos[i]), max(x.High, tempos[i])
		}
	}
	for _, enough := range []float64{math.SmallestNonzeroFloat64, ofTempo * p.QPM} {
		if from := slices.IndexFunc(tempos, func(q float64) bool { return q < enough }); from >= 0 {
			to := from
			for to+1 < len(tempos) && tempos[to+1] < enough {
				to++
			}
			x.From, x.To, x.Faster = p.Measures[from], p.Measures[to], tempos[from] > 0
			return x
		}
	}
	return x
}

// Far says how far it is: the measures that are clean, and at which tempo.
func (p *Piece) Far() string {
	x := p.Progress
	low, high := words.Whole(x.Low), words.Whole(x.High)
	switch {
	case x.Last.IsZero():
		return words.Say("desk.pieces.far.not-yet")
	case x.Clean == 0:
		return words.Many("desk.pieces.far.none", x.Of).String()
	case math.Round(x.Low) == math.Round(x.High):
		return words.Many("desk.pieces.far", x.Of, "clean", x.Clean, "qpm", high).String()
	}
	return words.Many("desk.pieces.far.range", x.Of, "clean", x.Clean, "low", low, "high", high).String()
}

// Next says what comes next; "" where nothing was worked on yet.
func (p *Piece) Next() string {
	x := p.Progress
	key := "desk.pieces.next"
	switch {
	case x.Last.IsZero():
		return ""
	case x.From == "":
		return words.Say("desk.pieces.next.whole", "qpm", words.Whole(p.QPM))
	case x.Faster:
		key = "desk.pieces.next.faster"
	}
	if x.From == x.To {
		return words.Say(key+".one", "n", x.From, "qpm", words.Whole(p.QPM))
	}
	return words.Say(key, "from", x.From, "to", x.To, "qpm", words.Whole(p.QPM))
}

// When says when it was worked on last, seen from now; "" where it was not.
func (p *Piece) When(now time.Time) string {
	last := p.Progress.Last
	if last.IsZero() {
		return ""
	}
	switch days := daysBetween(last, now); {
	case days <= 0:
		return words.Say("desk.pieces.when.today")
	case days == 1:
		return words.Say("desk.pieces.when.yesterday")
	case days < 7:
		return words.Many("desk.pieces.when.days", days).String()
	case last.Year() == now.Year():
		return words.DayOfYear(last).String()
	}
	return words.Day(last).String()
}

// daysBetween counts from one day of the calendar to another.
func daysBetween(from, to time.Time) int {
	day := func(t time.Time) time.Time {
		y, m, d := t.Date()
		return time.Date(y, m, d, 12, 0, 0, 0, time.UTC)
	}
	return int(math.Round(day(to.In(from.Location())).Sub(day(from)).Hours() / 24))
}
