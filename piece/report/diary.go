package report

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"sort"
	"strings"
	"time"

	"endpin/piece/trend"
)

//go:embed diary.gohtml diary.css
var diaryFiles embed.FS

var diaryTemplate = template.Must(template.New("diary.gohtml").Funcs(template.FuncMap{
	"style": func() template.CSS {
		css, err := diaryFiles.ReadFile("diary.css")
		if err != nil { // it is compiled in
			panic(err)
		}
		return template.CSS(embedded("page.css") + string(css))
	},
}).ParseFS(diaryFiles, "diary.gohtml"))

// DiaryModel is what a player's page over weeks is filled with.
type DiaryModel struct {
	Player string
	From   time.Time // first day shown
	To     time.Time // last day shown
	Shifts []DiaryShift
	Kinds  []trend.Line
	Takes  []DiaryTake
	Weeks  []DiaryMeasure // measures × weeks, in order of the pieces and their measures
	More   []string       // sentences: what slipped back, the tempo that is clean, strings that drift
}

// DiaryShift is one shift with its landings.
type DiaryShift struct {
	trend.Line
	Landings []trend.Landing
}

// DiaryTake is one take on the calendar.
type DiaryTake struct {
	When  time.Time
	Piece string
}

// DiaryMeasure is one measure of a piece: what share of the times it was played
// something was told of it, by the Monday of the week.
type DiaryMeasure struct {
	Piece, Measure string
	Weeks          []trend.WeekOf // Value is the share, 0 to 1
}

// DiaryPage is what a player's weeks come to in words and pictures: what the page
// to print shows, and the desk.
type DiaryPage struct {
	Player, Span string
	Story        []string // the page in a few sentences
	Period       string   // that each median on the strips is of: "a week"
	Groups       []DiaryGroup
	FewHead      string
	Few          []string // shifts without a verdict, in a line each
	Kinds        []KindRow
	KindsWithin  string // what the column of that name is within
	Calendar     []CalendarWeek
	WeekHeads    []string
	WeekRows     []WeekRow
	More         []string
}

// DiaryGroup is shifts that go alike.
type DiaryGroup struct {
	Name   string
	Shifts []ShiftRow
}

// ShiftRow is one shift in words, with its picture.
type ShiftRow struct {
	Where, How string
	Verdict    trend.Verdict
	Shape      string // stands beside the verdict's word: closing, opening, holding, scattered or few
	Text       string
	Facts      string

	shift    *DiaryShift
	from, to time.Time
}

// Strip is the shift's picture in a size.
func (r ShiftRow) Strip(width, height float64) Strip {
	s := NewStrip(r.shift.Landings, r.from, r.to, r.shift.Tolerance, width, height)
	s.Label = fmt.Sprintf("%d landings from %s: %s", r.shift.Times, daysShown(r.from, r.to), r.shift.Text)
	return s
}

// KindRow is one kind of shift over all pieces.
type KindRow struct {
	How     string
	Differ  string // where its shifts do not land alike, else empty
	Times   int
	First   string
	Last    string
	Spread  string
	Within  string
	Verdict trend.Verdict
	Shape   string
}

// verdictShapes stand beside the verdict's word, so that it is told in grey.
var verdictShapes = map[trend.Verdict]string{trend.Closing: "closing", trend.Holding: "holding", trend.Opening: "opening",
	trend.Scattered: "scattered", trend.TooFew: "few"}

// diaryGroups are the parts of the page, in order: what needs work first.
var diaryGroups = []string{"Needs work", "Coming nearer", "Holding, within the tolerance"}

// groupOf says where a shift is shown, -1 for nowhere.
func groupOf(t *trend.Trend) int {
	switch {
	case t.Verdict == trend.TooFew:
		return -1
	case t.Verdict == trend.Closing:
		return 1
	case t.Verdict == trend.Opening || t.Verdict == trend.Scattered || math.Abs(t.Last) > t.Tolerance:
		return 0
	}
	return 2
}

// Diary writes a player's page over weeks, which needs nothing else: no network,
// no fonts of its own, no scripts. The error is w's.
func Diary(w io.Writer, m DiaryModel) error { return diaryTemplate.Execute(w, DiaryPageOf(m)) }

// DiaryPageOf puts a player's weeks into words and pictures.
func DiaryPageOf(m DiaryModel) DiaryPage {
	pg := DiaryPage{Player: clean(m.Player), Span: daysShown(m.From, m.To), Story: story(m)}
	_, pg.Period = period(m.From, m.To)
	groups := make([]DiaryGroup, len(diaryGroups))
	shifts := append([]DiaryShift(nil), m.Shifts...)
	sort.SliceStable(shifts, func(i, j int) bool { return math.Abs(shifts[i].Last) > math.Abs(shifts[j].Last) })
	for i := range shifts {
		s := &shifts[i]
		g := groupOf(&s.Trend)
		if g < 0 {
			pg.Few = append(pg.Few, upper(whereOf(s.Shift))+", "+howOf(s.Shift)+": "+counted(fmt.Sprint(s.Times), "landing"))
			continue
		}
		groups[g].Shifts = append(groups[g].Shifts, ShiftRow{Where: upper(whereOf(s.Shift)), How: howOf(s.Shift), Verdict: s.Verdict,
			Shape: verdictShapes[s.Verdict], Text: s.Rest().String(), Facts: factsOf(&s.Trend), shift: s, from: m.From, to: m.To})
	}
	for i := range groups {
		if groups[i].Name = diaryGroups[i]; len(groups[i].Shifts) > 0 {
			pg.Groups = append(pg.Groups, groups[i])
		}
	}
	if len(pg.Few) > 0 {
		pg.FewHead = "Too few landings to say"
	}
	pg.KindsWithin = kindsWithin(m.Kinds)
	for i := range m.Kinds {
		k := &m.Kinds[i]
		row := KindRow{How: upper(howOf(k.Shift)), Times: k.Times, First: signed(math.Round(k.First)), Last: signed(math.Round(k.Last)),
			Spread: fmt.Sprintf("%.0f", k.Spread), Within: tenths(k.Within), Verdict: k.Verdict, Shape: verdictShapes[k.Verdict]}
		if differ := k.Differ(); differ != "" && k.Verdict != trend.TooFew {
			row.Differ = "Not alike everywhere: " + clean(differ)
		}
		pg.Kinds = append(pg.Kinds, row)
	}
	pg.Calendar = calendar(m.Takes, m.From, m.To)
	pg.WeekHeads, pg.WeekRows = weekTable(m.Weeks)
	for _, s := range m.More {
		pg.More = append(pg.More, clean(s))
	}
	return pg
}

// kindsWithin names the tolerance that landings are within, with its cents where
// all kinds have the same.
func kindsWithin(kinds []trend.Line) string {
	for i := range kinds {
		if kinds[i].Tolerance != kinds[0].Tolerance {
			return "Within the tolerance"
		}
	}
	if len(kinds) == 0 {
		return ""
	}
	return "Within ±" + short(kinds[0].Tolerance) + " cents"
}

// story tells the page in a few sentences.
func story(m DiaryModel) []string {
	var by [3][]DiaryShift
	few := 0
	for _, s := range m.Shifts {
		if g := groupOf(&s.Trend); g >= 0 {
			by[g] = append(by[g], s)
		} else {
			few++
		}
	}
	for _, g := range by {
		sort.SliceStable(g, func(i, j int) bool {
			return math.Abs(g[i].Last-g[i].First) > math.Abs(g[j].Last-g[j].First)
		})
	}
	var said []string
	if c := by[1]; len(c) > 0 {
		s := c[0]
		said = append(said, fmt.Sprintf("Nearer: the shift in %s landed %s, now %s.%s", whereOf(s.Shift), trend.Off(s.First), trend.Off(s.Last), others(len(c)-1, "came nearer")))
	}
	if needs := by[0]; len(needs) > 0 {
		worst := needs[0]
		for _, s := range needs {
			if s.Verdict == trend.Opening {
				worst = s
				break
			}
		}
		what := fmt.Sprintf("still lands %s", trend.Off(worst.Last))
		if seems := worst.Seems(); seems != "" {
			what += fmt.Sprintf(" and seems to be %s, but that is not sure yet", seems)
		}
		switch worst.Verdict {
		case trend.Opening:
			what = fmt.Sprintf("goes farther off: it landed %s, now %s", trend.Off(worst.First), trend.Off(worst.Last))
		case trend.Scattered:
			what = "lands now sharp, now flat"
		}
		said = append(said, fmt.Sprintf("Needs work: the shift in %s %s.%s", whereOf(worst.Shift), what, others(len(needs)-1, "needs work", "need work")))
	}
	if len(by[2]) > 0 {
		said = append(said, within(by[2]))
	}
	if len(said) == 0 {
		said = append(said, "There is not enough yet to say how the shifts go. A shift needs landings on six days, over ten days or more.")
	}
	days := map[string]bool{}
	for _, t := range m.Takes {
		days[t.When.Format(time.DateOnly)] = true
	}
	if len(m.Takes) > 0 {
		said = append(said, fmt.Sprintf("Heard in %s on %s.", counted(fmt.Sprint(len(m.Takes)), "take"), counted(fmt.Sprint(len(days)), "day")))
	}
	return said
}

// within says how many shifts land within the tolerance, and how many did not at
// first.
func within(shifts []DiaryShift) string {
	n, came := len(shifts), 0
	for _, s := range shifts {
		if math.Abs(s.First) > s.Tolerance {
			came++
		}
	}
	says := upper(shiftsThat(n, "lands", "land")) + " within the tolerance"
	switch {
	case came == 0:
		return says + ", as before."
	case n == 1:
		return says + ". It did not at first, but it is not sure yet that it came nearer."
	case came == 1:
		return says + ". One of them did not at first, but it is not sure yet that it came nearer."
	}
	return fmt.Sprintf("%s. %d of them did not at first, but it is not sure yet that they came nearer.", says, came)
}

// others says how many more shifts do the same.
func others(n int, does ...string) string {
	switch {
	case n <= 0:
		return ""
	case n == 1:
		return " One other " + does[0] + "."
	}
	return fmt.Sprintf(" %d others %s.", n, does[len(does)-1])
}

func shiftsThat(n int, one, many string) string {
	if n == 1 {
		return "one shift " + one
	}
	return fmt.Sprintf("%d shifts %s", n, many)
}

func whereOf(s trend.Shift) string {
	where := "measure " + clean(s.Measure)
	if s.Beat > 0 {
		where += ", beat " + short(s.Beat)
	}
	if s.Piece != "" {
		where += " of " + clean(s.Piece)
	}
	return where
}

func howOf(s trend.Shift) string {
	how := ordinalPosition(s.From) + " to " + position(s.To)
	if name := (Options{}).stringName(s.String); name != "" {
		how += " on the " + name + " string"
	}
	return how
}

func factsOf(t *trend.Trend) string {
	f := []string{fmt.Sprintf("%d landings on %s", t.Times, counted(fmt.Sprint(t.Days), "day"))}
	if t.Slope != nil && t.Interval != nil {
		f = append(f, fmt.Sprintf("%s cents a week (95 %%: %s to %s)", signed(tenth(*t.Slope)), signed(tenth(t.Interval[0])), signed(tenth(t.Interval[1]))))
	}
	f = append(f, fmt.Sprintf("spread %.0f cents", t.Spread), tenths(t.Within)+" within ±"+short(t.Tolerance))
	if t.SettleMS != nil {
		f = append(f, fmt.Sprintf("settled in %.2f s", *t.SettleMS/1000))
	}
	if t.LastQPM > 0 {
		tempo := fmt.Sprintf("♩ = %.0f", t.LastQPM)
		if math.Abs(t.LastQPM/math.Max(t.FirstQPM, 1)-1) > 0.05 {
			tempo = fmt.Sprintf("♩ = %.0f, then %.0f", t.FirstQPM, t.LastQPM)
		}
		f = append(f, tempo)
	}
	if t.Unsure > 0 {
		f = append(f, fmt.Sprintf("%d more not counted: the listening is not sure of them", t.Unsure))
	}
	return strings.Join(f, " · ")
}

func tenth(x float64) float64 { return math.Round(10*x) / 10 }

func tenths(x float64) string { return fmt.Sprintf("%.0f in 10", 10*x) }

func daysShown(from, to time.Time) string {
	if from.Year() != to.Year() {
		return from.Format("2 January 2006") + " to " + to.Format("2 January 2006")
	}
	return from.Format("2 January") + " to " + to.Format("2 January 2006")
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func sortTimes(t []time.Time) {
	sort.Slice(t, func(i, j int) bool { return t[i].Before(t[j]) })
}
