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
	table, log, err := everywhere.hear(o, seeds, listen, folder)
	if err != nil {
		return err
	}
	table.print(o)
	if o.keep != "" {
		return os.WriteFile(filepath.Join(folder, "faults.txt"), []byte(log), 0o644)
	}
	return nil
}

// setting is where and on what faults are played; what is named more than once
// is drawn more often.
type setting struct {
	voices []voice
	others []voice // for a fault that cannot be made on the voice drawn
	rooms  []room
}

// everywhere is what the figures are made on. Six rooms in ten are not quiet.
var everywhere = setting{
	voices: []voice{bowed, bowed, plucked, realArco, realPizz},
	others: voices,
	rooms:  append([]room{rooms[0], rooms[0], rooms[0]}, rooms[:7]...),
}

// hear plants every fault in so many tunes and hears them all. The text tells
// what was found, missed and false, take by take.
func (where setting) hear(o options, seeds int, listen listener, folder string) (*faultTable, string, error) {
	var trials []*trial
	for k, fault := range pupil.Catalogue {
		if o.fault != "" && !strings.Contains(fault.Name, o.fault) {
			continue
		}
		for s := range seeds {
			t, err := where.plant(fault, o.seed+int64(1000*k+s))
			if err != nil {
				return nil, "", err
			}
			trials = append(trials, t)
		}
	}
	if err := together(len(trials), func(i int) error { return trials[i].hear(listen, folder, o.keep != "") }); err != nil {
		return nil, "", err
	}
	table := &faultTable{byFault: map[string]*tally{}, falseByKind: map[string]int{}, rightByKind: map[string]int{}, byCondition: map[string]*condition{}}
	var log strings.Builder
	for _, t := range trials {
		table.add(t, &log)
	}
	return table, log.String(), nil
}

// plant composes a tune that has a place for the fault and lets a pupil make it.
func (where setting) plant(fault pupil.Fault, seed int64) (*trial, error) {
	pieces, err := printedPieces()
	if err != nil {
		return nil, err
	}
	rng := rand.New(rand.NewSource(seed))
	v := where.voices[rng.Intn(len(where.voices))]
	for !suits(fault, v) {
		v = where.others[rng.Intn(len(where.others))]
	}
	t := &trial{voice: v, level: pupil.Intermediate, room: where.rooms[rng.Intn(len(where.rooms))]}
	scatter := pupil.Careful
	if rng.Intn(3) == 0 && !fault.NotFirstYear {
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

// counted is all that has a figure to reach: one-note frames have none.
func (f *faultTable) counted() (all tally) {
	for name, c := range f.byFault {
		if !oneNote(name) {
			all.planted, all.found, all.place, all.sure = all.planted+c.planted, all.found+c.found, all.place+c.place, all.sure+c.sure
		}
	}
	return all
}

// told counts the findings, of every kind, that are right and that are false.
func (f *faultTable) told() (right, wrong int) {
	for _, n := range f.rightByKind {
		right += n
	}
	for _, n := range f.falseByKind {
		wrong += n
	}
	return right, wrong
}

func (f *faultTable) print(o options) {
	fmt.Fprintf(o.out, "Planted faults, at least 1.5 × tolerance: right kind, measure and value (reach: recall 0.95, precision 0.95; %d takes)\n", f.takes)
	fmt.Fprintf(o.out, "  %-26s %8s %8s %8s %14s %8s\n", "fault", "planted", "found", "recall", "but for value", "sure")
	for _, fault := range pupil.Catalogue {
		c := f.byFault[fault.Name]
		if c == nil {
			continue
		}
		note := ""
		if oneNote(fault.Name) {
			note = "   (reported, no target)"
		}
		fmt.Fprintf(o.out, "  %-26s %s%s\n", fault.Name, c, note)
	}
	all := f.counted()
	fmt.Fprintf(o.out, "  %-26s %s\n", "all but one-note frames", &all)

	kinds := map[string]bool{}
	for kind := range f.rightByKind {
		kinds[kind] = true
	}
	for kind := range f.falseByKind {
		kinds[kind] = true
	}
	right, wrong := f.told()
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
