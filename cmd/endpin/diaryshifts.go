package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece/diary"
	"endpin/piece/outline"
	"endpin/piece/outside"
	"endpin/piece/report"
	"endpin/piece/trend"
)

var diaryShifts = command{
	name: "shifts", line: "diary shifts PLAYER",
	about: `say of each shift whether it is closing, holding, opening or scattered
Each shift by itself, and each kind of shift over all pieces. Landings are in
cents against the player's own reference, sharp above 0 and flat below. Where
there is too little to tell, that is said.`,
	options: func(f *pflag.FlagSet) {
		diaryOption(f)
		spanOptions(f)
		f.String("json", "", "write it as JSON to this `FILE`, or - for standard output alone")
	},
	run: tellShifts,
}

// shiftsTold is the JSON of diary shifts.
type shiftsTold struct {
	Version int          `json:"version"`
	Player  string       `json:"player"`
	Shifts  []trend.Line `json:"shifts"`
	Kinds   []trend.Line `json:"kinds"`
	Older   int          `json:"older_takes"`    // heard by an earlier version of the listening, and left out
	Undated int          `json:"misdated_takes"` // whose date cannot be right, left out too
}

func tellShifts(c *call) error {
	if err := needs(c, 1); err != nil {
		return err
	}
	d, err := thereIs(c, c.args[0])
	if err != nil {
		return err
	}
	defer d.Close()
	span, err := asked(c, c.args[0])
	if err != nil {
		return err
	}
	weeks, err := d.Weeks(span)
	if err != nil {
		return err
	}
	groups, older, err := weeks.Landings()
	if err != nil {
		return err
	}
	what := shiftsTold{Version: 1, Player: weeks.Player, Shifts: trend.Shifts(groups, trend.Options{}), Kinds: trend.Kinds(groups, trend.Options{}), Older: older, Undated: len(weeks.Misdated)}
	if what.Shifts == nil {
		what.Shifts = []trend.Line{}
	}
	if what.Kinds == nil {
		what.Kinds = []trend.Line{}
	}
	if file := text(c.flags, "json"); file != "" {
		if err := toJSON(c, file, what); err != nil || file == "-" {
			return err
		}
	}
	return shiftTable(c.out, what)
}

// shiftTable prints a paragraph a shift, since each needs a sentence.
func shiftTable(w io.Writer, what shiftsTold) error {
	var b strings.Builder
	if len(what.Shifts) == 0 {
		_, err := fmt.Fprintln(w, "No shift was heard in this time."+undated(what.Undated))
		return err
	}
	head := ""
	for _, l := range what.Shifts {
		if l.Piece != head {
			head = l.Piece
			fmt.Fprintf(&b, "%s\n", outside.Line(head))
		}
		fmt.Fprintf(&b, "  measure %s, beat %.4g, %s\n", outside.Line(l.Measure), l.Beat, shiftLines(l))
	}
	fmt.Fprintf(&b, "\nOver all pieces\n")
	for _, l := range what.Kinds {
		fmt.Fprintf(&b, "  %s\n", shiftLines(l))
	}
	if what.Older > 0 {
		fmt.Fprintf(&b, "\n%s heard by an earlier version of the listening and not compared with the others; endpin diary rehear hears kept sound again.\n",
			wasCounted(what.Older, "take"))
	}
	if what.Undated > 0 {
		fmt.Fprintf(&b, "\n%s\n", strings.TrimSpace(undated(what.Undated)))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// undated tells of takes whose date cannot be right, "" for none.
func undated(takes int) string {
	if takes == 0 {
		return ""
	}
	return fmt.Sprintf(" %s left out, since the date cannot be right; endpin diary takes tells which.", wasCounted(takes, "take"))
}

// shiftLines is the shift, how it goes, and the trend with its interval. The
// sentence begins with the verdict, so that stands nowhere else.
func shiftLines(l trend.Line) string {
	s := fmt.Sprintf("%s, %s to %s\n    %s", stringWord(l.String), outline.PositionWords(l.From), outline.PositionWords(l.To), l.Text)
	if l.Verdict != trend.TooFew && l.Slope != nil && l.Interval != nil {
		s += fmt.Sprintf("\n    %s cents a week (95 %%: %s to %s)", perWeek(*l.Slope), perWeek(l.Interval[0]), perWeek(l.Interval[1]))
	}
	return s
}

// perWeek writes cents with their sign, and one decimal where they are few.
func perWeek(cents float64) string {
	s := fmt.Sprintf("%+.0f", cents)
	if math.Abs(cents) < 9.95 {
		s = fmt.Sprintf("%+.1f", cents)
	}
	if s == "+0.0" || s == "-0.0" {
		return "0"
	}
	return strings.Replace(s, "-", "−", 1)
}

func wasCounted(n int, what string) string {
	if n == 1 {
		return "1 " + what + " was"
	}
	return counting(n, what) + " were"
}

// stringWord names a string of the bass, by its number where it has more.
func stringWord(n int) string {
	if n >= 1 && n <= 5 {
		return string("GDAEB"[n-1]) + " string"
	}
	return fmt.Sprintf("string %d", n)
}

// toJSON writes a value where --json says.
func toJSON(c *call, file string, v any) error {
	if file == "-" {
		return job.WriteJSON(c.out, v)
	}
	return job.WriteFile(file, func(w io.Writer) error { return job.WriteJSON(w, v) })
}

// unheard gives a recording in which nothing was heard its exit status.
func unheard(err error) error {
	if nothing := (job.NotHeard{}); errors.As(err, &nothing) {
		return status{notHeard, err}
	}
	return err
}

var diaryReport = command{
	name: "report", line: "diary report PLAYER --out FILE.html",
	about: `write a page about a player's weeks, to print or to read
With --all, and no player, a page for a teacher: who moved and who is stuck, and
on what, by name and without rank.`,
	options: func(f *pflag.FlagSet) {
		diaryOption(f)
		spanOptions(f)
		f.String("out", "", "write the page to this HTML `FILE`")
		f.Bool("all", false, "all players on one page, for their teacher")
	},
	run: reportDiary,
}

func reportDiary(c *call) error {
	out := text(c.flags, "out")
	if out == "" || out == "-" {
		return fmt.Errorf("diary report needs a file for its page: --out page.html")
	}
	if err := isPage("out", out); err != nil {
		return err
	}
	all, _ := c.flags.GetBool("all")
	if all {
		if err := needs(c, 0); err != nil {
			return err
		}
		return reportAll(c, out)
	}
	if err := needs(c, 1); err != nil {
		return err
	}
	d, err := thereIs(c, c.args[0])
	if err != nil {
		return err
	}
	defer d.Close()
	if err := absent(out, d.Path()); err != nil {
		return err
	}
	span, err := asked(c, c.args[0])
	if err != nil {
		return err
	}
	m, err := job.DiaryPage(d, span, time.Now())
	if err != nil {
		return err
	}
	if len(m.Takes) == 0 {
		return fmt.Errorf("%s: there is no take of %s in this time: look at --since and --piece", d.Path(), c.args[0])
	}
	if err := job.WriteFile(out, func(w io.Writer) error { return report.Diary(w, m) }); err != nil {
		return err
	}
	_, err = fmt.Fprintf(c.out, "The page is %s.\n", out)
	return err
}

// reportAll writes the teacher's page.
func reportAll(c *call, out string) error {
	files, err := allDiaries(c)
	if err != nil {
		return err
	}
	if err := absent(out, files...); err != nil {
		return err
	}
	m, err := job.DiaryClass(files, func(player string) (diary.Span, error) { return asked(c, player) }, time.Now())
	if err != nil {
		return err
	}
	if len(m.Players) == 0 {
		return fmt.Errorf("%s: there is no take in this time: look at --since and --piece", strings.Join(files, ", "))
	}
	if err := job.WriteFile(out, func(w io.Writer) error { return report.DiaryClass(w, m) }); err != nil {
		return err
	}
	_, err = fmt.Fprintf(c.out, "The page of %s is %s.\n", counting(len(m.Players), "player"), out)
	return err
}
