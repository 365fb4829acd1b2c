package main

import (
	"cmp"
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"endpin/dsp/rig"
	"endpin/piece/notation"
	"endpin/piece/pupil"
)

// paceRooms are where whole takes are played: dry, in a room of 0.4 s, through a phone.
var paceRooms = []room{
	rooms[0],
	{"room of 0.4 s", func(t *rig.Take, s int64) error { t.Reverb(0.4, -10, s); return nil }},
	rooms[2],
}

// paceFaults are what a whole take may be played like; breathing and broadening are none.
var paceFaults = []pupil.Fault{pupil.SlowerPassage, pupil.FasterPassage, pupil.Hesitation, pupil.Hesitations, pupil.LongStop, pupil.EndsEarly,
	pupil.AllShort, pupil.Breathing, pupil.Broadening}

// beside are the single faults that are planted beside them.
var beside = []pupil.Fault{pupil.Late, pupil.Early, pupil.WrongNote, pupil.Missing, pupil.StrayFinger, pupil.OtherRhythm}

// measurePace plants what a whole take may be played like, alone and beside two single
// faults: first many takes as onsets alone, then fewer as sound.
func measurePace(o options, folder string) error {
	listen, err := listenerFor(o, folder)
	if err != nil {
		return err
	}
	n := cmp.Or(o.seeds, 4)
	var log strings.Builder
	fmt.Fprintf(o.out, "Whole takes: told within a measure at either end, its pace within 3 %% (reach: 0.95; faults beside at recall 0.90, precision 0.95; clean 0.95)\n")
	fmt.Fprintf(o.out, "  %-14s %-24s %-7s %6s %20s %20s %20s %20s\n", "", "", "beside", "takes", "told", "but for value", "faults beside", "takes told nothing false")
	in := append([]room{{name: "onsets alone"}}, paceRooms...)
	if o.alone {
		in = in[:1]
	}
	for _, where := range in {
		seeds := n
		if where.change == nil {
			seeds = 20 * n
		}
		for k, fault := range paceFaults {
			if o.fault != "" && !strings.Contains(fault.Name, o.fault) {
				continue
			}
			for _, others := range []int{0, 2} {
				var trials []*trial
				for s := range seeds {
					t, err := wholeTake(fault, others, where, o.seed+int64(1000*k+500*others+s))
					if err != nil {
						return err
					}
					trials = append(trials, t)
				}
				err := together(len(trials), func(i int) error {
					if where.change == nil {
						return trials[i].judgeOnsets()
					}
					return trials[i].hear(listen, folder, o.keep != "")
				})
				if err != nil {
					return err
				}
				var c wholeCount
				for _, t := range trials {
					c.add(t, fault.Name, &log)
				}
				fmt.Fprintf(o.out, "  %-14s %-24s %-7d %6d %20s %20s %20s %20s\n", where.name, fault.Name, others, len(trials), c.told, c.place, c.beside, c.clean)
			}
		}
	}
	if o.keep != "" {
		return os.WriteFile(filepath.Join(folder, "pace.txt"), []byte(log.String()), 0o644)
	}
	return nil
}

// wholeTake plants a fault and so many single ones in a tune that has room for them.
func wholeTake(fault pupil.Fault, others int, where room, seed int64) (*trial, error) {
	rng := rand.New(rand.NewSource(seed))
	for try := range int64(200) {
		tuneSeed := seed + 100000*(try+1)
		tune, err := tuneOf(pupil.Style{Marked: true, Measures: 16, Pickup: rng.Intn(4) == 0, Triplets: rng.Intn(4) == 0}, tuneSeed)
		if err != nil {
			return nil, err
		}
		var faults []pupil.Fault
		for _, k := range rng.Perm(len(beside))[:others] {
			faults = append(faults, beside[k])
		}
		out := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Seed: tuneSeed}.Play(append(faults, fault)...)
		planted := map[string]bool{fault.Name: fault.Name == pupil.Breathing.Name || fault.Name == pupil.Broadening.Name}
		for _, f := range out.Expected {
			planted[f.Fault] = true
		}
		if !slices.ContainsFunc(append(faults, fault), func(f pupil.Fault) bool { return !planted[f.Name] }) {
			return &trial{name: fmt.Sprintf("%s %d %s %d", fault.Name, others, where.name, seed), tune: tune, out: out, level: pupil.Intermediate, voice: bowed, room: where}, nil
		}
	}
	return nil, fmt.Errorf("no composed tune has a place for %q and %d faults beside", fault.Name, others)
}

// judgeOnsets judges the trial without sound.
func (t *trial) judgeOnsets() error {
	t.sheet.data = t.tune.MusicXML()
	read, err := notation.Read("tune.musicxml", t.sheet.data)
	if err != nil {
		return err
	}
	t.heard, err = judged(t, read, t.out.Heard())
	return err
}

// wholeCount counts takes that were played like one thing.
type wholeCount struct{ told, place, beside, clean share }

func (c *wholeCount) add(t *trial, fault string, log *strings.Builder) {
	v := judge(t.out, t.heard.Findings)
	fmt.Fprintf(log, "%s: %s\n", t.name, t.tune.Piece.Title)
	for i, want := range t.out.Expected {
		word := "MISSED"
		if v.place[i] {
			word = "VALUE OFF"
		}
		if v.found[i] {
			word = "found"
		}
		fmt.Fprintf(log, "  %-9s %-16s measure %s-%s beat %g value %.2f (%s)\n", word, want.Kind, want.Measure, want.ToMeasure, want.Beat, want.Value, want.Fault)
		if want.Fault == fault {
			c.told.see(t.of(), v.found[i])
			c.place.see(t.of(), v.place[i])
		} else {
			c.beside.see(t.of(), v.found[i])
		}
	}
	for _, got := range v.mistaken {
		fmt.Fprintf(log, "  FALSE     %-16s measure %s-%s beat %g value %.2f %s: %s\n", got.Kind, got.Measure, got.ToMeasure, got.Beat, got.Value, got.Trust, got.Text)
	}
	c.clean.see(t.of(), len(v.mistaken) == 0)
}
