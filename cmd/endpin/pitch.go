package main

import (
	"bufio"
	"context"
	"fmt"

	"endpin/cmd/job"
	"endpin/dsp"
	"endpin/dsp/recording"
)

var pitchCommand = command{
	name: "pitch", line: "pitch RECORDING",
	about: `print the bare pitch track as CSV
The columns are time_s, f0_hz, aperiodicity and level_db; f0_hz is empty where
there is no pitch.`,
	run: pitch,
}

func pitch(c *call) error {
	if len(c.args) != 1 {
		return fmt.Errorf("pitch needs one recording: endpin %s", c.line)
	}
	r, err := recording.Open(c.args[0])
	if err != nil {
		return err
	}
	defer r.Close()
	frames, err := job.Whole(context.Background(), r, dsp.Bass, dsp.Track, nil)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(c.out)
	fmt.Fprintln(w, "time_s,f0_hz,aperiodicity,level_db")
	for _, f := range frames {
		if f.Voiced {
			fmt.Fprintf(w, "%.4f,%.4f,%.4f,%.1f\n", f.Time, f.Freq, f.Aperiodicity, f.Level)
		} else {
			fmt.Fprintf(w, "%.4f,,%.4f,%.1f\n", f.Time, f.Aperiodicity, f.Level)
		}
	}
	return w.Flush()
}
