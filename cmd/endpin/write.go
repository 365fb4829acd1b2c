package main

import (
	"fmt"
	"os"

	"github.com/spf13/pflag"
)

// keeps says that no file asked for would take the place of one that is read.
func keeps(f *pflag.FlagSet, read ...string) error {
	for _, option := range []string{"report", "json", "musicxml"} {
		out := text(f, option)
		if out == "" || out == "-" {
			continue
		}
		for _, in := range read {
			a, errA := os.Stat(out)
			b, errB := os.Stat(in)
			if errA == nil && errB == nil && os.SameFile(a, b) {
				return fmt.Errorf("--%s %s: would write over what is to be read: give it another name", option, out)
			}
		}
	}
	return nil
}
