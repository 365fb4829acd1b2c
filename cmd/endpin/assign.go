package main

import (
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece/homework"
	"endpin/piece/words"
)

var assignCommand = command{
	name: "assign", key: "command.assign",
	options: assignOptions,
	run:     assign,
}

func assignOptions(f *pflag.FlagSet) {
	f.String("out", "", words.Say("command.option.out.assign"))
	f.String("part", "", words.Say("command.option.part.assign"))
	f.String("measures", "", words.Say("command.option.measures.assign"))
	f.Float64("tempo", 0, words.Say("command.option.tempo.assign"))
	f.String("work", "", words.Say("command.option.work.assign", "ways", words.Row(homework.Ways...)))
	f.String("level", "", words.Say("command.option.level.assign"))
	f.String("text", "", words.Say("command.option.text.assign"))
	f.String("until", "", words.Say("command.option.until.assign"))
	f.String("recording", "", words.Say("command.option.recording.assign"))
	replaceOption(f)
}

// assign makes homework of a piece.
func assign(c *call) error {
	out := text(c.flags, "out")
	if len(c.args) != 1 || out == "" || out == "-" {
		return words.Fault("command.assign.needs", "line", c.line())
	}
	a := job.Assigned{PieceFile: c.args[0], Recording: text(c.flags, "recording"), Homework: homework.Homework{
		Part: text(c.flags, "part"), Measures: text(c.flags, "measures"), Work: text(c.flags, "work"),
		Level: text(c.flags, "level"), Text: text(c.flags, "text"), Until: text(c.flags, "until"), Made: time.Now()}}
	if a.QPM, _ = c.flags.GetFloat64("tempo"); c.flags.Changed("tempo") && !within(a.QPM, homework.LowestQPM, homework.HighestQPM) {
		return words.Fault("command.tempo", "typed", typed(c.flags, "tempo"), "least", homework.LowestQPM, "most", homework.HighestQPM)
	}
	if err := c.keeps(a.PieceFile, a.Recording); err != nil {
		return err
	}
	if err := c.outputs.Ask("out", out); err != nil {
		return err
	}
	if !strings.EqualFold(filepath.Ext(out), job.HomeworkEnd) {
		return words.Fault("command.assign.ending", "file", out, "ending", job.HomeworkEnd)
	}
	if day, err := time.Parse(time.DateOnly, a.Until); err == nil && a.Until < a.Made.Format(time.DateOnly) {
		return words.Fault("command.assign.over", "day", words.Day(day))
	}
	p, err := job.ReadPiece(a.PieceFile, a.Part, nil)
	if err != nil {
		return err
	}
	if err := a.Ask(p); err != nil {
		return err
	}
	written, err := c.outputs.Write(out, a.Write)
	if err != nil {
		return err
	}
	for _, line := range a.Lines() {
		c.say(line)
	}
	c.stays()
	return c.say(words.Of("command.assign.written", "file", written))
}
