package main

import (
	"fmt"
	"io"
	"net/url"

	"github.com/spf13/pflag"

	"endpin/cmd/option"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/score"
	"endpin/ui/desk/work"
)

// opts is what was asked for on the command line.
type opts struct {
	piece      string // empty for the demo piece
	part       string
	instrument string
	recording  string
	work       string
	measures   string
	tempo      float64
	silence    float64
	findings   string
	folder     string
	diary      string
	a4         float64
	level      string
	width      int
	height     int
	dark       bool
	version    bool
}

func flags(o *opts) *pflag.FlagSet {
	f := pflag.NewFlagSet("endpin-desk", pflag.ContinueOnError)
	f.SetOutput(io.Discard)
	f.StringVar(&o.part, "part", "", words.Say("window.start.option.part"))
	f.StringVar(&o.instrument, "instrument", "", words.Say("window.start.option.instrument", "names", instruments()))
	f.StringVar(&o.recording, "recording", "", words.Say("window.start.option.recording"))
	f.StringVar(&o.work, "work", "", words.Say("window.start.option.work"))
	f.StringVar(&o.measures, "measures", "", words.Say("window.start.option.measures"))
	f.Float64Var(&o.tempo, "tempo", 0, words.Say("window.start.option.tempo"))
	f.Float64Var(&o.silence, "silence", 0, words.Say("window.start.option.silence"))
	f.StringVar(&o.findings, "findings-json", "", words.Say("window.start.option.findings-json"))
	f.StringVar(&o.folder, "takes", "", words.Say("window.start.option.takes"))
	f.StringVar(&o.diary, "diary", "", words.Say("window.start.option.diary"))
	f.Float64Var(&o.a4, "a4", 0, words.Say("window.start.option.a4"))
	f.StringVar(&o.level, "level", "", words.Say("window.start.option.level"))
	f.IntVar(&o.width, "width", 1280, words.Say("window.start.option.width"))
	f.IntVar(&o.height, "height", 800, words.Say("window.start.option.height"))
	f.BoolVar(&o.dark, "dark", false, words.Say("window.start.option.dark"))
	option.Language(f)
	f.BoolVar(&o.version, "version", false, words.Say("window.start.option.version"))
	return f
}

func options(args []string) (o opts, err error) {
	f := flags(&o)
	if err := f.Parse(args); err != nil {
		return o, option.Fault(err, "endpin-desk", f)
	}
	switch f.NArg() {
	case 0:
	case 1:
		o.piece = local(f.Arg(0))
	default:
		return o, words.Fault("window.start.one-piece")
	}
	o.recording = local(o.recording)
	if f.Changed("tempo") && !(o.tempo >= score.LowestQPM && o.tempo <= score.HighestQPM) {
		return o, words.Fault("window.start.tempo", "typed", o.tempo, "lowest", score.LowestQPM, "highest", score.HighestQPM)
	}
	if f.Changed("silence") && !(o.silence >= 1 && o.silence <= 60) {
		return o, words.Fault("window.start.silence", "typed", o.silence)
	}
	if f.Changed("a4") && !(o.a4 >= finding.LowestA4 && o.a4 <= finding.HighestA4) {
		return o, words.Fault("window.start.a4", "typed", o.a4, "lowest", finding.LowestA4, "highest", finding.HighestA4)
	}
	if o.instrument != "" {
		if _, err := fingerboard.ByWord(o.instrument); err != nil {
			return o, words.Fault("window.start.of-option", "option", "instrument", "err", err)
		}
	}
	if o.begins() && o.instrument == "" {
		o.instrument = fingerboard.Instruments()[0].Word // nothing is asked
	}
	if o.level != "" {
		if _, err := finding.LevelByName(o.level); err != nil {
			return o, words.Fault("window.start.by-name", "err", err)
		}
	}
	if o.work != "" {
		if _, err := work.WayByName(o.work); err != nil {
			return o, words.Fault("window.start.by-name", "err", err)
		}
	}
	if o.findings != "" && o.work == "" && o.recording == "" {
		return o, words.Fault("window.start.nothing-to-hear", "file", o.findings)
	}
	return o, nil
}

// local is the path in a file's address, as file managers hand it over; any other is a path.
func local(path string) string {
	if u, err := url.Parse(path); err == nil && u.Scheme == "file" && u.Path != "" {
		return u.Path
	}
	return path
}

// begins reports whether something begins at once, so that nothing may be asked before.
func (o opts) begins() bool { return o.work != "" || o.recording != "" }

// instruments are the words for them.
func instruments() words.Linked {
	var all []string
	for _, n := range fingerboard.Instruments() {
		all = append(all, n.Word)
	}
	return words.Row(all...)
}

// set puts what was asked for on the desk. What is given for one time is not
// remembered.
func (o opts) set(d *desk.Desk) error {
	if o.measures != "" && d.Pieces.Asking == nil { // what is asked comes first
		if err := d.TypeRange(o.measures); err != nil {
			return err
		}
	}
	if o.work != "" {
		d.SetWay(work.Way(o.work))
	}
	if o.tempo > 0 {
		d.SetQPM(o.tempo)
	}
	if o.silence > 0 {
		d.Work.Silence = o.silence
	}
	d.ForNow(func(s *remembered.Settings) {
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
	fmt.Fprint(out, words.Say("window.start.help"), "\n\n", option.Help(flags(&opts{})))
}
