package main

import (
	"strings"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/report"
	"endpin/piece/words"
)

// hearOptions are the options of hear.
func hearOptions(f *pflag.FlagSet) {
	f.String("part", "", words.Say("command.option.part"))
	judgingOptions(f)
	f.String("report", "", words.Say("command.option.report"))
	f.String("a4-from", "", words.Say("command.option.a4-from"))
	replaceOption(f)
}

// judgingOptions say how a take is judged and told. What stands between
// backquotes stands for the value in the help.
func judgingOptions(f *pflag.FlagSet) {
	f.String("measures", "", words.Say("command.option.measures"))
	f.Float64("tempo", 0, words.Say("command.option.tempo"))
	f.Float64("a4", 0, words.Say("command.option.a4"))
	f.String("intonation", "equal", words.Say("command.option.intonation"))
	f.String("level", "intermediate", words.Say("command.option.level"))
	instrumentOption(f)
	f.String("school", "", words.Say("command.option.school", "names", schools()))
	f.StringSlice("positions", nil, words.Say("command.option.positions"))
	f.String("json", "", words.Say("command.option.json"))
}

func instrumentOption(f *pflag.FlagSet) {
	f.String("instrument", "bass", words.Say("command.option.instrument", "names", instruments()))
}

// instrument reads that option.
func instrument(f *pflag.FlagSet) (fingerboard.Instrument, error) {
	in, err := fingerboard.ByWord(text(f, "instrument"))
	if err != nil {
		return in, words.Fault("command.of-option", "option", "instrument", "reason", err)
	}
	return in, nil
}

func instruments() words.Linked {
	var names []string
	for _, n := range fingerboard.Instruments() {
		names = append(names, n.Word)
	}
	return words.Row(names...)
}

func schools() words.Linked {
	var names []string
	for _, s := range fingerboard.Schools() {
		names = append(names, s.Name)
	}
	return words.Row(names...)
}

// judging reads the options that say how a take is judged.
func judging(f *pflag.FlagSet) (o finding.Options, err error) {
	if text(f, "report") == "-" {
		return o, words.Fault("command.report-alone")
	}
	o.Measures = text(f, "measures")
	o.QPM, _ = f.GetFloat64("tempo")
	if f.Changed("tempo") && !within(o.QPM, 15, 400) {
		return o, words.Fault("command.tempo", "typed", typed(f, "tempo"), "least", 15, "most", 400)
	}
	o.A4, _ = f.GetFloat64("a4")
	if f.Changed("a4") && !within(o.A4, finding.LowestA4, finding.HighestA4) {
		return o, words.Fault("command.a4", "typed", typed(f, "a4"), "least", finding.LowestA4, "most", finding.HighestA4)
	}
	if o.Intonation, err = finding.IntonationByName(text(f, "intonation")); err != nil {
		return o, words.Fault("command.intonation", "typed", words.Quoted(text(f, "intonation")))
	}
	if o.Level, err = finding.LevelByName(text(f, "level")); err != nil {
		return o, words.Fault("command.level", "typed", words.Quoted(text(f, "level")))
	}
	in, err := instrument(f)
	if err != nil {
		return o, err
	}
	if typed := text(f, "school"); f.Changed("school") {
		s, err := job.School(typed)
		if err == nil {
			in, err = in.Under(s)
		}
		if err != nil {
			return o, words.Fault("command.of-option", "option", "school", "reason", err)
		}
	}
	o.Instrument = &in
	positions, _ := f.GetStringSlice("positions")
	if o.Positions, err = in.System.Range(strings.Join(positions, ",")); err != nil {
		return o, words.Fault("command.of-option", "option", "positions", "reason", err)
	}
	return o, nil
}

// within is false for NaN too.
func within(x, least, most float64) bool { return x >= least && x <= most }

// typed is a number as an option was given it.
func typed(f *pflag.FlagSet, name string) string { return f.Lookup(name).Value.String() }

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
