package main

import (
	"cmp"
	"fmt"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"strings"

	"endpin/dsp/robust"
	"endpin/piece/pupil"
)

// measureClean plays tunes without a fault: with a beginner's scatter at
// first-year, and carefully at intermediate in every room and manner.
func measureClean(o options, folder string) error {
	listen, err := listenerFor(o, folder)
	if err != nil {
		return err
	}
	n := cmp.Or(o.seeds, 50)
	var log strings.Builder
	fmt.Fprintf(o.out, "Takes without a fault: how many have a finding (not_sure apart)\n")
	fmt.Fprintf(o.out, "  %-40s %-26s %6s %-24s %-24s %6s %9s\n", "", "reach", "takes", "sure, and their share", "any, and their share", "in all", "not sure")

	var scattered []*trial
	for s := range n {
		t, err := beginner(o, s, voices[s%len(voices)], s%2 == 1, []room{rooms[0], rooms[0], rooms[1], rooms[2]})
		if err != nil {
			return err
		}
		scattered = append(scattered, t)
	}
	if err := runClean(o, listen, folder, "beginner's scatter, first-year", "sure 1 in 50, any 1 in 10", scattered, &log); err != nil {
		return err
	}

	few := max(2, n/10)
	careful := func(name string, s pupil.Style, v voice, r room, vibrato bool) error {
		s.Short = v.real != ""
		var trials []*trial
		for i := range few {
			seed := o.seed + 60000 + int64(i)
			tune, err := tuneOf(s, seed)
			if err != nil {
				return err
			}
			t := &trial{name: fmt.Sprintf("careful %s %d", name, i), tune: tune, level: pupil.Intermediate, voice: v, room: r}
			t.out = pupil.Player{Tune: tune, Level: t.level, Scatter: pupil.Careful, Seed: seed, Vibrato: vibrato}.Play()
			trials = append(trials, t)
		}
		return runClean(o, listen, folder, "careful, intermediate: "+name, "", trials, &log)
	}
	for _, r := range rooms {
		if err := careful(r.name, pupil.Style{Marked: true}, bowed, r, false); err != nil {
			return err
		}
	}
	for _, c := range []struct {
		name    string
		style   pupil.Style
		voice   voice
		vibrato bool
	}{
		{"slurs", pupil.Style{Marked: true, Slurs: true}, bowed, false},
		{"vibrato", pupil.Style{Marked: true}, bowed, true},
		{"triplets", pupil.Style{Marked: true, Triplets: true}, bowed, false},
		{"pickup", pupil.Style{Marked: true, Pickup: true}, bowed, false},
		{"unmarked", pupil.Style{}, bowed, false},
		{"plucked", pupil.Style{Marked: true}, plucked, false},
		{"real bowed", pupil.Style{Marked: true}, realArco, false},
		{"real plucked", pupil.Style{Marked: true}, realPizz, false},
	} {
		if err := careful(c.name, c.style, c.voice, rooms[0], c.vibrato); err != nil {
			return err
		}
	}
	if o.keep != "" {
		return os.WriteFile(filepath.Join(folder, "clean.txt"), []byte(log.String()), 0o644)
	}
	return nil
}

// beginner is the s-th take of a first-year pupil who makes no fault but plays
// unevenly, on open strings too if asked, in one of the rooms.
func beginner(o options, s int, v voice, openToo bool, in []room) (*trial, error) {
	rng := rand.New(rand.NewSource(o.seed + int64(s)))
	tune, err := tuneOf(style(rng, v), o.seed+50000+int64(s))
	if err != nil {
		return nil, err
	}
	t := &trial{name: fmt.Sprintf("beginner %d", s), tune: tune, level: pupil.FirstYear, voice: v, room: in[rng.Intn(len(in))]}
	scatter := pupil.Beginner
	scatter.OpenToo = openToo
	t.out = pupil.Player{Tune: tune, Level: t.level, Scatter: scatter, Seed: o.seed + int64(s)}.Play()
	return t, nil
}

func runClean(o options, listen listener, folder, name, reach string, trials []*trial, log *strings.Builder) error {
	c, err := hearClean(o, listen, folder, trials)
	if err != nil {
		return err
	}
	log.WriteString(c.log)
	fmt.Fprintf(o.out, "  %-40s %-26s %6d %-24s %-24s %6d %9d\n", name, reach, len(trials), fmt.Sprint(c.sure.total().part, "  ", c.sure),
		fmt.Sprint(c.some.total().part, "  ", c.some), c.all, c.unsure)
	return nil
}

// falseAlarms counts what was found in takes without a fault.
type falseAlarms struct {
	sure, some  share // takes with a finding of trust sure; with any
	all, unsure int   // findings; not_sure ones, which are none
	log         string
}

func hearClean(o options, listen listener, folder string, trials []*trial) (falseAlarms, error) {
	var c falseAlarms
	if err := together(len(trials), func(i int) error { return trials[i].hear(listen, folder, o.keep != "") }); err != nil {
		return c, err
	}
	for _, t := range trials {
		v := judge(t.out, t.heard.Findings)
		isSure := false
		for _, f := range v.mistaken {
			isSure = isSure || f.Trust == "sure"
			c.log += fmt.Sprintf("%s (%s, %s): %s measure %s-%s beat %g value %.2f %s: %s\n", t.name, t.voice.name, t.room.name, f.Kind, f.Measure, f.ToMeasure, f.Beat, f.Value, f.Trust, f.Text)
		}
		c.sure.see(t.of(), isSure)
		c.some.see(t.of(), len(v.mistaken) > 0)
		c.all, c.unsure = c.all+len(v.mistaken), c.unsure+v.unsure
	}
	return c, nil
}

// measureAligned compares each note's onset, once aligned to the score, with
// the truth of that same note.
func measureAligned(o options, folder string) error {
	listen, err := listenerFor(o, folder)
	if err != nil {
		return err
	}
	n := cmp.Or(o.seeds, 6)
	fmt.Fprintf(o.out, "Onsets once aligned to the score, ms (reach: median 10, 95 %% 40; a note not found counts as infinitely far)\n")
	fmt.Fprintf(o.out, "  %-18s %6s %8s %8s %8s %10s %14s %14s\n", "", "notes", "median", "95 %", "bias", "not found", "cents median", "cents 95 %")
	for _, v := range voices {
		var trials []*trial
		for s := range n {
			seed := o.seed + 70000 + int64(s)
			tune, err := tuneOf(pupil.Style{Marked: true, Triplets: true, Short: v.real != ""}, seed)
			if err != nil {
				return err
			}
			t := &trial{name: fmt.Sprintf("aligned %s %d", v.name, s), tune: tune, level: pupil.Intermediate, voice: v, room: rooms[0]}
			t.out = pupil.Player{Tune: tune, Level: t.level, Scatter: pupil.Careful, Seed: seed}.Play()
			trials = append(trials, t)
		}
		if err := together(len(trials), func(i int) error { return trials[i].hear(listen, folder, o.keep != "") }); err != nil {
			return err
		}
		var errors, signed, cents []float64
		lost := 0
		for _, t := range trials {
			for _, truth := range t.take.Truth.Notes {
				told := find(t.heard.Notes, truth.Measure, truth.Beat)
				if told == nil {
					lost++
					errors = append(errors, math.Inf(1))
					continue
				}
				errors = append(errors, 1000*math.Abs(told.Onset-truth.HeardS))
				signed = append(signed, 1000*(told.Onset-truth.HeardS))
				cents = append(cents, math.Abs(told.Cents-truth.Cents))
			}
		}
		fmt.Fprintf(o.out, "  %-18s %6d %8.1f %8.1f %8.1f %10d %14.2f %14.2f\n", v.name, len(errors), robust.Median(errors), quantile(errors, 0.95), robust.Median(signed), lost, robust.Median(cents), quantile(cents, 0.95))
	}
	return nil
}

func find(notes []toldNote, measure string, beat float64) *toldNote {
	for i, n := range notes {
		if n.Measure == measure && math.Abs(n.Beat-beat) < 0.01 && n.State == "played" {
			return &notes[i]
		}
	}
	return nil
}
