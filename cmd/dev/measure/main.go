package main

import (
	"fmt"
	"os"

	"flag"
)

// options is what the command line asks for.
type options struct {
	seeds  int
	seed   int64
	keep   string
	fault  string
	alone  bool
	inside bool
	out    *os.File
}

// row is one part of the table.
type row struct {
	name string
	run  func(options) error
}

var rows = []row{
	{"pitch", measurePitch},
	{"onsets", measureOnsets},
	{"notes", measureNotes},
	{"aligned", measureAligned},
	{"faults", measureFaults},
	{"clean", measureClean},
	{"formats", measureFormats},
	{"speed", measureSpeed},
	{"class", measureClass},
}

func main() {
	only := flag.String("only", "", "one part: pitch, onsets, notes, aligned, faults, clean, formats, speed or class")
	var o options
	flag.IntVar(&o.seeds, "seeds", 0, "how many tunes a row; 0 for the row's own number")
	flag.Int64Var(&o.seed, "seed", 1, "the first seed")
	flag.StringVar(&o.keep, "keep", "", "a folder that keeps each take and its truth")
	flag.BoolVar(&o.alone, "alone", false, "without aubio and Praat, which take most of the time")
	flag.BoolVar(&o.inside, "inside", false, "judge in this process instead of running endpin hear")
	flag.StringVar(&o.fault, "fault", "", "of the faults, only those with this in their name")
	flag.Parse()
	o.out = os.Stdout
	failed := false
	known := false
	for _, r := range rows {
		if *only != "" && *only != r.name {
			continue
		}
		known = true
		if err := r.run(o); err != nil {
			fmt.Fprintf(os.Stdout, "%s: not measured: %v\n", r.name, err)
			failed = true
		}
	}
	if !known {
		fmt.Fprintf(os.Stderr, "measure: no part called %q\n", *only)
		os.Exit(2)
	}
	if failed {
		os.Exit(1)
	}
}
