package job

import (
	"fmt"
	"math"
	"slices"
	"time"

	"endpin/piece/diary"
	"endpin/piece/report"
	"endpin/piece/trend"
)

// daysOff is how many days without a take are a rest after which it is worth
// asking what came back.
const daysOff = 3

// DiaryPage gathers what a page about a player's weeks shows. Now is the time of
// day.
func DiaryPage(d *diary.Diary, s diary.Span, now time.Time) (report.DiaryModel, error) {
	m := report.DiaryModel{Player: s.Player}
	w, err := d.Weeks(s)
	if err != nil {
		return m, err
	}
	if m.Player = w.Player; len(w.Takes) == 0 {
		return m, nil
	}
	if err := fill(&m, w, s); err != nil {
		return m, fmt.Errorf("%s: %w", d.Path(), err)
	}
	return m, nil
}

func fill(m *report.DiaryModel, w *diary.Weeks, s diary.Span) error {
	takes := w.Takes
	m.From, m.To = takes[0].At, takes[len(takes)-1].At
	if !s.From.IsZero() {
		m.From = s.From
	}
	for _, t := range takes {
		m.Takes = append(m.Takes, report.DiaryTake{When: t.At, Piece: t.Piece})
	}
	groups, older, err := w.Landings()
	if err != nil {
		return err
	}
	for i, l := range trend.Shifts(groups, trend.Options{}) {
		m.Shifts = append(m.Shifts, report.DiaryShift{Line: l, Landings: groups[i].Landings})
	}
	m.Kinds = trend.Kinds(groups, trend.Options{})
	measures, err := w.Measures()
	if err != nil {
		return err
	}
	for _, x := range measures {
		m.Weeks = append(m.Weeks, report.DiaryMeasure{Piece: x.Piece, Measure: x.Measure, Weeks: told(x.Passes)})
	}
	if older > 0 {
		m.More = append(m.More, fmt.Sprintf("Takes heard by an earlier version of the listening, left out of the shifts: %d.", older))
	}
	if n := len(w.Misdated); n > 0 {
		m.More = append(m.More, fmt.Sprintf("Takes left out, since their date cannot be right: %d.", n))
	}
	drifts, err := tunings(w)
	if err != nil {
		return err
	}
	m.More = slices.Concat(m.More, slips(w), drifts, cameBack(w), cleanTempos(measures))
	return nil
}

// told is by week the share of the times that something was told of a measure.
func told(passes []trend.Pass) []trend.WeekOf {
	counts := make([]trend.Count, len(passes))
	for i, p := range passes {
		counts[i] = trend.Count{When: p.When, Chance: 1}
		if !p.Clean {
			counts[i].Told = 1
		}
	}
	return trend.Share(counts)
}

// ends are the first and the last week that have a value.
func ends(weeks []trend.WeekOf) (first, last float64, ok bool) {
	var v []float64
	for _, w := range weeks {
		if w.Value != nil {
			v = append(v, *w.Value)
		}
	}
	if len(v) < 2 {
		return 0, 0, false
	}
	return v[0], v[len(v)-1], true
}

// slips tells of late entrances and short notes, first week and last.
func slips(w *diary.Weeks) (out []string) {
	late, short := w.Slips()
	for _, x := range []struct {
		what   string
		counts []trend.Count
	}{{"Late entrances", late}, {"Notes held short", short}} {
		if first, last, ok := ends(trend.Share(x.counts)); ok {
			out = append(out, fmt.Sprintf("%s: %.1f in 100 notes in the first week, %.1f in the last.", x.what, 100*first, 100*last))
		}
	}
	return out
}

// worthTelling is how far a tuning must have moved to be told, cents.
const worthTelling = 5

// tunings tells how the reference and the open strings drifted.
func tunings(w *diary.Weeks) (out []string, err error) {
	t, err := w.Tunings()
	if err != nil {
		return nil, err
	}
	if first, last, ok := ends(trend.Middle(t.A)); ok && math.Abs(1200*math.Log2(last/first)) >= worthTelling {
		out = append(out, fmt.Sprintf("The reference A went from %.1f to %.1f Hz.", first, last))
	}
	var numbers []int
	for n := range t.Strings {
		numbers = append(numbers, n)
	}
	slices.Sort(numbers)
	for _, n := range numbers {
		first, last, ok := ends(trend.Middle(t.Strings[n]))
		if ok && math.Abs(last-first) >= worthTelling {
			out = append(out, fmt.Sprintf("The open string %d went from %+.0f to %+.0f cents against the player's own reference.", n, first, last))
		}
	}
	return out, nil
}

// cameBack tells what had gone and came back after days off.
func cameBack(w *diary.Weeks) (out []string) {
	for _, b := range w.CameBack(daysOff) {
		out = append(out, fmt.Sprintf("After %d days off, what was told of measure %s of %s came back: %s.", b.DaysOff, b.Measure, b.Piece, kindWord(string(b.Kind))))
	}
	return out
}

func kindWord(kind string) string {
	b := []byte(kind)
	for i := range b {
		if b[i] == '_' {
			b[i] = ' '
		}
	}
	return string(b)
}

// cleanTempos tells the tempo at which ranges of measures are clean, first week
// and last: neighbours whose tempos are the same stand together.
func cleanTempos(measures []diary.MeasurePasses) (out []string) {
	type run struct {
		piece, from, to string
		first, last     float64
	}
	var open *run
	file := func() {
		if open != nil {
			where := "Measure " + open.from
			is := "is"
			if open.to != open.from {
				where, is = "Measures "+open.from+" to "+open.to, "are"
			}
			out = append(out, fmt.Sprintf("%s of %s %s clean at %.0f quarter notes a minute in the last week, %.0f in the first.", where, open.piece, is, open.last, open.first))
		}
		open = nil
	}
	for _, m := range measures {
		first, last, ok := ends(trend.CleanTempo(m.Passes))
		first, last = math.Round(first), math.Round(last)
		if open != nil && (!ok || open.piece != m.Piece || open.first != first || open.last != last) {
			file()
		}
		if !ok {
			continue
		}
		if open == nil {
			open = &run{m.Piece, m.Measure, m.Measure, first, last}
		}
		open.to = m.Measure
	}
	file()
	return out
}
