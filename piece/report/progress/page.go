package progress

import (
	"embed"
	"html/template"
	"io"
	"math"
	"sort"
	"strconv"
	"strings"
	"time"

	"endpin/piece/outside"
	"endpin/piece/report/paper"
	"endpin/piece/trend"
	"endpin/piece/words"
)

//go:embed diary.gohtml diary.css
var files embed.FS

var pageTemplate = func() *template.Template {
	css, err := files.ReadFile("diary.css")
	if err != nil { // it is compiled in
		panic(err)
	}
	return template.Must(template.New("diary.gohtml").Funcs(paper.Funcs(string(css))).
		Funcs(template.FuncMap{"weekdays": weekdays}).ParseFS(files, "diary.gohtml"))
}()

// Model is what a player's page over weeks is filled with.
type Model struct {
	Player string
	From   time.Time // first day shown
	To     time.Time // last day shown
	Shifts []Shift
	Kinds  []trend.Line
	Takes  []Take
	Weeks  []Measure // measures × weeks, in order of the pieces and their measures
	Rhythm []Rhythm  // slips of rhythm, the pace of passages and evenness × weeks
	More   []string  // sentences: what slipped back, the tempo that is clean, strings that drift
	Mended []Mended  // in order of time
}

// Mended is one thing that was worked on until it held.
type Mended struct {
	When  time.Time
	Piece string
	Says  words.Sentence // what it was, and what it came to
}

// Rhythm is one thing about a player's time or evenness, by week.
type Rhythm struct {
	What  string
	In    RhythmUnit
	Weeks []trend.WeekOf
}

// RhythmUnit is what the weeks' values are.
type RhythmUnit int

const (
	ShareOfNotes RhythmUnit = iota // that something befell, 0 to 1
	ShareOfPace                    // a passage's pace against the rest's; 1 where nothing was told
	CentsScatter                   // of stopped notes; 0 where nothing was told
)

// Shift is one shift with its landings.
type Shift struct {
	trend.Line
	Landings []trend.Landing
}

// Take is one take on the calendar.
type Take struct {
	When  time.Time
	Piece string
}

// Measure is one measure of a piece: what share of the times it was played
// something was told of it, by the Monday of the week.
type Measure struct {
	Piece, Measure string
	Weeks          []trend.WeekOf // Value is the share, 0 to 1
}

// Page is what a player's weeks come to in words and pictures: what the page
// to print shows, and the desk.
type Page struct {
	Player, Span string
	Story        []string // the page in a few sentences
	Period       string   // that each median on the strips is of: "a week"
	Groups       []Group
	FewHead      string
	Few          []string // shifts without a verdict, in a line each
	Kinds        []KindRow
	KindsWithin  string // what the column of that name is within
	Calendar     []CalendarWeek
	WeekHeads    []string
	WeekRows     []WeekRow
	RhythmHeads  []string
	RhythmRows   []WeekRow
	More         []string
	Mended       []string // a line each, the newest first
}

// Group is shifts that go alike.
type Group struct {
	Name   string
	Good   bool // nothing moved and nothing is off: on paper in a line each
	Shifts []ShiftRow
}

// ShiftRow is one shift in words, with its picture.
type ShiftRow struct {
	Where, How string
	Verdict    trend.Verdict
	Shape      string // stands beside the verdict's word: closing, opening, holding, scattered or few
	Text       string
	Facts      string

	shift    *Shift
	from, to time.Time
}

// Strip is the shift's picture in a size.
func (r ShiftRow) Strip(width, height float64) Strip {
	s := NewStrip(r.shift.Landings, r.from, r.to, r.shift.Tolerance, width, height)
	s.Label = words.Many("report.diary.strip", r.shift.Times, "days", daysShown(r.from, r.to), "said", r.shift.Text).String()
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
var diaryGroups = []string{"report.diary.needs-work", "report.diary.nearer", "report.diary.holding"}

// groupOf says where a shift is shown, -1 for nowhere. What moves within the tolerance of the
// level stands with what holds: only what lies beyond it, or did, is for the first lines.
func groupOf(t *trend.Trend) int {
	beyond := math.Abs(t.Last) > t.Tolerance
	switch {
	case t.Verdict == trend.TooFew:
		return -1
	case t.Verdict == trend.Closing && (beyond || math.Abs(t.First) > t.Tolerance):
		return 1
	case t.Verdict == trend.Scattered || beyond:
		return 0
	}
	return 2
}

// HTML writes a player's page over weeks, which needs nothing else: no network,
// no fonts of its own, no scripts. The error is w's.
func HTML(w io.Writer, m Model) error { return pageTemplate.Execute(w, PageOf(m)) }

// PageOf puts a player's weeks into words and pictures.
func PageOf(m Model) Page {
	pg := Page{Player: outside.Line(m.Player), Span: daysShown(m.From, m.To).String(), Story: story(m),
		Period: words.Say("report.diary.period." + strconv.Itoa(period(m.From, m.To)))}
	groups := make([]Group, len(diaryGroups))
	shifts := append([]Shift(nil), m.Shifts...)
	sort.SliceStable(shifts, func(i, j int) bool { return math.Abs(shifts[i].Last) > math.Abs(shifts[j].Last) })
	for i := range shifts {
		s := &shifts[i]
		g := groupOf(&s.Trend)
		if g < 0 {
			pg.Few = append(pg.Few, words.Many("report.diary.few", s.Times, "where", heading(s.Shift), "how", howOf(s.Shift)).String())
			continue
		}
		groups[g].Shifts = append(groups[g].Shifts, ShiftRow{Where: heading(s.Shift).String(), How: howOf(s.Shift).String(), Verdict: s.Verdict,
			Shape: verdictShapes[s.Verdict], Text: s.Rest().String(), Facts: factsOf(&s.Trend), shift: s, from: m.From, to: m.To})
	}
	for i := range groups {
		groups[i].Good = i == 2
		if groups[i].Name = words.Say(diaryGroups[i]); len(groups[i].Shifts) > 0 {
			pg.Groups = append(pg.Groups, groups[i])
		}
	}
	if len(pg.Few) > 0 {
		pg.FewHead = words.Say("report.diary.too-few")
	}
	pg.KindsWithin = kindsWithin(m.Kinds)
	for i := range m.Kinds {
		k := &m.Kinds[i]
		row := KindRow{How: kindOf(k.Shift).String(), Times: k.Times, First: rounded(k.First).String(), Last: rounded(k.Last).String(),
			Spread: words.Whole(k.Spread).String(), Within: tenths(k.Within).String(), Verdict: k.Verdict, Shape: verdictShapes[k.Verdict]}
		if differ := k.Differ(); differ != "" && k.Verdict != trend.TooFew {
			row.Differ = words.Say("report.diary.differ", "how", outside.Line(differ))
		}
		pg.Kinds = append(pg.Kinds, row)
	}
	pg.Calendar = calendar(m.Takes, m.From, m.To)
	pg.WeekHeads, pg.WeekRows = weekTable(m.Weeks)
	pg.RhythmHeads, pg.RhythmRows = rhythmTable(m.Rhythm)
	for _, s := range m.More {
		pg.More = append(pg.More, outside.Line(s))
	}
	for i := len(m.Mended) - 1; i >= 0; i-- {
		x := &m.Mended[i]
		pg.Mended = append(pg.Mended, words.Say("report.diary.mended.one", "day", words.DayOfYear(x.When), "piece", outside.Line(x.Piece), "said", outside.Line(x.Says.String())))
	}
	return pg
}

// kindsWithin names the tolerance that landings are within, with its cents where
// all kinds have the same.
func kindsWithin(kinds []trend.Line) string {
	for i := range kinds {
		if kinds[i].Tolerance != kinds[0].Tolerance {
			return words.Say("report.diary.within")
		}
	}
	if len(kinds) == 0 {
		return ""
	}
	return words.Say("report.diary.within.cents", "cents", words.Short(kinds[0].Tolerance))
}

// story tells the page in a few sentences.
func story(m Model) []string {
	var by [3][]Shift
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
		said = append(said, withOthers("report.story.nearer", len(c)-1, "shift", whereOf(c[0].Shift), "first", trend.Off(c[0].First), "last", trend.Off(c[0].Last)))
	}
	if needs := by[0]; len(needs) > 0 {
		worst := needs[0]
		for _, s := range needs {
			if s.Verdict == trend.Opening {
				worst = s
				break
			}
		}
		key := "report.story.still"
		switch {
		case worst.Verdict == trend.Opening:
			key = "report.story.opening"
		case worst.Verdict == trend.Scattered:
			key = "report.story.scattered"
		case worst.Seems() != "":
			key = "report.story.seems"
		}
		said = append(said, withOthers(key, len(needs)-1, "shift", whereOf(worst.Shift), "first", trend.Off(worst.First), "last", trend.Off(worst.Last), "seems", worst.Seems().Word()))
	}
	if len(by[2]) > 0 {
		said = append(said, within(by[2]))
	}
	if len(said) == 0 {
		said = append(said, words.Say("report.story.nothing"))
	}
	if n := len(m.Mended); n > 0 {
		said = append(said, words.Many("report.story.mended", n, "said", outside.Line(m.Mended[n-1].Says.String())).String())
	}
	days := map[string]bool{}
	for _, t := range m.Takes {
		days[t.When.Format(time.DateOnly)] = true
	}
	if len(m.Takes) > 0 {
		said = append(said, words.Say("report.story.heard", "takes", takes(len(m.Takes)), "days", words.Many("report.days-of", len(days))))
	}
	return said
}

func takes(n int) words.Sentence { return words.Many("report.takes", n) }

// withOthers says a thing of one shift, and how many others do the same.
func withOthers(key string, n int, places ...any) string {
	if n <= 0 {
		return words.Say(key, places...)
	}
	return words.Many(key+".others", n, places...).String()
}

// within says how many shifts land within the tolerance, and how many did not at
// first.
func within(shifts []Shift) string {
	came := 0
	for _, s := range shifts {
		if math.Abs(s.First) > s.Tolerance {
			came++
		}
	}
	key := "report.story.within.some"
	switch came {
	case 0:
		key = "report.story.within.before"
	case 1:
		key = "report.story.within.one"
	}
	return words.Many(key, len(shifts), "came", came).String()
}

// heading names a shift by where it is.
func heading(s trend.Shift) words.Sentence { return where("report.shift.heading", s) }

// whereOf is heading within a sentence.
func whereOf(s trend.Shift) words.Sentence { return where("report.shift.where", s) }

func where(key string, s trend.Shift) words.Sentence {
	if s.Beat > 0 {
		key += ".beat"
	}
	if s.Piece != "" {
		key += ".of"
	}
	return words.Of(key, "measure", outside.Line(s.Measure), "beat", words.Short(s.Beat), "piece", outside.Line(s.Piece))
}

// howOf says from where to where a shift goes, kindOf so as a heading.
func howOf(s trend.Shift) words.Sentence { return how(s, words.Position(s.From).Least()) }

func kindOf(s trend.Shift) words.Sentence { return how(s, words.Position(s.From).LeastBegins()) }

func how(s trend.Shift, from words.Sentence) words.Sentence {
	key, name := "report.shift.how", paper.StringName(paper.BassStrings, s.String)
	if name != "" {
		key += ".on"
	}
	return words.Of(key, "from", from, "to", words.Position(s.To).Brief(), "string", words.OpenString(name))
}

func factsOf(t *trend.Trend) string {
	f := []string{words.Many("report.facts.landings", t.Times, "days", words.Many("report.days-of", t.Days)).String()}
	add := func(key string, places ...any) { f = append(f, words.Say(key, places...)) }
	if t.Slope != nil && t.Interval != nil {
		add("report.facts.slope", "cents", tenth(*t.Slope), "from", tenth(t.Interval[0]), "to", tenth(t.Interval[1]))
	}
	add("report.facts.spread", "cents", words.Whole(t.Spread))
	add("report.facts.within", "share", tenths(t.Within), "cents", words.Short(t.Tolerance))
	if t.SettleMS != nil {
		add("report.facts.settled", "seconds", words.Fixed(*t.SettleMS/1000, 2))
	}
	if t.LastQPM > 0 {
		key := "report.facts.tempo"
		if math.Abs(t.LastQPM/math.Max(t.FirstQPM, 1)-1) > 0.05 {
			key = "report.facts.tempos"
		}
		add(key, "first", words.Whole(t.FirstQPM), "last", words.Whole(t.LastQPM))
	}
	if t.Unsure > 0 {
		add("report.facts.unsure", "n", t.Unsure)
	}
	return strings.Join(f, " · ")
}

// rounded and tenth write cents off with their side.
func rounded(x float64) words.Number { return words.Scale(math.Round(x)) }

func tenth(x float64) words.Number { return words.Scale(math.Round(10*x) / 10) }

func tenths(x float64) words.Sentence {
	return words.Of("report.diary.tenths", "n", words.Whole(10*x))
}

// daysShown is from the first day to the last.
func daysShown(from, to time.Time) words.Sentence {
	if from.Year() != to.Year() {
		return words.Of("report.diary.days", "from", words.Day(from), "to", words.Day(to))
	}
	return words.Of("report.diary.days", "from", words.DayOfYear(from), "to", words.Day(to))
}

// weekdays are the heads of the calendar's columns.
func weekdays() (all []words.Sentence) {
	for d := range 7 {
		all = append(all, words.BriefWeekday(time.Weekday((d+1)%7)))
	}
	return all
}

func sortTimes(t []time.Time) {
	sort.Slice(t, func(i, j int) bool { return t[i].Before(t[j]) })
}
