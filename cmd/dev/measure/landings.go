package main

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"endpin/dsp/robust"
	"endpin/piece/pupil"
)

// nearLanding is how near a landing must be read to where the hand came down, cents: as near
// as the pitch of a note inside a take is (testdata/figures/notes.md).
const nearLanding = 5.0

// landingWays are whose hand it is and where: the sampled bass and the modelled player.
var landingWays = []struct {
	name  string
	voice voice
	room  room
}{
	{"sampled, quiet", bowed, paceRooms[0]}, {"sampled, room of 0.4 s", bowed, paceRooms[1]}, {"sampled, phone", bowed, paceRooms[2]},
	{"modelled, dry", stringsBowed, room{"dry", rooms[0].change}}, {"modelled, vibrato", stringsBowed, room{"dry", rooms[0].change}},
}

// measureLandings lets a hand come down 30 cents off after one shift, and reads the landings
// of the take: against where the pupil put the frames, and against what is told.
func measureLandings(o options, folder string) error {
	listen, err := listenerFor(o, folder)
	if err != nil {
		return err
	}
	n := cmp.Or(o.seeds, 20)
	fmt.Fprintf(o.out, "Where a hand is read to come down, from where it did, cents (reach: 0.95 within %g; what is told says the same)\n", nearLanding)
	fmt.Fprintf(o.out, "  %-24s %-8s %8s %8s %10s %20s %12s %14s\n", "", "", "landings", "median", "spread", "within", "told", "told otherwise")
	for k, way := range landingWays {
		if !strings.Contains(way.name, o.fault) {
			continue
		}
		var trials []*trial
		for s := range n {
			cents := 30.0
			if s%2 == 1 {
				cents = -30
			}
			t, err := landingTrial(way.voice, way.room, cents, strings.Contains(way.name, "vibrato"), o.seed+int64(1000*k+s))
			if err != nil {
				return err
			}
			trials = append(trials, t)
		}
		if err := together(len(trials), func(i int) error { return trials[i].hear(listen, folder, o.keep != "") }); err != nil {
			return err
		}
		var planted, others readLandings
		for _, t := range trials {
			t.readLandings(&planted, &others)
		}
		planted.print(o, way.name, "planted")
		others.print(o, "", "others")
	}
	return nil
}

// landingTrial is a take in which one hand comes down so many cents off.
func landingTrial(v voice, where room, cents float64, vibrato bool, seed int64) (*trial, error) {
	v.seed = seed
	for try := range int64(100) {
		tuneSeed := seed + 100000*(try+1)
		tune, err := tuneOf(pupil.Style{Marked: true, Measures: 16}, tuneSeed)
		if err != nil {
			return nil, err
		}
		out := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Seed: tuneSeed, Breath: 0.03, Vibrato: vibrato}.Play(pupil.LandsBy(cents))
		if len(out.Expected) == 1 {
			return &trial{name: fmt.Sprintf("landing %s %s %d", v.name, where.name, seed), tune: tune, out: out, level: pupil.Intermediate, voice: v, room: where}, nil
		}
	}
	return nil, fmt.Errorf("no composed tune has a place for a hand %g cents off", cents)
}

// readLandings counts landings as they were read.
type readLandings struct {
	off       []float64 // from where the hand came down, cents
	within    share
	told      int
	otherwise int // told in other cents than the landing has
}

// readLandings compares the landings of a take with where its hands came down.
func (t *trial) readLandings(planted, others *readLandings) {
	type place struct {
		measure string
		beat    int
	}
	at := func(measure string, beat float64) place { return place{measure, int(math.Round(100 * beat))} }
	played := map[place]float64{}
	for _, n := range t.out.Plan.Notes {
		played[at(n.Measure, n.Beat)] = n.Cents
	}
	read := map[place]toldShift{}
	for _, l := range t.heard.Landings {
		read[at(l.Measure, l.Beat)] = l
	}
	told := map[place]float64{}
	for _, f := range t.heard.Findings {
		if strings.HasSuffix(f.Kind, "_after_shift") {
			told[at(f.Measure, f.Beat)] = f.Value
		}
	}
	for _, f := range pupil.Frames(t.tune.Line) {
		if !f.AfterShift {
			continue
		}
		first := t.tune.Line[f.Steps[0]]
		here := at(first.Number, first.Beat)
		l, known := read[here]
		if !known {
			continue
		}
		var cents []float64
		for _, step := range f.Steps {
			cents = append(cents, played[at(t.tune.Line[step].Number, t.tune.Line[step].Beat)])
		}
		to, want := others, t.out.Expected[0]
		if at(want.Measure, want.Beat) == here {
			to = planted
		}
		off := l.Cents - robust.Median(cents)
		to.off = append(to.off, off)
		to.within.see(t.name, math.Abs(off) <= nearLanding)
		if value, known := told[here]; known {
			to.told++
			if math.Abs(value-l.Cents) > 0.1 {
				to.otherwise++
			}
		}
	}
}

func (r *readLandings) print(o options, way, which string) {
	fmt.Fprintf(o.out, "  %-24s %-8s %8d %8.1f %10.1f %20s %12d %14d\n", way, which, len(r.off), robust.Median(r.off), robust.Spread(r.off), r.within, r.told, r.otherwise)
}
