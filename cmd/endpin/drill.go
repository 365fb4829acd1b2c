package main

import (
	"io"
	"strings"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/drill"
	"endpin/piece/export"
	"endpin/piece/words"
	"endpin/piece/writing"
)

var drillCommand = command{
	name: "drill", key: "command.drill",
	options: func(f *pflag.FlagSet) {
		f.String("out", "", words.Say("command.option.out.drill"))
		f.Int("scale", 0, words.Say("command.option.scale"))
		f.String("shift", "", words.Say("command.option.shift"))
		f.String("part", "", words.Say("command.option.part.assign"))
		instrumentOption(f)
		replaceOption(f)
	},
	run: makeDrill,
}

// makeDrill writes a scale in the piece's key, or a shift of it on each string.
func makeDrill(c *call) error {
	out, shift := text(c.flags, "out"), text(c.flags, "shift")
	octaves, _ := c.flags.GetInt("scale")
	if len(c.args) != 1 || out == "" || out == "-" || c.flags.Changed("scale") == c.flags.Changed("shift") {
		return words.Fault("command.drill.needs", "line", c.line())
	}
	if strings.HasSuffix(strings.ToLower(out), ".mxl") {
		return words.Fault("command.musicxml.packed", "file", out)
	}
	in, err := instrument(c.flags)
	if err != nil {
		return err
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
	var made *piece.Piece
	if staff := writing.StaffOf(in); c.flags.Changed("shift") {
		made, err = drill.Shift(p, in.For(p), staff, shift)
	} else {
		made, err = drill.Scale(p, in.For(p), staff, octaves)
	}
	if err != nil {
		return job.OfFile(c.args[0], err)
	}
	written, err := c.outputs.Sign(out, func(w io.Writer) error { return export.MusicXML(w, made, export.Options{}) })
	if err != nil {
		return err
	}
	c.stays()
	return c.say(words.Of("command.drill.written", "title", made.Title, "file", written))
}
