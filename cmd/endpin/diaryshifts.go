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
	"endpin/piece/outside"
	"endpin/piece/report/progress"
	"endpin/piece/trend"
	"endpin/piece/words"
)

var diaryShifts = command{
	name: "shifts", key: "command.diary-shifts",
	options: func(f *pflag.FlagSet) {
		diaryOption(f)
		spanOptions(f)
		f.String("json", "", words.Say("command.option.json.diary"))
		replaceOption(f)
	},
	run: func(c *call) error {
		return ofPlayer(c, func(d *diary.Diary, s diary.Span) error { return tellShifts(c, d, s) })
	},
}

var diaryMended = command{
	name: "mended", key: "command.diary-mended",
	options: func(f *pflag.FlagSet) { diaryOption(f); spanOptions(f) },
	run: func(c *call) error {
		return ofPlayer(c, func(d *diary.Diary, span diary.Span) error {
			all, err := job.Mended(d, span)
			for _, m := range all {
				c.say(words.Of("command.diary-mended.row", "day", words.Day(m.When), "piece", outside.Line(m.Piece), "said", outside.Line(m.Says.String())))
			}
			if err == nil && len(all) == 0 {
				c.say(words.Of("command.diary-mended.none"))
			}
			return err
		})
	},
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

func tellShifts(c *call, d *diary.Diary, span diary.Span) error {
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
	if err := c.keeps(d.Path()); err != nil {
		return err
	}
	defer c.stays()
	if file := text(c.flags, "json"); file != "" {
		if err := c.toJSON(file, what); err != nil || file == "-" {
			return err
		}
	}
	return shiftTable(c.out, what)
}

// shiftTable prints a paragraph a shift, since each needs a sentence.
func shiftTable(w io.Writer, what shiftsTold) error {
	var b strings.Builder
	misdated := words.Many("command.diary-shifts.misdated", what.Undated)
	if len(what.Shifts) == 0 {
		none := words.Of("command.diary-shifts.none")
		if what.Undated > 0 {
			none = words.Of("command.diary-shifts.none.misdated", "misdated", misdated)
		}
		_, err := fmt.Fprintln(w, none)
		return err
	}
	head := ""
	for _, l := range what.Shifts {
		if l.Piece != head {
			head = l.Piece
			fmt.Fprintf(&b, "%s\n", outside.Line(head))
		}
		fmt.Fprintf(&b, "  %s\n%s", words.Of("command.diary-shifts.at", "measure", outside.Line(l.Measure), "beat", words.Significant(l.Beat, 4), "shift", shiftIn(l)), verdict(l))
	}
	fmt.Fprintf(&b, "\n%s\n", words.Of("command.diary-shifts.kinds"))
	for _, l := range what.Kinds {
		fmt.Fprintf(&b, "  %s\n%s", shiftIn(l), verdict(l))
	}
	if what.Older > 0 {
		fmt.Fprintf(&b, "\n%s\n", words.Many("command.diary-shifts.older", what.Older))
	}
	if what.Undated > 0 {
		fmt.Fprintf(&b, "\n%s\n", misdated)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// shiftIn is the shift, its string named by its number where a bass has none such.
func shiftIn(l trend.Line) words.Sentence {
	from, to := words.Position(l.From).Printed(), words.Position(l.To).Printed()
	if l.String >= 1 && l.String <= 5 {
		return words.Of("command.diary-shifts.shift", "letter", words.Note{Step: "GDAEB"[l.String-1 : l.String]}, "from", from, "to", to)
	}
	return words.Of("command.diary-shifts.shift.number", "number", l.String, "from", from, "to", to)
}

// verdict is how it goes, and the trend with its interval, in lines of their own. The
// sentence begins with the verdict, so that stands nowhere else.
func verdict(l trend.Line) string {
	s := "    " + l.Text + "\n"
	if l.Verdict != trend.TooFew && l.Slope != nil && l.Interval != nil {
		s += "    " + words.Say("command.diary-shifts.slope", "slope", perWeek(*l.Slope), "least", perWeek(l.Interval[0]), "most", perWeek(l.Interval[1])) + "\n"
	}
	return s
}

// perWeek writes cents with their sign, and one decimal where they are few.
func perWeek(cents float64) words.Number {
	switch size := math.Abs(cents); {
	case size < 0.05:
		return words.Whole(0)
	case size < 9.95:
		return words.Shown(cents, 1)
	}
	return words.Shown(cents, 0)
}

// unheard gives a recording in which nothing was heard its exit status.
func unheard(err error) error {
	if nothing := (job.NotHeard{}); errors.As(err, &nothing) {
		return status{notHeard, err}
	}
	return err
}

var diaryReport = command{
	name: "report", key: "command.diary-report",
	options: func(f *pflag.FlagSet) {
		diaryOption(f)
		spanOptions(f)
		f.String("out", "", words.Say("command.option.out.diary"))
		f.Bool("all", false, words.Say("command.option.all"))
		replaceOption(f)
	},
	run: reportDiary,
}

func reportDiary(c *call) error {
	out := text(c.flags, "out")
	if out == "" || out == "-" {
		return words.Fault("command.diary-report.needs")
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
	return ofPlayer(c, func(d *diary.Diary, span diary.Span) error {
		if err := c.keeps(d.Path()); err != nil {
			return err
		}
		m, err := job.DiaryPage(d, span, time.Now())
		if err != nil {
			return err
		}
		if len(m.Takes) == 0 {
			return words.Fault("command.diary-report.none", "file", d.Path(), "name", c.args[0])
		}
		if out, err = c.outputs.Sign(out, func(w io.Writer) error { return progress.HTML(w, m) }); err != nil {
			return err
		}
		c.stays()
		return c.say(words.Of("command.diary-report.page", "file", out))
	})
}

// reportAll writes the teacher's page.
func reportAll(c *call, out string) error {
	files, err := allDiaries(c)
	if err != nil {
		return err
	}
	if err := c.keeps(files...); err != nil {
		return err
	}
	m, err := job.DiaryClass(files, func(player string) (diary.Span, error) { return span(c, player) }, time.Now())
	if err != nil {
		return err
	}
	if len(m.Players) == 0 {
		return words.Fault("command.diary-report.none.all", "files", words.Row(files...))
	}
	if out, err = c.outputs.Sign(out, func(w io.Writer) error { return progress.ClassHTML(w, m) }); err != nil {
		return err
	}
	c.stays()
	return c.say(words.Many("command.diary-report.page.all", len(m.Players), "file", out))
}
