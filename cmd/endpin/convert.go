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
	out, in, err := c.toPiece("command.convert.needs")
	if err != nil {
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

// toPiece looks at what a command is given that reads one file and writes a piece: the
// file to write, in a format that there is, and the instrument. Without them needs is said.
func (c *call) toPiece(needs string) (out string, in fingerboard.Instrument, err error) {
	if out = text(c.flags, "out"); len(c.args) != 1 || out == "" || out == "-" {
		return out, in, words.Fault(needs, "line", c.line())
	}
	if in, err = fingerboard.ByWord(text(c.flags, "instrument")); err != nil {
		return out, in, words.Fault("command.of-option", "option", "instrument", "reason", err)
	}
	if _, err = job.Format(out); err != nil {
		return out, in, words.Fault("command.of-option", "option", "out", "reason", err)
	}
	if err = c.keeps(c.args[0]); err == nil {
		err = c.outputs.Ask("out", out)
	}
	return out, in, err
}
