package main

import (
	"cmp"
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"strings"

	"endpin/dsp/rig"
	"endpin/piece/pupil"
)

// way is how a take of the modelled player is played and recorded. All that a way
// leaves open (body, strings, size of the room, level control) is drawn by the seed.
type way struct {
	name    string
	voice   voice
	vibrato bool
	record  func(t *rig.Take, rng *rand.Rand) error
}

func dry(*rig.Take, *rand.Rand) error { return nil }

// inRoom puts the take into a room that rings about so long, s, with the player some
// metres away.
func inRoom(seconds float64) func(*rig.Take, *rand.Rand) error {
	return func(t *rig.Take, rng *rand.Rand) error {
		t.Hall(seconds*(0.9+0.2*rng.Float64()), -5+4*rng.Float64(), rng.Int63())
		return nil
	}
}

// byPhone records in a living room with a phone whose level control lets go within so
// many seconds.
func byPhone(release float64) func(*rig.Take, *rand.Rand) error {
	return func(t *rig.Take, rng *rand.Rand) error {
		t.Hall(0.35*(0.85+0.3*rng.Float64()), -5+4*rng.Float64(), rng.Int63())
		t.WeakBass(90 + 60*rng.Float64())
		t.LevelControl(release/25, release*(0.8+0.4*rng.Float64()), 3, 12)
		t.RoomNoise(-52+6*rng.Float64(), rng.Int63())
		t.BandLimit(7000 + 5000*rng.Float64())
		return t.Encoded("m4a", "64k")
	}
}

func withHum(t *rig.Take, rng *rand.Rand) error {
	t.Hum(50, t.Loudness()-10-7*rng.Float64())
	return nil
}

var ways = []way{
	{"dry", stringsBowed, false, dry},
	{"dry, vibrato", stringsBowed, true, dry},
	{"metronome", stringsBowed, false, func(t *rig.Take, rng *rand.Rand) error {
		t.Metronome(-26+8*rng.Float64(), 1)
		return nil
	}},
	{"room of 0.5 s", stringsBowed, false, inRoom(0.5)},
	{"room of 0.9 s", stringsBowed, false, inRoom(0.9)},
	{"phone, slow control", stringsBowed, false, byPhone(1.5)},
	{"phone, fast control", stringsBowed, false, byPhone(0.15)},
	{"hum", stringsBowed, false, withHum},
	{"ringing at 0.7", stringsRinging, false, dry},
	{"plucked", stringsPlucked, false, dry},
}

// playable are the faults of one note or hand that the modelled player makes, some in
// each take.
var playable = []pupil.Fault{
	pupil.BadShift(2, 99), pupil.StrayFinger, pupil.Late, pupil.Early, pupil.HeldShort, pupil.HeldLong,
	pupil.WrongNote, pupil.Missing, pupil.Extra, pupil.OtherRhythm,
}

// measurePlayer lets the modelled player play each tune twice in each way: with three
// or four faults, and without.
func measurePlayer(o options, folder string) error {
	listen, err := listenerFor(o, folder)
	if err != nil {
		return err
	}
	n := cmp.Or(o.seeds, 6)
	var log strings.Builder
	fmt.Fprintf(o.out, "A modelled player whose strings ring, three or four faults a take, the pace breathing by 3 %%; clean: the same tunes without a fault\n")
	fmt.Fprintf(o.out, "  %-22s %6s %8s %20s %20s %14s %10s %10s %9s\n", "", "takes", "planted", "recall", "precision", "clean, any", "sure", "F1 missed", "F1 extra")
	bowed, loose := &heardWay{}, &heardWay{}
	for k, w := range ways {
		if !strings.Contains(w.name, o.fault) {
			continue
		}
		var faulty, clean []*trial
		for s := range n {
			seed := o.seed + int64(s)
			a, err := w.trial(seed, int64(k), 3+int(seed+int64(k))%2)
			if err != nil {
				return err
			}
			b, err := w.trial(seed, int64(k), 0)
			if err != nil {
				return err
			}
			faulty, clean = append(faulty, a), append(clean, b)
		}
		all := append(append([]*trial{}, faulty...), clean...)
		if err := together(len(all), func(i int) error { return all[i].hear(listen, folder, o.keep != "") }); err != nil {
			return err
		}
		h := &heardWay{}
		for _, t := range all {
			h.add(t, &log)
		}
		h.print(o, w.name)
		if w.voice == stringsBowed {
			bowed.join(h)
		} else {
			loose.join(h)
		}
	}
	bowed.print(o, "bowed, all")
	loose.print(o, "ringing or plucked")
	if o.keep != "" {
		return os.WriteFile(filepath.Join(folder, "player.txt"), []byte(log.String()), 0o644)
	}
	return nil
}

// trial is one take: a tune, a player and a room of the seed's.
func (w way) trial(seed, turn int64, faults int) (*trial, error) {
	rng := rand.New(rand.NewSource(seed*101 + turn))
	t := &trial{level: pupil.Intermediate, voice: w.voice}
	t.voice.seed = seed*7 + turn
	t.room = room{w.name, func(take *rig.Take, s int64) error { return w.record(take, rand.New(rand.NewSource(s+9))) }}
	for try := range int64(50) {
		tuneSeed := 900000 + seed*211 + turn + 50000*try
		tune, err := tuneOf(pupil.Style{Marked: rng.Intn(2) == 0, Pickup: rng.Intn(4) == 0, Slurs: rng.Intn(2) == 0}, tuneSeed)
		if err != nil {
			return nil, err
		}
		player := pupil.Player{Tune: tune, Level: t.level, Scatter: pupil.Careful, Seed: tuneSeed, Vibrato: w.vibrato, Breath: 0.03}
		var plant []pupil.Fault
		for _, i := range rng.Perm(len(playable)) {
			if len(plant) < faults && !(playable[i].NeedsBow && w.voice == stringsPlucked) {
				plant = append(plant, playable[i])
			}
		}
		out := player.Play(plant...)
		if len(out.Expected) < faults {
			continue
		}
		t.tune, t.out = tune, out
		t.name = fmt.Sprintf("%s %d", w.name, seed)
		if faults == 0 {
			t.name += " clean"
		}
		return t, nil
	}
	return nil, fmt.Errorf("no composed tune has a place for %d faults", faults)
}

// heardWay counts what was heard of takes of one way.
type heardWay struct {
	takes                int
	found, right         share
	some, sure           share // clean takes with a finding, with a sure one
	missedHit, missedAll int   // notes missed that were told, and all
	missedTold           int
	extraHit, extraAll   int
	extraTold            int
}

func (h *heardWay) join(other *heardWay) {
	h.takes += other.takes
	h.found.join(other.found)
	h.right.join(other.right)
	h.some.join(other.some)
	h.sure.join(other.sure)
	h.missedHit, h.missedAll, h.missedTold = h.missedHit+other.missedHit, h.missedAll+other.missedAll, h.missedTold+other.missedTold
	h.extraHit, h.extraAll, h.extraTold = h.extraHit+other.extraHit, h.extraAll+other.extraAll, h.extraTold+other.extraTold
}

func (h *heardWay) add(t *trial, log *strings.Builder) {
	v := judge(t.out, t.heard.Findings)
	t.log(log, v)
	isSure := false
	for _, f := range v.mistaken {
		isSure = isSure || f.Trust == "sure"
	}
	if len(t.out.Expected) == 0 {
		h.some.see(t.name, len(v.mistaken) > 0)
		h.sure.see(t.name, isSure)
		for range v.mistaken {
			h.right.see(t.name, false)
		}
	} else {
		h.takes++
		for i := range t.out.Expected {
			h.found.see(t.name, v.found[i])
			if v.found[i] {
				h.right.see(t.name, true)
			}
		}
		for range v.mistaken {
			h.right.see(t.name, false)
		}
	}
	// A wrong note counts as one missed and one too many.
	for i, want := range t.out.Expected {
		if want.Kind == "missing" || want.Kind == "wrong_note" {
			h.missedAll++
			if v.found[i] {
				h.missedHit, h.missedTold = h.missedHit+1, h.missedTold+1
			}
		}
		if want.Kind == "extra" || want.Kind == "wrong_note" {
			h.extraAll++
			if v.found[i] {
				h.extraHit, h.extraTold = h.extraHit+1, h.extraTold+1
			}
		}
	}
	for _, f := range v.mistaken {
		if f.Kind == "missing" || f.Kind == "wrong_note" {
			h.missedTold++
		}
		if f.Kind == "extra" || f.Kind == "wrong_note" {
			h.extraTold++
		}
	}
}

func (h *heardWay) print(o options, name string) {
	if h.found.total().whole == 0 {
		return
	}
	part := func(s share) string { n := s.total(); return fmt.Sprintf("%d of %d", n.part, n.whole) }
	ratio := func(a, b int) float64 { return float64(a) / float64(max(1, b)) }
	fmt.Fprintf(o.out, "  %-22s %6d %8d %20s %20s %14s %10s %10.2f %9.2f\n", name, h.takes, h.found.total().whole, h.found, h.right, part(h.some), part(h.sure),
		f1(ratio(h.missedHit, h.missedTold), ratio(h.missedHit, h.missedAll)), f1(ratio(h.extraHit, h.extraTold), ratio(h.extraHit, h.extraAll)))
}
