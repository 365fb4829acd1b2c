package main

import (
	"fmt"

	"endpin/dsp/rig"
	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/pupil"
)

// seed is the player's: of the small unevenness in everything played. It was
// not chosen.
const seed = 1

// The mistakes. Each is beyond what the intermediate level lets pass.
const (
	frameCents = 30  // the hand lands this much sharp
	lateMS     = 250 // an entrance after a rest
	shortHold  = 0.5 // of a half note
	highMIDI   = 1   // the fourth finger falls where the second is written
)

// peakDB is the loudest of the playing, dB re full scale: a phone some way off.
const peakDB = -15

// perform lets a careful pupil play the demo piece and makes four mistakes in
// it, each at the place where a pupil would make it.
func perform(score []byte) (*pupil.Performance, error) {
	p, err := notation.Read("demo.musicxml", score)
	if err != nil {
		return nil, err
	}
	tune, err := pupil.FromPiece(p)
	if err != nil {
		return nil, err
	}
	out := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Program: rig.Bowed, Seed: seed}.Play()
	out.Plan.Take, out.Plan.PeakDB, out.Plan.NoiseDB = "demo", peakDB, nil
	d := demo{out}
	return out, d.mistakes()
}

// demo is the performance while mistakes are made in it. Its notes are those of
// the line, in order.
type demo struct{ *pupil.Performance }

func (d demo) mistakes() error {
	for _, make := range []func() error{d.landSharp, d.enterLate, d.playHigh, d.letGoEarly} {
		if err := make(); err != nil {
			return err
		}
	}
	return nil
}

// landSharp displaces all that is played between the shift to third position in
// measure 5 and the shift back in measure 7.
func (d demo) landSharp() error {
	for _, f := range pupil.Frames(d.Tune.Line) {
		first := d.Tune.Line[f.Steps[0]]
		if !f.AfterShift || first.Number != "5" || first.Position != "3" {
			continue
		}
		for _, step := range f.Steps {
			d.Plan.Notes[step].Cents += frameCents
		}
		last := d.Tune.Line[f.Steps[len(f.Steps)-1]]
		found := d.at(f.Steps[0], "sharp_after_shift", frameCents, 10)
		found.ToMeasure, found.FrameSize = last.Number, len(f.Steps)
		d.Expected = append(d.Expected, found)
		return nil
	}
	return fmt.Errorf("measure 5 has no shift to third position")
}

// enterLate comes in late after the rest in measure 8, and ends on time.
func (d demo) enterLate() error {
	step, err := d.note("9", 1, piece.Quarter)
	if err != nil {
		return err
	}
	d.Plan.Notes[step].LateMS = lateMS
	d.Expected = append(d.Expected, d.at(step, "late", lateMS, 30))
	return nil
}

// playHigh plays C sharp for C natural.
func (d demo) playHigh() error {
	step, err := d.note("11", 2, piece.Quarter)
	if err != nil {
		return err
	}
	d.Plan.Notes[step].MIDI += highMIDI
	d.Expected = append(d.Expected, d.at(step, "wrong_note", highMIDI, 0.5))
	return nil
}

// letGoEarly gives up the half note before the second shift, to have time for it.
func (d demo) letGoEarly() error {
	step, err := d.note("12", 3, 2*piece.Quarter)
	if err != nil {
		return err
	}
	d.Plan.Notes[step].Hold = shortHold
	d.Expected = append(d.Expected, d.at(step, "held_short", shortHold, 0.15))
	return nil
}

// note finds a note of the line by its measure and beat, and holds it to a length.
func (d demo) note(measure string, beat float64, length piece.Ticks) (int, error) {
	for i, s := range d.Tune.Line {
		if s.Number == measure && s.Beat == beat && s.Length == length {
			return i, nil
		}
	}
	return 0, fmt.Errorf("measure %s has no note of that length on beat %g", measure, beat)
}

// at is the finding that stands on one note.
func (d demo) at(step int, kind string, value, within float64) pupil.Finding {
	s := d.Tune.Line[step]
	return pupil.Finding{Kind: kind, Measure: s.Number, ToMeasure: s.Number, Pass: s.Pass, Beat: s.Beat,
		Value: value, Within: within, Fault: "planted in the demo"}
}
