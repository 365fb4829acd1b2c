package main

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/report"
)

// hearOptions are the options of hear.
func hearOptions(f *pflag.FlagSet) {
	f.String("part", "", "the part to hear, by its `NAME` or number; the bass part, or the first, unless given")
	judgingOptions(f)
	f.String("report", "", "write a page to this HTML `FILE`")
}

// judgingOptions say how a take is judged and told. What stands between
// backquotes stands for the value in the help.
func judgingOptions(f *pflag.FlagSet) {
	f.String("measures", "", "hear only these measures, as in `21-24`")
	f.Float64("tempo", 0, "the tempo asked for, in quarter notes a minute (`QPM`); the piece's own unless given")
	f.Float64("a4", 0, "the reference A in `HZ`, 392 to 466; 440 unless given")
	f.String("intonation", "equal", "the intonation, by its `NAME`: equal, just or pythagorean, on the tonic of the key signature")
	f.String("level", "intermediate", "how much is let pass, by its `NAME`: first-year, intermediate or advanced")
	f.String("instrument", "bass", "the instrument and hand, by its `NAME`: "+instrumentWords())
	f.StringSlice("positions", nil, "finger unmarked notes in these positions only, as in `1,3`")
	f.String("json", "", "write everything heard as JSON to this `FILE`, or - for standard output alone")
}

func instrumentWords() string {
	var words []string
	for _, n := range fingerboard.Instruments() {
		words = append(words, n.Word)
	}
	return strings.Join(words, ", ")
}

// judging reads the options that say how a take is judged.
func judging(f *pflag.FlagSet) (o finding.Options, err error) {
	if text(f, "report") == "-" {
		return o, fmt.Errorf("--report -: the page needs a file of its own: --report page.html")
	}
	o.Measures = text(f, "measures")
	o.QPM, _ = f.GetFloat64("tempo")
	if f.Changed("tempo") && !within(o.QPM, 15, 400) {
		return o, fmt.Errorf("--tempo %g: write quarter notes a minute, from 15 to 400", o.QPM)
	}
	o.A4, _ = f.GetFloat64("a4")
	if f.Changed("a4") && !within(o.A4, finding.LowestA4, finding.HighestA4) {
		return o, fmt.Errorf("--a4 %g: write a reference A from %d to %d Hz", o.A4, finding.LowestA4, finding.HighestA4)
	}
	if o.Intonation, err = finding.IntonationByName(text(f, "intonation")); err != nil {
		return o, fmt.Errorf("--%w", err)
	}
	if o.Level, err = finding.LevelByName(text(f, "level")); err != nil {
		return o, fmt.Errorf("--%w", err)
	}
	in, err := fingerboard.ByWord(text(f, "instrument"))
	if err != nil {
		return o, fmt.Errorf("--instrument: %w", err)
	}
	o.Instrument = &in
	if o.Positions, _ = f.GetStringSlice("positions"); len(o.Positions) > 0 {
		if err := in.CheckPositions(o.Positions); err != nil {
			return o, fmt.Errorf("--positions: %w", err)
		}
	}
	return o, nil
}

// within is false for NaN too.
func within(x, least, most float64) bool { return x >= least && x <= most }

func text(f *pflag.FlagSet, name string) string {
	s, _ := f.GetString(name)
	return s
}

// paper is how a hearing is told: with the names of the instrument's strings.
func paper(in *fingerboard.Instrument) (r report.Options) {
	for _, s := range in.Strings {
		r.Strings = append(r.Strings, s.Name)
	}
	return r
}
