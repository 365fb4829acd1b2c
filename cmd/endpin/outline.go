package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/report"
	"endpin/piece/words"
)

var outlineCommand = command{
	name: "outline", line: "outline PIECE",
	about: `say what a piece asks before the first note, and plan a sitting
The measures that are hard and why, the shifts, what comes again, the sections,
and what to practise in ten, twenty or thirty minutes. --after begins from what
was heard in recordings instead of the guess from the page.`,
	options: outlineOptions,
	run:     outlinePiece,
}

func outlineOptions(f *pflag.FlagSet) {
	f.String("part", "", "the part to outline, by its `NAME` or number; the bass part, or the first, unless given")
	f.Float64("tempo", 0, "the tempo to reach, in quarter notes a minute (`QPM`); the piece's own unless given")
	f.String("level", "intermediate", "the player's level, by its `NAME`: first-year, intermediate or advanced; says how long a bow lasts, and what --after lets pass")
	f.Float64("a4", 0, "the reference A in `HZ` of what --after hears; 440 unless given")
	f.String("intonation", "equal", "the intonation that --after hears by, by its `NAME`: equal, just or pythagorean")
	f.String("instrument", "bass", "the instrument and hand, by its `NAME`: "+instrumentWords())
	f.StringSlice("positions", nil, "finger unmarked notes in these positions only, as in `1,3`")
	f.Bool("no-open-strings", false, "stop every note that can be stopped; at every level open strings serve unless this is given")
	f.StringSlice("sections", nil, "the teacher's own division, as in `1-8,9-16`")
	f.Int("minutes", 20, "how long the sitting is, in `MINUTES`: 10, 20 or 30")
	f.Float64("step", practice.Step, "how much faster each step is, in beats a minute (`BPM`)")
	f.Float64("bow", 0, "how long one bow lasts, in `SECONDS`; the level's unless given, and three quarters of it on the lowest string")
	f.StringSlice("weights", nil, "how much a reason counts, as in `shift=2,up-bow=0`")
	f.StringArray("after", nil, "plan from what is heard in this `RECORDING`; may be given again")
	f.String("report", "", "write a page with the music to this HTML `FILE`")
	f.String("musicxml", "", "write the piece with fingers, strings, positions, hand frames and sections penciled in to this MusicXML `FILE`")
	f.String("fingers", "moves", "which fingers --musicxml writes, by `WORD`: moves, where the hand moves, or every")
	f.String("json", "", "write the outline as JSON to this `FILE`, or - for standard output alone")
}

// outlined is the JSON: the outline and the plan in one object.
type outlined struct {
	*outline.Outline
	practice.Plan
}

func outlinePiece(c *call) error {
	takes, _ := c.flags.GetStringArray("after")
	if len(c.args) > 1 && len(takes) > 0 { // --after A B C
		takes = append(takes, c.args[1:]...)
		c.args = c.args[:1]
	}
	if len(c.args) != 1 {
		return fmt.Errorf("outline needs one piece: endpin %s", c.line)
	}
	pieceFile := c.args[0]
	if err := penciling(c.flags); err != nil {
		return err
	}
	judge, o, plan, err := outlining(c.flags)
	if err != nil {
		return err
	}
	if err := keeps(c.flags, append([]string{pieceFile}, takes...)...); err != nil {
		return err
	}
	p, err := job.ReadPiece(pieceFile, text(c.flags, "part"), judge.Instrument)
	if err != nil {
		return err
	}
	out, err := outline.Of(p, o)
	if err != nil {
		return fmt.Errorf("%s: %w", pieceFile, err)
	}
	var silent error
	for _, take := range takes {
		h, _, err := job.Hear(context.Background(), p, pieceFile, take, judge, nil)
		if nothing := (job.NotHeard{}); errors.As(err, &nothing) {
			silent = err
			out.Remarks = append(out.Remarks, words.Told(err))
			continue
		}
		if err != nil {
			return err
		}
		plan.Hearings = append(plan.Hearings, h)
	}
	if len(takes) > 0 && len(plan.Hearings) == 0 {
		return status{notHeard, silent}
	}
	return tellOutline(c, p, outlined{out, practice.For(out, plan)}, paper(judge.Instrument))
}

// outlining reads the options; those that both share go through judging.
func outlining(f *pflag.FlagSet) (judge finding.Options, o outline.Options, plan practice.Options, err error) {
	if judge, err = judging(f); err != nil {
		return
	}
	o = outline.Options{Instrument: judge.Instrument, Positions: judge.Positions, QPM: judge.QPM}
	o.NoOpenStrings, _ = f.GetBool("no-open-strings")
	o.Sections, _ = f.GetStringSlice("sections")
	o.Bow = outline.BowAt(judge.Level.Name)
	if bow, _ := f.GetFloat64("bow"); f.Changed("bow") {
		if !within(bow, 0.5, 60) {
			return judge, o, plan, fmt.Errorf("--bow %g: write how many seconds one bow lasts, from 0.5 to 60", bow)
		}
		o.Bow = outline.Bow{Longest: bow, OnLowest: bow * 3 / 4}
	}
	settings, _ := f.GetStringSlice("weights")
	w, err := outline.ParseWeights(settings)
	if err != nil {
		return judge, o, plan, fmt.Errorf("--weights: %w", err)
	}
	o.Weights = &w
	plan.Minutes, _ = f.GetInt("minutes")
	if plan.Minutes != 10 && plan.Minutes != 20 && plan.Minutes != 30 {
		return judge, o, plan, fmt.Errorf("--minutes %d: write 10, 20 or 30", plan.Minutes)
	}
	plan.Step, _ = f.GetFloat64("step")
	if !within(plan.Step, 1, 40) {
		return judge, o, plan, fmt.Errorf("--step %g: write beats a minute, from 1 to 40", plan.Step)
	}
	return judge, o, plan, nil
}

// tellOutline writes the page and the JSON where they were asked for, and the
// table unless the JSON has standard output to itself.
func tellOutline(c *call, p *piece.Piece, all outlined, how report.Options) error {
	page := text(c.flags, "report")
	if page != "" {
		err := job.WriteFile(page, func(w io.Writer) error { return report.OutlineHTML(w, p, all.Outline, all.Plan, how) })
		if err != nil {
			return err
		}
	}
	penciled := text(c.flags, "musicxml")
	if penciled != "" {
		err := job.WriteFile(penciled, func(w io.Writer) error { return all.WriteMusicXML(w, p, fingersWritten[text(c.flags, "fingers")]) })
		if err != nil {
			return err
		}
	}
	switch file := text(c.flags, "json"); file {
	case "":
	case "-":
		return job.WriteJSON(c.out, all)
	default:
		if err := job.WriteFile(file, func(w io.Writer) error { return job.WriteJSON(w, all) }); err != nil {
			return err
		}
	}
	if err := report.OutlineTable(c.out, p, all.Outline, all.Plan, how); err != nil {
		return err
	}
	said := ""
	if page != "" {
		said += fmt.Sprintf("\nThe page to print or to send is %s.\n", page)
	}
	if penciled != "" {
		said += fmt.Sprintf("\nThe piece with the fingering penciled in is %s.\n", penciled)
	}
	_, err := io.WriteString(c.out, said)
	return err
}

// fingersWritten are the words of --fingers.
var fingersWritten = map[string]fingerboard.Penciled{"moves": fingerboard.WhereTheHandMoves, "every": fingerboard.EveryNote}

// penciling looks at the options of the file written back.
func penciling(f *pflag.FlagSet) error {
	if _, known := fingersWritten[text(f, "fingers")]; !known {
		return fmt.Errorf("--fingers %q: write moves, or every", text(f, "fingers"))
	}
	file := text(f, "musicxml")
	switch {
	case file == "" && f.Changed("fingers"):
		return errors.New("--fingers says what --musicxml writes: add --musicxml FILE")
	case file == "-":
		return errors.New("--musicxml -: the music needs a file of its own: --musicxml penciled.musicxml")
	case strings.EqualFold(filepath.Ext(file), ".mxl"):
		return fmt.Errorf("--musicxml %s: it is written uncompressed: let its name end in .musicxml", file)
	}
	return nil
}
