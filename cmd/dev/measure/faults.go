package main

import (
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"endpin/piece/pupil"
)

// measureFaults plants every fault in several tunes, alone or beside a second
// one, at two levels, on four instruments and in several rooms.
func measureFaults(o options) error {
	folder, done, err := keepFolder(o)
	if err != nil {
		return err
	}
	defer done()
	listen, err := listenerFor(o, folder)
	if err != nil {
		return err
	}
	seeds := o.seeds
	if seeds == 0 {
		seeds = 8
	}
	var trials []*trial
	for k, fault := range pupil.Catalogue {
		if o.fault != "" && !strings.Contains(fault.Name, o.fault) {
			continue
		}
		for s := range seeds {
			t, err := plant(fault, o.seed+int64(1000*k+s))
			if err != nil {
				return err
			}
			if t != nil {
				trials = append(trials, t)
			}
		}
	}
	if err := together(len(trials), func(i int) error { return trials[i].hear(listen, folder, o.keep != "") }); err != nil {
		return err
	}
	table := faultTable{byFault: map[string]*tally{}, falseByKind: map[string]int{}, rightByKind: map[string]int{}, byCondition: map[string]*condition{}}
	var log strings.Builder
	for _, t := range trials {
		table.add(t, &log)
	}
	table.print(o)
	if o.keep != "" {
		return os.WriteFile(filepath.Join(folder, "faults.txt"), []byte(log.String()), 0o644)
	}
	return nil
}

// plant composes a tune that has a place for the fault and lets a pupil make it.
func plant(fault pupil.Fault, seed int64) (*trial, error) {
	pieces, err := printedPieces()
	if err != nil {
		return nil, err
	}
	rng := rand.New(rand.NewSource(seed))
	v := []voice{bowed, bowed, plucked, realArco, realPizz}[rng.Intn(5)]
	for !suits(fault, v) {
		v = voices[rng.Intn(len(voices))]
	}
	t := &trial{voice: v, level: pupil.Intermediate, room: rooms[[]int{0, 0, 0, 0, 1, 2, 3, 4, 5, 6}[rng.Intn(10)]]}
	scatter := pupil.Careful
	if rng.Intn(3) == 0 {
		t.level, scatter = pupil.FirstYear, pupil.Scatter{Cents: 7, OnsetMS: 25}
	}
	faults := []pupil.Fault{fault}
	second := pupil.Catalogue[rng.Intn(len(pupil.Catalogue))]
	if rng.Intn(3) == 0 && second.Name != fault.Name && suits(second, v) && !(fault.Structural && second.Structural) {
		if fault.Structural {
			faults = []pupil.Fault{second, fault}
		} else {
			faults = append(faults, second)
		}
	}
	for try := range int64(200) {
		tuneSeed := seed + 100000*try
		var tune *pupil.Tune
		t.sheet = printed{}
		if v.real == "" && rng.Intn(4) == 0 {
			t.sheet = pieces[rng.Intn(len(pieces))]
			tune, err = t.sheet.tune()
		} else {
			tune, err = tuneOf(style(rng, v), tuneSeed)
		}
		if err != nil {
			return nil, err
		}
		player := pupil.Player{Tune: tune, Level: t.level, Scatter: scatter, Seed: tuneSeed}
		out := player.Play(faults...)
		for _, f := range out.Expected {
			if f.Fault == fault.Name {
				t.tune, t.out = tune, out
				t.name = fmt.Sprintf("%s %d", fault.Name, seed)
				return t, nil
			}
		}
	}
	return nil, fmt.Errorf("no composed tune has a place for %q", fault.Name)
}

// suits says that a fault can be made on a voice.
func suits(f pupil.Fault, v voice) bool {
	switch {
	case f.NeedsBow && (v == plucked || v == realPizz), f.NotRecorded && v.real != "", f.NeedsPitch && v == realPizz:
		return false
	}
	return true
}

// tally counts one fault.
type tally struct{ planted, found, place, sure int }

// condition counts the takes that share an instrument, a room, a level or a
// kind of page, one-note frames apart.
type condition struct {
	tally
	takes, mistaken int
}

type faultTable struct {
	byFault                  map[string]*tally
	falseByKind, rightByKind map[string]int
	byCondition              map[string]*condition
	unsure, takes            int
}

func (f *faultTable) add(t *trial, log *strings.Builder) {
	v := judge(t.out, t.heard.Findings)
	f.takes++
	f.unsure += v.unsure
	fmt.Fprintf(log, "%s: %s, %s, %s, %s, marked %v\n", t.name, t.tune.Piece.Title, t.voice.name, t.room.name, t.level.Name, t.tune.Line[0].Marks.Finger != "")
	conditions := f.conditions(t)
	for _, c := range conditions {
		c.takes++
		c.mistaken += len(v.mistaken)
		for i, want := range t.out.Expected {
			if !oneNote(want.Fault) {
				c.planted++
				if v.found[i] {
					c.found++
				}
			}
		}
	}
	for i, want := range t.out.Expected {
		c := f.byFault[want.Fault]
		if c == nil {
			c = &tally{}
			f.byFault[want.Fault] = c
		}
		c.planted++
		word := "MISSED"
		if v.place[i] {
			c.place++
			word = "VALUE OFF"
		}
		if v.found[i] {
			c.found++
			f.rightByKind[want.Kind]++
			word = "found"
		}
		if v.sure[i] {
			c.sure++
		}
		fmt.Fprintf(log, "  %-9s %-18s measure %s-%s beat %g value %.2f frame %d (%s)\n", word, want.Kind, want.Measure, want.ToMeasure, want.Beat, want.Value, want.FrameSize, want.Fault)
	}
	for _, got := range v.mistaken {
		f.falseByKind[got.Kind]++
		fmt.Fprintf(log, "  FALSE     %-18s measure %s-%s beat %g value %.2f %s: %s\n", got.Kind, got.Measure, got.ToMeasure, got.Beat, got.Value, got.Trust, got.Text)
	}
}

// conditions are the lines that a take counts towards.
func (f *faultTable) conditions(t *trial) []*condition {
	page := "a piece of testdata/pieces"
	if t.sheet.file == "" {
		page = "composed, unmarked"
		if t.tune.Line[0].Marks.Finger != "" {
			page = "composed, marked"
		}
	}
	var all []*condition
	for _, name := range []string{"page: " + page, "level: " + t.level.Name, "room: " + t.room.name, "sound: " + t.voice.name} {
		if f.byCondition[name] == nil {
			f.byCondition[name] = &condition{}
		}
		all = append(all, f.byCondition[name])
	}
	return all
}

func oneNote(fault string) bool {
	return strings.HasSuffix(fault, "1 note") || fault == pupil.CorrectedLanding.Name
}

func (f *faultTable) print(o options) {
	fmt.Fprintf(o.out, "Planted faults, at least 1.5 × tolerance: right kind, measure and value (reach: recall 0.95, precision 0.95; %d takes)\n", f.takes)
	fmt.Fprintf(o.out, "  %-26s %8s %8s %8s %14s %8s\n", "fault", "planted", "found", "recall", "but for value", "sure")
	var all tally
	for _, fault := range pupil.Catalogue {
		c := f.byFault[fault.Name]
		if c == nil {
			continue
		}
		note := ""
		if oneNote(fault.Name) {
			note = "   (reported, no target)"
		} else {
			all.planted, all.found, all.place, all.sure = all.planted+c.planted, all.found+c.found, all.place+c.place, all.sure+c.sure
		}
		fmt.Fprintf(o.out, "  %-26s %s%s\n", fault.Name, c, note)
	}
	fmt.Fprintf(o.out, "  %-26s %s\n", "all but one-note frames", &all)

	kinds := map[string]bool{}
	right, wrong := 0, 0
	for kind, n := range f.rightByKind {
		kinds[kind], right = true, right+n
	}
	for kind, n := range f.falseByKind {
		kinds[kind], wrong = true, wrong+n
	}
	var sorted []string
	for kind := range kinds {
		sorted = append(sorted, kind)
	}
	sort.Strings(sorted)
	fmt.Fprintf(o.out, "  %-26s %8s %8s %9s\n", "told as", "right", "false", "precision")
	for _, kind := range sorted {
		fmt.Fprintf(o.out, "  %-26s %8d %8d %9s\n", kind, f.rightByKind[kind], f.falseByKind[kind], share(f.rightByKind[kind], f.rightByKind[kind]+f.falseByKind[kind]))
	}
	fmt.Fprintf(o.out, "  %-26s %8d %8d %9s   (and %d times not_sure)\n", "all", right, wrong, share(right, right+wrong), f.unsure)

	sorted = sorted[:0]
	for name := range f.byCondition {
		sorted = append(sorted, name)
	}
	sort.Strings(sorted)
	fmt.Fprintf(o.out, "  %-34s %8s %8s %8s %14s\n", "all but one-note frames, by", "takes", "planted", "recall", "false a take")
	for _, name := range sorted {
		c := f.byCondition[name]
		fmt.Fprintf(o.out, "  %-34s %8d %8d %8s %14.2f\n", name, c.takes, c.planted, share(c.found, c.planted), float64(c.mistaken)/float64(c.takes))
	}
}

func (c *tally) String() string {
	return fmt.Sprintf("%8d %8d %8s %14s %8s", c.planted, c.found, share(c.found, c.planted), share(c.place, c.planted), share(c.sure, c.planted))
}

func share(part, whole int) string {
	if whole == 0 {
		return "-"
	}
	return fmt.Sprintf("%.3f", float64(part)/float64(whole))
}
