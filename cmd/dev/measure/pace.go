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

// played is what a whole take is played like.
type played struct {
	pupil.Fault
	level pupil.Level
	none  bool // it is no fault
}

var wholeTakes = func() []played {
	all := []played{}
	for _, f := range []pupil.Fault{pupil.SlowerPassage, pupil.FasterPassage, pupil.Hesitation, pupil.Hesitations, pupil.LongStop, pupil.EndsEarly,
		pupil.AllShort, pupil.LateAfterShifts, pupil.KeyForgotten, pupil.NarrowAndOff, pupil.ScatteredBy(25, true), pupil.ScatteredBy(40, true)} {
		all = append(all, played{Fault: f, level: pupil.Intermediate})
	}
	all = append(all, played{Fault: pupil.ScatteredBy(30, true), level: pupil.FirstYear})
	for _, f := range []pupil.Fault{pupil.Breathing, pupil.Broadening, pupil.ScatteredBy(10, false)} {
		all = append(all, played{Fault: f, level: pupil.Intermediate, none: true})
	}
	return append(all, played{Fault: pupil.ScatteredBy(14, false), level: pupil.FirstYear, none: true})
}()

// beside are the single faults that are planted beside them.
var beside = []pupil.Fault{pupil.Late, pupil.Early, pupil.WrongNote, pupil.Missing, pupil.StrayFinger, pupil.OtherRhythm}

// measurePace plants what a whole take may be played like, alone and beside two single
// faults: first many takes as onsets alone, then fewer as sound.
func measurePace(o options, folder string) error {
	listen, err := listenerFor(o, folder)
	if err != nil {
		return err
	}
	n := cmp.Or(o.seeds, 20)
	var log strings.Builder
	fmt.Fprintf(o.out, "Whole takes: told within a measure at either end, its pace within 3 %% (reach: 0.95; faults beside at recall 0.90, precision 0.95; clean 0.95)\n")
	fmt.Fprintf(o.out, "  %-14s %-32s %-7s %6s %20s %20s %20s %20s %20s %20s\n", "", "", "beside", "takes", "told", "but for value", "said first", "beside, recall", "precision", "told nothing false")
	in := append([]room{{name: "onsets alone"}}, paceRooms...)
	if o.alone {
		in = in[:1]
	}
	besides := map[string]map[string]*share{}
	for _, where := range in {
		seeds := n
		if where.change == nil {
			seeds = 3 * n
		}
		found := map[string]*share{}
		besides[where.name] = found
		for k, like := range wholeTakes {
			name := like.Name
			if like.level != pupil.Intermediate {
				name += ", " + like.level.Name
			}
			if o.fault != "" && !strings.Contains(name, o.fault) {
				continue
			}
			for _, others := range []int{0, 2} {
				var trials []*trial
				for s := range seeds {
					t, err := like.trial(others, where, o.seed+int64(1000*k+500*(others/2)+s))
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
					c.add(t, like.Name, found, &log)
				}
				fmt.Fprintf(o.out, "  %-14s %-32s %-7d %6d %20s %20s %20s %20s %20s %20s\n", where.name, name, others, len(trials), c.told, c.place, c.first, c.beside, c.right, c.clean)
			}
		}
	}
	fmt.Fprintf(o.out, "Single faults beside them, of those planted\n")
	for _, where := range in {
		for _, f := range beside {
			if s := besides[where.name][f.Name]; s != nil {
				n := s.total()
				fmt.Fprintf(o.out, "  %-14s %-32s %6d %20s\n", where.name, f.Name, n.whole, *s)
			}
		}
	}
	if o.keep != "" {
		return os.WriteFile(filepath.Join(folder, "pace.txt"), []byte(log.String()), 0o644)
	}
	return nil
}

// trial plants what a take is played like, and so many single faults, in a tune that has
// room for them.
func (like *played) trial(others int, where room, seed int64) (*trial, error) {
	rng := rand.New(rand.NewSource(seed))
	scattered := strings.HasPrefix(like.Name, "scatter")
	scatter := pupil.Careful
	if scattered { // the scatter planted is all there is
		scatter.Cents = 0
	}
	for try := range int64(400) {
		tuneSeed := seed + 100000*(try+1)
		tune, err := tuneOf(pupil.Style{Marked: true, Measures: 16, Pickup: rng.Intn(4) == 0, Triplets: rng.Intn(4) == 0}, tuneSeed)
		if err != nil {
			return nil, err
		}
		var faults []pupil.Fault
		for _, k := range rng.Perm(len(beside)) {
			if (scattered || like.Name == pupil.NarrowAndOff.Name) && beside[k].Name == pupil.StrayFinger.Name ||
				like.Name == pupil.LateAfterShifts.Name && beside[k].Name == pupil.Late.Name {
				continue // one more off among many is not told by itself
			}
			if len(faults) < others {
				faults = append(faults, beside[k])
			}
		}
		out := pupil.Player{Tune: tune, Level: like.level, Scatter: scatter, Seed: tuneSeed}.Play(append(faults, like.Fault)...)
		planted := map[string]bool{like.Name: like.none}
		for _, f := range out.Expected {
			planted[f.Fault] = true
		}
		if like.Name == pupil.NarrowAndOff.Name {
			planted[like.Name] = len(out.Expected) == others+2
		}
		if !slices.ContainsFunc(append(faults, like.Fault), func(f pupil.Fault) bool { return !planted[f.Name] }) {
			return &trial{name: fmt.Sprintf("%s %d %s %d", like.Name, others, where.name, seed), tune: tune, out: out, level: like.level, voice: bowed, room: where}, nil
		}
	}
	return nil, fmt.Errorf("no composed tune has a place for %q and %d faults beside", like.Name, others)
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
type wholeCount struct{ told, place, first, beside, right, clean share }

// add counts a take; found counts the faults beside by their names.
func (c *wholeCount) add(t *trial, fault string, found map[string]*share, log *strings.Builder) {
	v := judge(t.out, t.heard.Findings)
	fmt.Fprintf(log, "%s: %s\n", t.name, t.tune.Piece.Title)
	told, place, expected := true, true, false
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
			told, place, expected = told && v.found[i], place && v.place[i], true
			continue
		}
		c.beside.see(t.of(), v.found[i])
		if found[want.Fault] == nil {
			found[want.Fault] = &share{}
		}
		found[want.Fault].see(t.of(), v.found[i])
	}
	if expected {
		c.told.see(t.of(), told)
		c.place.see(t.of(), place)
	}
	if len(t.out.Expected) > 0 {
		c.first.see(t.of(), t.saidFirst())
	}
	for range v.right {
		c.right.see(t.of(), true)
	}
	for _, got := range v.mistaken {
		c.right.see(t.of(), false)
		fmt.Fprintf(log, "  FALSE     %-16s measure %s-%s beat %g value %.2f %s: %s\n", got.Kind, got.Measure, got.ToMeasure, got.Beat, got.Value, got.Trust, got.Text)
	}
	c.clean.see(t.of(), len(v.mistaken) == 0)
}

// saidFirst reports whether the first sentence about the take names what was planted: it
// tells of what is worth fixing first, and where that is nothing, of what is no fault.
func (t *trial) saidFirst() bool {
	samePlace := places(t.out.Tune.Piece).same
	of := slices.IndexFunc(t.heard.Findings, func(f toldFault) bool { return f.Kind == "stopped" })
	if len(t.heard.Worth) > 0 {
		of = t.heard.Worth[0]
	}
	return of >= 0 && slices.ContainsFunc(t.out.Expected, func(want pupil.Finding) bool { return samePlace(want, t.heard.Findings[of]) })
}
