package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece/class"
	"endpin/piece/outside"
)

var classCommand = command{
	name: "class", line: "class PIECE FOLDER --out DIR",
	about: `hear a folder of recordings and say who needs what
Writes into DIR the class sheet (class.html), class.csv, and a page for each
student. Students are named by the roster or else by their files. What was heard
is kept in DIR, so that a run that was stopped goes on where it ended. Nothing
leaves this computer.`,
	options: classOptions,
	run:     hearClass,
}

func classOptions(f *pflag.FlagSet) {
	f.String("out", "", "write the pages into this folder (`DIR`), which is made where it is not there")
	f.String("roster", "", "the students, as a CSV `FILE`: a name, and perhaps a pattern of file names, on each line")
	f.String("part", "", "the part to hear, by its `NAME` or number; the bass part, or the first, unless given")
	judgingOptions(f)
	f.Bool("no-sound", false, "put none of the students' sound into the pages")
	classDiaryOption(f)
	f.Bool("afresh", false, "hear all files again, also those that an earlier run has heard")
}

func hearClass(c *call) error {
	if len(c.args) == 3 && text(c.flags, "diary") == ownDiary {
		return fmt.Errorf("class needs a piece and a folder, and a diary of another name is written with =, as in --diary=%s", c.args[2])
	}
	if len(c.args) != 2 {
		return fmt.Errorf("class needs a piece and a folder: endpin %s", c.line)
	}
	out := text(c.flags, "out")
	if out == "" {
		return fmt.Errorf("class needs a folder to write into: --out DIR")
	}
	opts, err := judging(c.flags)
	if err != nil {
		return err
	}
	run := job.Class{PieceFile: c.args[0], Folder: c.args[1], Options: opts}
	run.NoSound, _ = c.flags.GetBool("no-sound")
	run.Afresh, _ = c.flags.GetBool("afresh")
	rosterFile := text(c.flags, "roster")
	if err := keeps(c.flags, run.PieceFile, rosterFile); err != nil {
		return err
	}
	if run.Piece, err = job.ReadPiece(run.PieceFile, text(c.flags, "part"), opts.Instrument); err != nil {
		return err
	}
	if err := job.Holds(run.Piece, opts, run.PieceFile); err != nil {
		return err
	}
	if err := run.Into(out, rosterFile); err != nil {
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
	if len(sheet.Students) > 0 { // an empty folder and no roster leave nothing to write
		if err := job.WriteClass(out, run, sheet, played); err != nil {
			return err
		}
	}
	if c.flags.Changed("diary") {
		n, err := rememberClass(c, run, sheet)
		if err != nil {
			return err
		}
		if text(c.flags, "json") != "-" && !stopped {
			defer fmt.Fprintf(c.out, "New in the diary: %s.\n", counting(n, "take"))
		}
	}
	if file := text(c.flags, "json"); file == "-" {
		if err := job.WriteJSON(c.out, sheet); err != nil {
			return err
		}
	} else {
		if file != "" {
			if err := job.WriteFile(file, func(w io.Writer) error { return job.WriteJSON(w, sheet) }); err != nil {
				return err
			}
		}
		if sheet.HeardOf() > 0 && !stopped {
			tellClass(c.out, sheet, out)
		}
	}
	switch {
	case stopped:
		return status{stoppedByUser, fmt.Errorf("%s: stopped before all recordings were heard; what was heard is kept in %s: give the same command to go on", run.Folder, out)}
	case sheet.HeardOf() == 0:
		return status{notHeard, job.NobodyHeard(run.Folder, sheet)}
	}
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
		fmt.Fprintf(f, "\r%d of %d recordings heard", p.Done, p.Of)
		if p.Done == p.Of {
			fmt.Fprintln(f)
		}
	}
}

// tellClass says in the terminal what stands in the pages.
func tellClass(w io.Writer, s *class.Sheet, out string) {
	missing := 0
	for i := range s.Students {
		if s.Students[i].Status == class.Missing {
			missing++
		}
	}
	fmt.Fprintf(w, "%s: %d of %d students heard, %d without a recording.\n", outside.Line(s.Piece), s.HeardOf(), len(s.Students), missing)
	for i := range s.Students {
		if st := &s.Students[i]; st.Status == class.NotHeard {
			fmt.Fprintf(w, "Not heard: %s (%s): %s.\n", outside.Line(st.Name), outside.Line(*st.Recording), outside.Line(strings.TrimSuffix(st.Reason, ".")))
		}
	}
	for _, l := range s.LeftOut {
		fmt.Fprintf(w, "Left out: %s: %s.\n", outside.Line(l.File), outside.Line(l.Reason))
	}
	if len(s.Reteach) > 0 {
		fmt.Fprintln(w, "\nTo teach again:")
		for _, r := range s.Reteach {
			fmt.Fprintln(w, "- "+r.Text())
		}
	}
	fmt.Fprintf(w, "\nThe class sheet is %s.\n", filepath.Join(out, job.ClassSheet))
}
