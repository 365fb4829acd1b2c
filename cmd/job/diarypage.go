package job

import (
	"math"
	"slices"
	"time"

	"endpin/dsp"
	"endpin/piece/diary"
	"endpin/piece/diary/weeks"
	"endpin/piece/finding"
	"endpin/piece/practice"
	"endpin/piece/report/progress"
	"endpin/piece/trend"
	"endpin/piece/words"
)

// daysOff is how many days without a take are a rest after which it is worth
// asking what came back.
const daysOff = 3

// DiaryPage gathers what a page about a player's weeks shows. Now is the time of
// day.
func DiaryPage(d *diary.Diary, s diary.Span, now time.Time) (progress.Model, error) {
	m := progress.Model{Player: s.Player}
	w, err := d.Weeks(s)
	if err != nil {
		return m, err
	}
	if m.Player = w.Player; len(w.Takes) == 0 {
		return m, nil
	}
	if err := fill(&m, w, s); err != nil {
		return m, OfFile(d.Path(), err)
	}
	m.Mended, err = Mended(d, s)
	return m, err
}

// Mended is what was mended in a span of a player's diary.
func Mended(d *diary.Diary, s diary.Span) (all []progress.Mended, err error) {
	mended, err := d.Mended(s)
	for _, m := range mended {
		a := practice.Aim{Kind: m.Kind, Measure: m.Measure, Was: m.Was, Let: m.Let, Level: m.Level}
		all = append(all, progress.Mended{When: m.At, Piece: m.Piece, Says: a.CameTo(m.Now)})
	}
	return all, err
}

func fill(m *progress.Model, w *weeks.Weeks, s diary.Span) error {
	takes := w.Takes
	m.From, m.To = takes[0].At, takes[len(takes)-1].At
	if !s.From.IsZero() {
		m.From = s.From
	}
	for _, t := range takes {
		m.Takes = append(m.Takes, progress.Take{When: t.At, Piece: t.Piece})
	}
	groups, older, err := w.Landings()
	if err != nil {
		return err
	}
	for i, l := range trend.Shifts(groups, trend.Options{}) {
		m.Shifts = append(m.Shifts, progress.Shift{Line: l, Landings: groups[i].Landings})
	}
	m.Kinds = trend.Kinds(groups, trend.Options{})
	measures, err := w.Measures()
	if err != nil {
		return err
	}
	for _, x := range measures {
		m.Weeks = append(m.Weeks, progress.Measure{Piece: x.Piece, Measure: x.Measure, Weeks: told(x.Passes)})
	}
	if older > 0 {
		m.More = append(m.More, words.Say("job.diary.older", "n", older))
	}
	if n := len(w.Misdated); n > 0 {
		m.More = append(m.More, words.Say("job.diary.misdated", "n", n))
	}
	drifts, err := tunings(w)
	if err != nil {
		return err
	}
	rhythm, slipped := counted(w)
	paces, kept, err := paces(w)
	if err != nil {
		return err
	}
	m.Rhythm = append(rhythm, paces...)
	m.More = slices.Concat(m.More, slipped, kept, drifts, cameBack(w), cleanTempos(measures))
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

// counted are the kinds that weeks follow by how often they were told: the share of the notes that
// could be; and what that comes to, first week and last.
func counted(w *weeks.Weeks) (rows []progress.Rhythm, said []string) {
	for _, x := range w.Alone(finding.ByCount) {
		key := "job.diary." + string(x.Kind)
		shares := trend.Share(x.Counts)
		if len(shares) > 0 {
			rows = append(rows, progress.Rhythm{What: words.Say(key + ".row"), Weeks: shares})
		}
		if first, last, ok := ends(shares); ok {
			said = append(said, words.Say(key, "first", words.Fixed(100*first, 1), "last", words.Fixed(100*last, 1)))
		}
	}
	return rows, said
}

// paces are passages that went at another pace, and the kinds that weeks follow by their value, by
// week; and what that comes to, first week and last.
func paces(w *weeks.Weeks) (rows []progress.Rhythm, said []string, err error) {
	passages, err := w.Passages()
	if err != nil {
		return nil, nil, err
	}
	for _, p := range passages {
		pace, of := trend.Middle(p.Pace), ""
		if p.From == p.To {
			of = ".one"
		}
		rows = append(rows, progress.Rhythm{What: words.Say("job.diary.pace.row"+of, "from", p.From, "to", p.To, "piece", p.Piece), In: progress.ShareOfPace, Weeks: pace})
		if first, last, ok := ends(pace); ok {
			said = append(said, words.Say("job.diary.pace"+of, "from", p.From, "to", p.To, "piece", p.Piece, "first", words.Whole(100*first), "last", words.Whole(100*last)))
		}
	}
	for _, x := range w.Alone(finding.ByValue) {
		values := trend.Middle(x.Values)
		if !slices.ContainsFunc(values, func(w trend.WeekOf) bool { return w.Value != nil && *w.Value > 0 }) {
			continue
		}
		key := "job.diary." + string(x.Kind)
		rows = append(rows, progress.Rhythm{What: words.Say(key + ".row"), In: progress.CentsScatter, Weeks: values})
		if first, last, ok := ends(values); ok {
			switch {
			case first == 0:
				key += ".now"
			case last == 0:
				key += ".gone"
			}
			said = append(said, words.Say(key, "first", words.Whole(first), "last", words.Whole(last)))
		}
	}
	return rows, said, nil
}

// worthTelling is how far a tuning must have moved to be told, cents.
const worthTelling = 5

// tunings tells how the reference and the open strings drifted.
func tunings(w *weeks.Weeks) (out []string, err error) {
	t, err := w.Tunings()
	if err != nil {
		return nil, err
	}
	if first, last, ok := ends(trend.Middle(t.A)); ok && math.Abs(dsp.Interval(first, last)) >= worthTelling {
		out = append(out, words.Say("job.diary.reference", "first", words.Fixed(first, 1), "last", words.Fixed(last, 1)))
	}
	var numbers []int
	for n := range t.Strings {
		numbers = append(numbers, n)
	}
	slices.Sort(numbers)
	for _, n := range numbers {
		first, last, ok := ends(trend.Middle(t.Strings[n]))
		if ok && math.Abs(last-first) >= worthTelling {
			out = append(out, words.Say("job.diary.string", "string", n, "first", words.Signed(first, 0), "last", words.Signed(last, 0)))
		}
	}
	return out, nil
}

// cameBack tells what had gone and came back after days off.
func cameBack(w *weeks.Weeks) (out []string) {
	for _, b := range w.CameBack(daysOff) {
		key := "job.diary.came-back"
		if b.Perhaps {
			key += ".perhaps"
		}
		out = append(out, words.Say(key, "days", b.DaysOff, "measure", b.Measure, "piece", b.Piece, "kind", b.Kind.Name()))
	}
	return out
}

// cleanTempos tells the tempo at which ranges of measures are clean, first week
// and last: neighbours whose tempos are the same stand together.
func cleanTempos(measures []weeks.MeasurePasses) (out []string) {
	type run struct {
		piece, from, to string
		first, last     float64
	}
	var open *run
	file := func() {
		if open != nil {
			key := "job.diary.clean"
			if open.to != open.from {
				key = "job.diary.clean.range"
			}
			out = append(out, words.Say(key, "from", open.from, "to", open.to, "piece", open.piece, "first", words.Whole(open.first), "last", words.Whole(open.last)))
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
