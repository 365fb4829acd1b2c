package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"time"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/cmd/job/classes"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/outside"
	"endpin/piece/words"
)

var classCommand = command{
	name: "class", key: "command.class",
	options: classOptions,
	run:     hearClass,
}

func classOptions(f *pflag.FlagSet) {
	f.String("out", "", words.Say("command.option.out"))
	f.String("roster", "", words.Say("command.option.roster"))
	f.String("part", "", words.Say("command.option.part"))
	judgingOptions(f)
	replaceOption(f)
	f.Bool("no-sound", false, words.Say("command.option.no-sound"))
	f.Bool("weeks", false, words.Say("command.option.weeks"))
	f.String("school-year", "", words.Say("command.option.school-year"))
	f.String("remark", "", words.Say("command.option.remark"))
	f.StringArray("seen", nil, words.Say("command.option.seen"))
	f.StringArray("saved", nil, words.Say("command.option.saved"))
	f.String("paper", "", words.Say("command.option.paper"))
	classDiaryOption(f)
	f.Bool("afresh", false, words.Say("command.option.afresh"))
}

func hearClass(c *call) error {
	out := text(c.flags, "out")
	c.spacedDiary()
	switch {
	case len(c.args) < 2:
		return words.Fault("command.class.needs", "line", c.line())
	case out == "":
		return words.Fault("command.class.needs.out")
	}
	run, err := classToHear(c, out)
	if err != nil {
		return err
	}
	remarks, weeks, err := added(c, out)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	context.AfterFunc(ctx, stop) // a second time ends at once
	run.Told = counter(os.Stderr)
	heard, err := classes.Hear(ctx, run)
	stopped := errors.Is(err, context.Canceled)
	if stopped && run.Told != nil {
		fmt.Fprintln(os.Stderr)
	}
	if err != nil && !stopped {
		return err
	}
	if err := c.tellOfClass(ctx, out, run, heard, remarks, weeks, stopped); err != nil {
		return err
	}
	switch {
	case stopped:
		return status{stoppedByUser, words.Fault("command.class.stopped", "folder", run.Folder, "out", out)}
	case heard.HeardOf() == 0:
		return status{notHeard, classes.NobodyHeard(run.Folder, heard)}
	}
	return nil
}

// classToHear is the class asked for; what is to be written is asked about before
// anything is heard.
func classToHear(c *call, out string) (run classes.Class, err error) {
	last := len(c.args) - 1
	run = classes.Class{Folder: c.args[last], Outputs: &c.outputs}
	if run.Options, err = judging(c.flags); err != nil {
		return run, err
	}
	switch text(c.flags, "paper") {
	case "", "A4", "Letter":
	default:
		return run, words.Fault("command.paper", "typed", words.Quoted(text(c.flags, "paper")))
	}
	files, err := job.PieceFiles(c.args[:last])
	if err != nil {
		return run, err
	}
	if len(files) == 1 {
		run.Options = job.AskedIn(files[0], run.Options, c.flags.Changed)
	} else if run.Options.Measures != "" {
		return run, words.Fault("command.class.measures")
	}
	run.NoSound, _ = c.flags.GetBool("no-sound")
	run.Afresh, _ = c.flags.GetBool("afresh")
	roster := text(c.flags, "roster")
	if err := c.keeps(append([]string{roster, run.Folder}, files...)...); err != nil {
		return run, err
	}
	for _, file := range files {
		p, err := job.ReadPiece(file, text(c.flags, "part"), run.Options.Instrument)
		if err != nil {
			return run, err
		}
		if err := job.Holds(p, run.Options, file); err != nil {
			return run, err
		}
		run.Pieces = append(run.Pieces, classes.Piece{Piece: p, File: file, Part: text(c.flags, "part")})
	}
	for _, sheet := range []string{classes.SheetName, classes.TableName} {
		if err := c.outputs.Ask("out", filepath.Join(out, sheet)); err != nil {
			return run, err
		}
	}
	return run, run.Into(out, roster)
}

// added is what the teacher adds to the pages, and what was said of the weeks: asked about once.
func added(c *call, out string) (remarks *class.Remarks, weeks classes.Weeks, err error) {
	if remarks, err = classes.RemarksIn(out); err != nil {
		return nil, weeks, err
	}
	from, _ := c.flags.GetStringArray("saved")
	count, err := classes.ReadBack(out, remarks, from...)
	if err != nil {
		return nil, weeks, err
	}
	if count > 0 && text(c.flags, "json") != "-" {
		c.say(words.Many("command.class.read-back", count))
	}
	if c.flags.Changed("remark") {
		remarks.Class = outside.Line(text(c.flags, "remark"))
	}
	if weeks, err = classes.WeeksIn(out); err != nil {
		return nil, weeks, err
	}
	year := text(c.flags, "school-year")
	switch t := atTerminal(); {
	case c.flags.Changed("weeks"):
		weeks.Keep, _ = c.flags.GetBool("weeks")
	case year != "":
		weeks.Keep = true
	case !weeks.Asked && t != nil && text(c.flags, "json") != "-":
		name, _ := class.SchoolYear(time.Now())
		weeks.Keep = yes(t, words.Of("command.class.weeks.ask", "folder", outside.Line(out), "year", name))
	case !weeks.Asked || weeks.Keep && time.Now().Before(weeks.Until) || !weeks.Keep:
		return remarks, weeks, nil
	}
	was := weeks.SchoolYear
	if year != "" {
		weeks.SchoolYear, weeks.Until = outside.Line(year), time.Time{}
	}
	_, none := os.Stat(weeks.Diary(out))
	weeks, err = classes.KeepWeeks(out, weeks, time.Now())
	if was != "" && was != weeks.SchoolYear && text(c.flags, "json") != "-" {
		key := "command.class.weeks.over"
		if year != "" && none == nil { // one that was kept before
			key = "command.class.weeks.back"
		}
		c.say(words.Of(key, "was", was, "now", weeks.SchoolYear))
	}
	return remarks, weeks, err
}

// tellOfClass writes the pages, what goes into diaries and the JSON, and says so.
func (c *call) tellOfClass(ctx context.Context, out string, run classes.Class, heard *classes.Heard, remarks *class.Remarks, weeks classes.Weeks, stopped bool) error {
	file := text(c.flags, "json")
	var written classes.Written
	term, err := classes.TermOf(out, &run, heard, weeks, remarks, text(c.flags, "instrument"), time.Now())
	if err != nil {
		return err
	}
	if len(heard.Sheets[0].Students) > 0 || len(heard.Sheets[0].Questions) > 0 { // an empty folder and no roster leave nothing to write
		if err := c.seen(remarks, &run, heard); err != nil {
			return err
		}
		how := classes.Pages{Remarks: remarks, Term: weeks.Told(term), Paper: text(c.flags, "paper")}
		if written, err = classes.Write(ctx, out, &run, heard, how); err != nil {
			return err
		}
		if err := classes.KeepRemarks(out, remarks); err != nil {
			return err
		}
	}
	if c.flags.Changed("diary") {
		n := 0
		for k, p := range run.Pieces {
			more, err := rememberClass(c, run, p, heard.Sheets[k])
			if n += more; err != nil {
				return err
			}
		}
		if file != "-" && !stopped {
			defer c.say(words.Many("command.class.new", n))
		}
	}
	var told any = term
	if len(run.Pieces) == 1 {
		told = heard.Sheets[0]
	}
	switch file {
	case "-":
		err = job.SealedJSON(c.out, told)
	case "":
	default:
		err = c.toJSON(file, told)
	}
	if err != nil {
		return err
	}
	if file != "-" && heard.HeardOf() > 0 && !stopped {
		tellClass(c, heard, term, written)
	}
	c.stays()
	return nil
}

// seen marks pages as seen: by name, or all.
func (c *call) seen(remarks *class.Remarks, run *classes.Class, heard *classes.Heard) error {
	names, _ := c.flags.GetStringArray("seen")
	if len(names) == 0 {
		return nil
	}
	var pieces []*piece.Piece
	for k, p := range run.Pieces {
		pieces = append(pieces, p.Piece)
		remarks.Apply(p.Piece, heard.Sheets[k])
	}
	pages := class.PagesOf(pieces, heard.Sheets)
	for _, name := range names {
		meant := pagesMeant(pages, name)
		if len(meant) == 0 || len(meant) > 1 && name != "all" {
			return words.Fault("command.class.seen", "typed", words.Quoted(name))
		}
		for _, g := range meant {
			remarks.For(g.Name).Seen = g.Ident()
		}
	}
	return nil
}

// pagesMeant are those of a name, or of a part of it, as a first name; or all.
func pagesMeant(pages []class.Page, name string) (meant []*class.Page) {
	var part []*class.Page
	for i := range pages {
		switch g := &pages[i]; {
		case name == "all" || class.Names(name, g.Name) && class.Names(g.Name, name):
			meant = append(meant, g)
		case class.Names(g.Name, name):
			part = append(part, g)
		}
	}
	if len(meant) == 0 {
		return part
	}
	return meant
}

// stoppedByUser is the exit status of a run that Ctrl-C ended, as shells have it.
const stoppedByUser = 130

// counter counts the recordings on a terminal while they are heard; it is nil
// where errors do not go to one.
func counter(f *os.File) func(classes.Progress) {
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return nil
	}
	return func(p classes.Progress) {
		if p.File == "" && p.Done > 0 {
			return
		}
		fmt.Fprint(f, "\r", words.Of("command.class.counted", "n", p.Done, "of", p.Of))
		if p.Done == p.Of {
			fmt.Fprintln(f)
		}
	}
}

// tellClass says in the terminal what stands in the pages.
func tellClass(c *call, heard *classes.Heard, term *class.Term, written classes.Written) {
	for _, s := range heard.Sheets {
		missing := 0
		for i := range s.Students {
			if s.Students[i].Status == class.Missing {
				missing++
			}
		}
		c.say(words.Of("command.class.told", "piece", outside.Line(s.Piece), "heard", s.HeardOf(), "of", len(s.Students), "missing", missing))
		for i := range s.Students {
			if st := &s.Students[i]; st.Status == class.NotHeard {
				c.say(words.Of("command.class.not-heard", "name", outside.Line(st.Name), "recording", outside.Line(*st.Recording), "reason", outside.Line(st.Reason)))
			}
		}
	}
	for _, u := range heard.Unplaced {
		c.say(words.Of("command.class.not-heard", "name", outside.Line(u.Student), "recording", outside.Line(u.Recording), "reason", outside.Line(u.Reason)))
	}
	for i := range term.Questions {
		fmt.Fprintln(c.out, outside.Line(term.Questions[i].Text()))
	}
	c.sayLeftOut(term.LeftOut)
	for _, s := range heard.Sheets {
		if len(s.Reteach) == 0 {
			continue
		}
		fmt.Fprintln(c.out)
		if len(heard.Sheets) > 1 {
			c.say(words.Of("command.class.reteach.of", "piece", outside.Line(s.Piece)))
		} else {
			c.say(words.Of("command.class.reteach"))
		}
		for _, r := range s.Reteach {
			fmt.Fprintln(c.out, "- "+r.Text())
		}
	}
	fmt.Fprintln(c.out)
	c.say(words.Of("command.class.sheet", "file", written.Sheet))
	if written.Weeks != "" {
		c.say(words.Of("command.class.weeks", "file", written.Weeks))
	}
	if written.Homes > 0 {
		c.say(words.Many("command.class.home", written.Homes, "folder", written.Home))
	}
	if written.Waiting > 0 {
		c.say(words.Many("command.class.waiting", written.Waiting))
	}
	if written.Print != nil {
		fmt.Fprintln(c.out, outside.Line(words.Told(written.Print)))
	}
}

// sayLeftOut names what lay in a folder and is no recording, or could not be heard.
func (c *call) sayLeftOut(left []class.LeftOut) {
	for _, l := range left {
		c.say(words.Of("command.left-out", "file", outside.Line(l.File), "reason", outside.Line(l.Reason)))
	}
}
