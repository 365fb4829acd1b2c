package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece/fingerboard"
	"endpin/piece/outside"
	"endpin/piece/words"
)

var convertCommand = command{
	name: "convert", key: "command.convert",
	options: func(f *pflag.FlagSet) {
		f.String("out", "", words.Say("command.option.out.convert"))
		f.String("part", "", words.Say("command.option.part.outline"))
		f.String("instrument", "bass", words.Say("command.option.instrument", "names", instruments()))
		replaceOption(f)
	},
	run: convert,
}

// convert writes a piece in another format.
func convert(c *call) error {
	out := text(c.flags, "out")
	if len(c.args) != 1 || out == "" || out == "-" {
		return words.Fault("command.convert.needs", "line", c.line())
	}
	in, err := fingerboard.ByWord(text(c.flags, "instrument"))
	if err != nil {
		return words.Fault("command.of-option", "option", "instrument", "reason", err)
	}
	if _, err := job.Format(out); err != nil {
		return words.Fault("command.of-option", "option", "out", "reason", err)
	}
	if err := c.keeps(c.args[0]); err != nil {
		return err
	}
	if err := c.outputs.Ask("out", out); err != nil {
		return err
	}
	p, err := job.ReadPiece(c.args[0], text(c.flags, "part"), &in)
	if err != nil {
		return err
	}
	write, err := job.Converted(p, c.args[0], out)
	if err != nil {
		return err
	}
	file, err := c.outputs.Write(out, write)
	if err != nil {
		return err
	}
	if p.Taken != "" {
		fmt.Fprintln(c.out, outside.Line(p.Taken))
	}
	for _, s := range p.NotPlayed {
		fmt.Fprintln(c.out, outside.Line(s))
	}
	c.stays()
	return c.say(words.Of("command.convert.written", "file", file))
}
