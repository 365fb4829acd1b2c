package main

import (
	"fmt"
	"io"

	"github.com/spf13/pflag"

	"endpin/piece/finding"
	"endpin/ui/desk"
)

// opts is what was asked for on the command line.
type opts struct {
	piece     string // empty for the demo piece
	part      string
	recording string
	work      string
	measures  string
	tempo     float64
	silence   float64
	findings  string
	folder    string
	diary     string
	a4        float64
	level     string
	width     int
	height    int
	dark      bool
}

func flags(o *opts) *pflag.FlagSet {
	f := pflag.NewFlagSet("endpin-desk", pflag.ContinueOnError)
	f.SetOutput(io.Discard)
	f.StringVar(&o.part, "part", "", "the part to play, by its `NAME` or number")
	f.StringVar(&o.recording, "recording", "", "hear this `FILE` at once")
	f.StringVar(&o.work, "work", "", "begin at once in this `WAY`: play-along, play-alone, echo, bow-silently or bring-up")
	f.StringVar(&o.measures, "measures", "", "work on these measures, as in `21-24`")
	f.Float64Var(&o.tempo, "tempo", 0, "the tempo in quarter notes a minute (`QPM`); the piece's own unless given")
	f.Float64Var(&o.silence, "silence", 0, "end a take after so many `SECONDS` of silence; 4 unless given")
	f.StringVar(&o.findings, "findings-json", "", "write what was heard to this `FILE` when the take ends, and leave")
	f.StringVar(&o.folder, "takes", "", "keep takes in this `FOLDER`")
	f.StringVar(&o.diary, "diary", "", "the diary, a `FILE`, or a folder with one file for each player; the one in your data folder unless given")
	f.Float64Var(&o.a4, "a4", 0, "the reference A in `HZ`")
	f.StringVar(&o.level, "level", "", "how much is let pass: first-year, intermediate or advanced (`NAME`)")
	f.IntVar(&o.width, "width", 1280, "width of the window (`UNITS`)")
	f.IntVar(&o.height, "height", 800, "height of the window (`UNITS`)")
	f.BoolVar(&o.dark, "dark", false, "by night: light ink on dark paper")
	return f
}

func options(args []string) (o opts, err error) {
	f := flags(&o)
	if err := f.Parse(args); err != nil {
		return o, err
	}
	switch f.NArg() {
	case 0:
	case 1:
		o.piece = f.Arg(0)
	default:
		return o, fmt.Errorf("one piece at a time: endpin-desk PIECE; a recording is named with --recording")
	}
	if f.Changed("tempo") && !(o.tempo >= desk.LowestQPM && o.tempo <= desk.HighestQPM) {
		return o, fmt.Errorf("--tempo %g: write quarter notes a minute, from %d to %d", o.tempo, desk.LowestQPM, desk.HighestQPM)
	}
	if f.Changed("silence") && !(o.silence >= 1 && o.silence <= 60) {
		return o, fmt.Errorf("--silence %g: write seconds, from 1 to 60", o.silence)
	}
	if f.Changed("a4") && !(o.a4 >= finding.LowestA4 && o.a4 <= finding.HighestA4) {
		return o, fmt.Errorf("--a4 %g: write a reference A from %d to %d Hz", o.a4, finding.LowestA4, finding.HighestA4)
	}
	if o.level != "" {
		if _, err := finding.LevelByName(o.level); err != nil {
			return o, fmt.Errorf("--%w", err)
		}
	}
	if o.work != "" {
		if _, err := desk.WayByName(o.work); err != nil {
			return o, fmt.Errorf("--%w", err)
		}
	}
	if o.findings != "" && o.work == "" && o.recording == "" {
		return o, fmt.Errorf("--findings-json %s: say what is to be heard with --work or --recording", o.findings)
	}
	return o, nil
}

// set puts what was asked for on the desk. What is given for one time is not
// remembered.
func (o opts) set(d *desk.Desk) error {
	if o.measures != "" {
		if err := d.TypeRange(o.measures); err != nil {
			return err
		}
	}
	if o.work != "" {
		d.SetWay(desk.Way(o.work))
	}
	if o.tempo > 0 {
		d.SetQPM(o.tempo)
	}
	if o.silence > 0 {
		d.Work.Silence = o.silence
	}
	d.ForNow(func(s *desk.Settings) {
		if o.a4 > 0 {
			s.A4 = o.a4
		}
		if o.level != "" {
			s.Level = o.level
		}
		s.Dark = s.Dark || o.dark
	})
	return nil
}

func help(out io.Writer) {
	fmt.Fprint(out, "endpin-desk [PIECE]: the desk to work at; without a piece it shows the demo\n\n",
		flags(&opts{}).FlagUsagesWrapped(100))
}
