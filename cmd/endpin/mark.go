package main

import (
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece/outside"
	"endpin/piece/words"
)

var markCommand = command{
	name: "mark", key: "command.mark",
	options: func(f *pflag.FlagSet) {
		f.String("out", "", words.Say("command.option.out.mark"))
		f.String("part", "", words.Say("command.option.part.assign"))
		instrumentOption(f)
		replaceOption(f)
	},
	run: mark,
}

// mark pencils into a piece. The piece itself is written over where that is said twice: by
// its name and by --replace.
func mark(c *call) error {
	out := text(c.flags, "out")
	if len(c.args) < 2 || out == "" || out == "-" {
		return words.Fault("command.mark.needs", "line", c.line())
	}
	if strings.EqualFold(filepath.Ext(out), ".mxl") {
		return words.Fault("command.musicxml.packed", "file", out)
	}
	read := c.args[:1]
	if replace, _ := c.flags.GetBool("replace"); replace {
		read = nil
	}
	if err := c.keeps(read...); err != nil {
		return err
	}
	if err := c.outputs.Ask("out", out); err != nil {
		return err
	}
	marked, against, err := job.Mark(c.args[0], text(c.flags, "part"), text(c.flags, "instrument"), c.args[1:])
	if err != nil {
		return err
	}
	written, err := c.outputs.Write(out, func(w io.Writer) error {
		_, err := w.Write(marked.Bytes())
		return err
	})
	if err != nil {
		return err
	}
	c.stays()
	if marked.Copied() {
		c.say(words.Of("command.mark.copied", "file", c.args[0]))
	}
	for _, said := range against {
		c.say(words.Of("command.mark.against", "said", outside.Line(said)))
	}
	return c.say(words.Of("command.mark.written", "file", written))
}
