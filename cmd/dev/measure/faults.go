package main

import (
	"cmp"
	"fmt"
	"maps"
	"math/rand"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"endpin/piece/pupil"
)

// measureFaults plants every fault in several tunes, alone or beside a second
// one, at two levels, on four instruments and in several rooms.
func measureFaults(o options, folder string) error {
	listen, err := listenerFor(o, folder)
	if err != nil {
		return err
	}
	seeds := cmp.Or(o.seeds, 8)
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

// trials plants every fault in so many tunes.
func (where setting) trials(o options, seeds int) ([]*trial, error) {
	var trials []*trial
	for k, fault := range pupil.Catalogue {
		if o.fault != "" && !strings.Contains(fault.Name, o.fault) {
			continue
		}
		for s := range seeds {
			t, err := where.plant(fault, o.seed+int64(1000*k+s))
			if err != nil {
				return nil, err
			}
			trials = append(trials, t)
		}
	}
	return trials, nil
}

// hear plants every fault in so many tunes and hears them all. The text tells
// what was found, missed and false, take by take.
func (where setting) hear(o options, seeds int, listen listener, folder string) (*faultTable, string, error) {
	trials, err := where.trials(o, seeds)
	if err != nil {
		return nil, "", err
	}
	if err := together(len(trials), func(i int) error { return trials[i].hear(listen, folder, o.keep != "") }); err != nil {
		return nil, "", err
	}
	table := &faultTable{byFault: map[string]*tally{}, byKind: map[string]*share{}, byCondition: map[string]*condition{}}
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

// tally counts one fault, of those that were planted.
type tally struct{ found, place, sure share }

// condition counts the takes that share an instrument, a room, a level or a
// kind of page, one-note frames apart.
type condition struct {
	found           share
	takes, mistaken int
}

type faultTable struct {
	byFault       map[string]*tally
	byKind        map[string]*share // of what was told, what is right
	byCondition   map[string]*condition
	unsure, takes int
}

func (f *faultTable) add(t *trial, log *strings.Builder) {
	v := judge(t.out, t.heard.Findings)
	f.takes++
	f.unsure += v.unsure
	t.log(log, v)
	conditions := f.conditions(t)
	for _, c := range conditions {
		c.takes++
		c.mistaken += len(v.mistaken)
		for i, want := range t.out.Expected {
			if !oneNote(want.Fault) {
				c.found.see(t.of(), v.found[i])
			}
		}
	}
	for i, want := range t.out.Expected {
		c := f.byFault[want.Fault]
		if c == nil {
			c = &tally{}
			f.byFault[want.Fault] = c
		}
		c.found.see(t.of(), v.found[i])
		c.place.see(t.of(), v.place[i])
		c.sure.see(t.of(), v.sure[i])
		if v.found[i] {
			f.tell(t, want.Kind, true)
		}
	}
	for _, got := range v.mistaken {
		f.tell(t, got.Kind, false)
	}
}

// tell counts one finding that was told.
func (f *faultTable) tell(t *trial, kind string, right bool) {
	if f.byKind[kind] == nil {
		f.byKind[kind] = &share{}
	}
	f.byKind[kind].see(t.of(), right)
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
			all.found.join(c.found)
			all.place.join(c.place)
			all.sure.join(c.sure)
		}
	}
	return all
}

// told is how much of what was told, of every kind, is right.
func (f *faultTable) told() (right share) {
	for _, kind := range f.byKind {
		right.join(*kind)
	}
	return right
}

func (f *faultTable) print(o options) {
	fmt.Fprintf(o.out, "Planted faults, at least 1.5 × tolerance: right kind, measure and value (reach: recall 0.95, precision 0.95; %d takes)\n", f.takes)
	fmt.Fprintf(o.out, "  %-26s %8s %8s %20s %20s %20s\n", "fault", "planted", "found", "recall", "but for value", "sure")
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

	row := func(name string, right share, more string) {
		n := right.total()
		fmt.Fprintf(o.out, "  %-26s %8d %8d %20s%s\n", name, n.part, n.whole-n.part, right, more)
	}
	fmt.Fprintf(o.out, "  %-26s %8s %8s %20s\n", "told as", "right", "false", "precision")
	for _, kind := range slices.Sorted(maps.Keys(f.byKind)) {
		row(kind, *f.byKind[kind], "")
	}
	row("all", f.told(), fmt.Sprintf("   (and %d times not_sure)", f.unsure))

	fmt.Fprintf(o.out, "  %-34s %8s %8s %20s %14s\n", "all but one-note frames, by", "takes", "planted", "recall", "false a take")
	for _, name := range slices.Sorted(maps.Keys(f.byCondition)) {
		c := f.byCondition[name]
		fmt.Fprintf(o.out, "  %-34s %8d %8d %20s %14.2f\n", name, c.takes, c.found.total().whole, c.found, float64(c.mistaken)/float64(c.takes))
	}
}

func (c *tally) String() string {
	n := c.found.total()
	return fmt.Sprintf("%8d %8d %20s %20s %20s", n.whole, n.part, c.found, c.place, c.sure)
}
