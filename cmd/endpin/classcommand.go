package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
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
	classDiaryOption(f)
	f.Bool("afresh", false, words.Say("command.option.afresh"))
}

func hearClass(c *call) error {
	out := text(c.flags, "out")
	switch {
	case len(c.args) == 3 && text(c.flags, "diary") == ownDiary:
		return words.Fault("command.class.needs.equals", "typed", c.args[2])
	case len(c.args) != 2:
		return words.Fault("command.class.needs", "line", c.line())
	case out == "":
		return words.Fault("command.class.needs.out")
	}
	run, err := classToHear(c, out)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	context.AfterFunc(ctx, stop) // a second time ends at once
	run.Told = counter(os.Stderr)
	sheet, played, err := job.HearClass(ctx, run)
	stopped := errors.Is(err, context.Canceled)
	if stopped && run.Told != nil {
		fmt.Fprintln(os.Stderr)
	}
	if err != nil && !stopped {
		return err
	}
	if err := c.tellOfClass(out, run, sheet, played, stopped); err != nil {
		return err
	}
	switch {
	case stopped:
		return status{stoppedByUser, words.Fault("command.class.stopped", "folder", run.Folder, "out", out)}
	case sheet.HeardOf() == 0:
		return status{notHeard, job.NobodyHeard(run.Folder, sheet)}
	}
	return nil
}

// classToHear is the class asked for; what is to be written is asked about before
// anything is heard.
func classToHear(c *call, out string) (run job.Class, err error) {
	run = job.Class{PieceFile: c.args[0], Folder: c.args[1], Outputs: &c.outputs}
	if run.Options, err = judging(c.flags); err != nil {
		return run, err
	}
	run.Options = job.AskedIn(run.PieceFile, run.Options, c.flags.Changed)
	run.NoSound, _ = c.flags.GetBool("no-sound")
	run.Afresh, _ = c.flags.GetBool("afresh")
	roster := text(c.flags, "roster")
	if err := c.keeps(run.PieceFile, roster, run.Folder); err != nil {
		return run, err
	}
	if run.Piece, err = job.ReadPiece(run.PieceFile, text(c.flags, "part"), run.Options.Instrument); err != nil {
		return run, err
	}
	if err := job.Holds(run.Piece, run.Options, run.PieceFile); err != nil {
		return run, err
	}
	for _, sheet := range []string{job.ClassSheet, job.ClassTable} {
		if err := c.outputs.Ask("out", filepath.Join(out, sheet)); err != nil {
			return run, err
		}
	}
	return run, run.Into(out, roster)
}

// tellOfClass writes the pages, what goes into diaries and the JSON, and says so.
func (c *call) tellOfClass(out string, run job.Class, sheet *class.Sheet, played map[string]job.Played, stopped bool) error {
	written := ""
	var err error
	if len(sheet.Students) > 0 { // an empty folder and no roster leave nothing to write
		if written, err = job.WriteClass(out, &run, sheet, played); err != nil {
			return err
		}
	}
	file := text(c.flags, "json")
	if c.flags.Changed("diary") {
		n, err := rememberClass(c, run, sheet)
		if err != nil {
			return err
		}
		if file != "-" && !stopped {
			defer c.say(words.Many("command.class.new", n))
		}
	}
	switch file {
	case "-":
		err = job.SealedJSON(c.out, sheet)
	case "":
	default:
		err = c.toJSON(file, sheet)
	}
	if err != nil {
		return err
	}
	if file != "-" && sheet.HeardOf() > 0 && !stopped {
		tellClass(c, sheet, written)
	}
	c.stays()
	return nil
}

// stoppedByUser is the exit status of a run that Ctrl-C ended, as shells have it.
const stoppedByUser = 130

// counter counts the recordings on a terminal while they are heard; it is nil
// where errors do not go to one.
func counter(f *os.File) func(job.ClassProgress) {
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return nil
	}
	return func(p job.ClassProgress) {
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
func tellClass(c *call, s *class.Sheet, written string) {
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
	c.sayLeftOut(s.LeftOut)
	if len(s.Reteach) > 0 {
		fmt.Fprintln(c.out)
		c.say(words.Of("command.class.reteach"))
		for _, r := range s.Reteach {
			fmt.Fprintln(c.out, "- "+r.Text())
		}
	}
	fmt.Fprintln(c.out)
	c.say(words.Of("command.class.sheet", "file", written))
}

// sayLeftOut names what lay in a folder and is no recording, or could not be heard.
func (c *call) sayLeftOut(left []class.LeftOut) {
	for _, l := range left {
		c.say(words.Of("command.left-out", "file", outside.Line(l.File), "reason", outside.Line(l.Reason)))
	}
}
