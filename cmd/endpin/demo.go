package main

import (
	"bytes"

	"github.com/spf13/pflag"

	"endpin/assets"
	"endpin/cmd/job"
	"endpin/dsp/recording"
	"endpin/piece/notation"
	"endpin/piece/words"
)

var demoCommand = command{
	name: "demo", key: "command.demo",
	options: func(f *pflag.FlagSet) {
		judgingOptions(f)
		replaceOption(f)
		f.String("report", "endpin-report.html", words.Say("command.option.report.demo"))
	},
	run: demo,
}

func demo(c *call) error {
	if len(c.args) > 0 {
		return words.Fault("command.demo.no-names", "typed", c.args[0])
	}
	opts, err := judging(c.flags)
	if err != nil {
		return err
	}
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	if err != nil {
		return err
	}
	if err := c.keeps(); err != nil {
		return err
	}
	if err := job.Holds(p, opts, assets.DemoPieceName); err != nil {
		return err
	}
	r, err := recording.Decode(assets.DemoTakeName, bytes.NewReader(assets.DemoTake))
	if err != nil {
		return err
	}
	defer r.Close()
	return hearTake(c, p, r, opts, assets.DemoPieceName, "")
}
