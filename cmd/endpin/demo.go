package main

import (
	"bytes"
	"fmt"

	"github.com/spf13/pflag"

	"endpin/assets"
	"endpin/cmd/job"
	"endpin/dsp/recording"
	"endpin/piece/notation"
)

var demoCommand = command{
	name: "demo", line: "demo",
	about: `hear the demo take of the demo piece, both inside the program
They are heard as hear would hear them in files, and a page to print is written
into the current folder.`,
	options: func(f *pflag.FlagSet) {
		judgingOptions(f)
		f.String("report", "endpin-report.html", "write the page to this HTML `FILE`")
	},
	run: demo,
}

func demo(c *call) error {
	if len(c.args) > 0 {
		return fmt.Errorf("demo takes no names, and %s is one: endpin hear PIECE RECORDING hears your own", c.args[0])
	}
	opts, err := judging(c.flags)
	if err != nil {
		return err
	}
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	if err != nil {
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
	return hearTake(c, p, r, opts, assets.DemoPieceName)
}
