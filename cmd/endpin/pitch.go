package main

import (
	"bufio"
	"context"
	"fmt"

	"endpin/cmd/job"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/words"
)

var pitchCommand = command{
	name: "pitch", key: "command.pitch",
	options: instrumentOption,
	run:     pitch,
}

func pitch(c *call) error {
	if len(c.args) != 1 {
		return words.Fault("command.pitch.needs", "line", c.line())
	}
	in, err := instrument(c.flags)
	if err != nil {
		return err
	}
	r, err := recording.Open(c.args[0])
	if err != nil {
		return err
	}
	defer r.Close()
	frames, err := job.Whole(context.Background(), r, job.Listening(&in), dsp.Track, nil)
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
