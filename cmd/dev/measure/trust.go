package main

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// ofPitch are the kinds that say something of intonation.
var ofPitch = []string{"sharp", "flat", "sharp_after_shift", "flat_after_shift", "narrow_hand", "wide_hand", "uneven", "tuning", "wrong_note"}

// measureTrust counts, of what is told with each trust, how much is right: in takes
// with planted faults, and in those of beginners who make none.
func measureTrust(o options, folder string) error {
	listen, err := listenerFor(o, folder)
	if err != nil {
		return err
	}
	seeds := cmp.Or(o.seeds, 4)
	trials, err := everywhere.trials(o, seeds)
	if err != nil {
		return err
	}
	for s := range 10 * seeds {
		t, err := beginner(o, s, voices[s%len(voices)], s%2 == 1, []room{rooms[0], rooms[0], rooms[1], rooms[2]})
		if err != nil {
			return err
		}
		trials = append(trials, t)
	}
	if err := together(len(trials), func(i int) error { return trials[i].hear(listen, folder, o.keep != "") }); err != nil {
		return err
	}
	told := map[string]*share{}
	var log strings.Builder
	for _, t := range trials {
		v := judge(t.out, t.heard.Findings)
		t.log(&log, v)
		see := func(f toldFault, right bool) {
			about := "time, notes and the rest"
			if slices.Contains(ofPitch, f.Kind) {
				about = "pitch"
			}
			for _, key := range []string{about + " " + f.Trust, "all " + f.Trust} {
				if told[key] == nil {
					told[key] = &share{}
				}
				told[key].see(t.of(), right)
			}
		}
		for _, f := range v.right {
			see(f, true)
		}
		for _, f := range v.mistaken {
			see(f, false)
		}
	}
	fmt.Fprintf(o.out, "Of what is told, how much is right (reach: sure 0.98, fair 0.85; %d takes)\n", len(trials))
	fmt.Fprintf(o.out, "  %-26s %-10s %8s %8s %22s\n", "about", "trust", "right", "false", "share")
	for _, about := range []string{"pitch", "time, notes and the rest", "all"} {
		for _, trust := range []string{"sure", "fair", "not sure"} {
			if right := told[about+" "+trust]; right != nil {
				n := right.total()
				fmt.Fprintf(o.out, "  %-26s %-10s %8d %8d %22s\n", about, trust, n.part, n.whole-n.part, right)
			}
		}
	}
	if o.keep != "" {
		return os.WriteFile(filepath.Join(folder, "trust.txt"), []byte(log.String()), 0o644)
	}
	return nil
}
