package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/diary"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/report"
	"endpin/piece/words"
)

var outlineCommand = command{
	name: "outline", key: "command.outline",
	options: outlineOptions,
	run:     outlinePiece,
}

func outlineOptions(f *pflag.FlagSet) {
	f.String("part", "", words.Say("command.option.part.outline"))
	f.Float64("tempo", 0, words.Say("command.option.tempo.outline"))
	f.String("level", "intermediate", words.Say("command.option.level.outline"))
	f.Float64("a4", 0, words.Say("command.option.a4.outline"))
	f.String("intonation", "equal", words.Say("command.option.intonation.outline"))
	f.String("instrument", "bass", words.Say("command.option.instrument", "names", instruments()))
	f.String("school", "", words.Say("command.option.school", "names", schools()))
	f.StringSlice("positions", nil, words.Say("command.option.positions"))
	f.Bool("no-open-strings", false, words.Say("command.option.no-open-strings"))
	f.StringSlice("take", nil, words.Say("command.option.take"))
	f.StringSlice("sections", nil, words.Say("command.option.sections"))
	f.Int("minutes", 20, words.Say("command.option.minutes"))
	f.Float64("step", practice.Step, words.Say("command.option.step"))
	f.Float64("bow", 0, words.Say("command.option.bow"))
	f.StringSlice("weights", nil, words.Say("command.option.weights"))
	f.StringArray("after", nil, words.Say("command.option.after"))
	f.String("diary", "", words.Say("command.option.diary.outline"))
	f.String("diary-file", "", words.Say("command.option.diary-file"))
	f.String("report", "", words.Say("command.option.report.outline"))
	f.String("musicxml", "", words.Say("command.option.musicxml"))
	f.String("fingers", "moves", words.Say("command.option.fingers"))
	f.String("json", "", words.Say("command.option.json.outline"))
	replaceOption(f)
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
		return words.Fault("command.outline.needs", "line", c.line())
	}
	pieceFile := c.args[0]
	if err := penciling(c.flags); err != nil {
		return err
	}
	judge, o, plan, err := outlining(c.flags)
	if err != nil {
		return err
	}
	if err := c.keeps(append([]string{pieceFile}, takes...)...); err != nil {
		return err
	}
	p, err := job.ReadPiece(pieceFile, text(c.flags, "part"), judge.Instrument)
	if err != nil {
		return err
	}
	out, err := outline.Of(p, o)
	if err != nil {
		return job.OfFile(pieceFile, err)
	}
	chosen, _ := c.flags.GetStringSlice("take")
	for _, measure := range chosen {
		if p, err = out.Take(p, measure); err == nil {
			out, err = outline.Of(p, o)
		}
		if err != nil {
			return job.OfFile(pieceFile, err)
		}
	}
	var silent error
	for _, take := range takes {
		h, _, err := job.Hear(context.Background(), p, pieceFile, take, judge, nil)
		if nothing := (job.NotHeard{}); errors.As(err, &nothing) {
			silent = err
			out.Remarks = append(out.Remarks, words.Say("command.outline.silent", "err", words.Told(err)))
			continue
		}
		if err != nil {
			return err
		}
		plan.Hearings = append(plan.Hearings, h)
	}
	if name := text(c.flags, "diary"); name != "" {
		heard, said, err := fromDiary(c, name, pieceFile, p)
		if err != nil {
			return err
		}
		plan.Hearings, out.Remarks = append(heard, plan.Hearings...), append(out.Remarks, said)
	}
	if len(takes) > 0 && len(plan.Hearings) == 0 {
		return status{notHeard, silent}
	}
	return tellOutline(c, p, outlined{out, practice.For(out, plan)}, paper(judge.Instrument))
}

// A sitting is planned from what was played lately: what a player has mended since is to be
// gone. Common practice, no source.
const (
	latelyDays  = 14
	latelyTakes = 5
)

// fromDiary is what a player's diary has of the piece of the last two weeks that were practised,
// the newest takes, and says so.
func fromDiary(c *call, name, pieceFile string, p *piece.Piece) (lately []*finding.Hearing, said string, err error) {
	path, err := job.Diaries(text(c.flags, "diary-file")).Of(name)
	if err != nil {
		return nil, "", err
	}
	d, err := openFor(path, name)
	if err != nil {
		return nil, "", err
	}
	defer d.Close()
	line, _ := p.Line()
	all, err := d.Heard(diary.Span{Player: name, Piece: piece.Content(line)})
	if err != nil {
		return nil, "", err
	}
	if len(all) == 0 {
		return nil, "", words.Fault("command.outline.no-takes", "file", path, "name", words.Quoted(name), "piece", pieceFile)
	}
	last := all[len(all)-1]
	all = slices.DeleteFunc(all, func(h diary.Heard) bool {
		return h.At.Before(last.At.AddDate(0, 0, -latelyDays)) || h.Hearing.Listening != last.Hearing.Listening
	})
	all = all[max(0, len(all)-latelyTakes):]
	for _, h := range all {
		lately = append(lately, h.Hearing)
	}
	return lately, words.Many("command.outline.from-diary", len(all), "name", last.Player, "first", words.Day(all[0].At), "last", words.Day(last.At)).String(), nil
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
			return judge, o, plan, words.Fault("command.bow", "typed", typed(f, "bow"))
		}
		o.Bow = outline.Bow{Longest: bow, OnLowest: bow * 3 / 4}
	}
	settings, _ := f.GetStringSlice("weights")
	w, err := outline.ParseWeights(settings)
	if err != nil {
		return judge, o, plan, words.Fault("command.of-option", "option", "weights", "reason", err)
	}
	o.Weights = &w
	plan.Minutes, _ = f.GetInt("minutes")
	if plan.Minutes != 10 && plan.Minutes != 20 && plan.Minutes != 30 {
		return judge, o, plan, words.Fault("command.minutes", "typed", plan.Minutes)
	}
	plan.Step, _ = f.GetFloat64("step")
	if !within(plan.Step, 1, 40) {
		return judge, o, plan, words.Fault("command.step", "typed", typed(f, "step"))
	}
	return judge, o, plan, nil
}

// tellOutline writes the page and the JSON where they were asked for, and the
// table unless the JSON has standard output to itself.
func tellOutline(c *call, p *piece.Piece, all outlined, how report.Options) error {
	page := text(c.flags, "report")
	if page != "" {
		var err error
		if page, err = c.outputs.Sign(page, func(w io.Writer) error { return report.OutlineHTML(w, p, all.Outline, all.Plan, how) }); err != nil {
			return err
		}
	}
	penciled := text(c.flags, "musicxml")
	if penciled != "" {
		var err error
		if penciled, err = c.outputs.Sign(penciled, func(w io.Writer) error { return all.WriteMusicXML(w, p, fingersWritten[text(c.flags, "fingers")]) }); err != nil {
			return err
		}
	}
	if file := text(c.flags, "json"); file != "" {
		if err := c.toJSON(file, all); err != nil || file == "-" {
			c.stays()
			return err
		}
	}
	defer c.stays()
	if err := report.OutlineTable(c.out, p, all.Outline, all.Plan, how); err != nil {
		return err
	}
	for _, it := range all.Items {
		if it.Drill != "" {
			fmt.Fprintln(c.out)
			c.say(words.Of("command.outline.drill", "measure", it.Drill))
		}
	}
	if page != "" {
		fmt.Fprintln(c.out)
		c.say(words.Of("command.hear.page", "file", page))
	}
	if penciled != "" {
		fmt.Fprintln(c.out)
		c.say(words.Of("command.outline.penciled", "file", penciled))
	}
	return nil
}

// fingersWritten are the words of --fingers.
var fingersWritten = map[string]fingerboard.Penciled{"moves": fingerboard.WhereTheHandMoves, "every": fingerboard.EveryNote}

// penciling looks at the options of the file written back.
func penciling(f *pflag.FlagSet) error {
	if _, known := fingersWritten[text(f, "fingers")]; !known {
		return words.Fault("command.fingers", "typed", words.Quoted(text(f, "fingers")))
	}
	file := text(f, "musicxml")
	switch {
	case file == "" && f.Changed("fingers"):
		return words.Fault("command.fingers.alone")
	case file == "-":
		return words.Fault("command.musicxml.alone")
	case strings.EqualFold(filepath.Ext(file), ".mxl"):
		return words.Fault("command.musicxml.packed", "file", file)
	}
	return nil
}
