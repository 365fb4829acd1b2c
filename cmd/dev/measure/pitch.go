package main

import (
	"fmt"
	"math"
	"math/rand"
	"path/filepath"
	"strings"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/dsp/robust"
)

// stretch is a steady piece of sound of known pitch.
type stretch struct{ from, to, hz float64 }

// steadySound is one recording with its steady stretches.
type steadySound struct {
	samples   []float32
	rate      int
	wav       string
	stretches []stretch
}

// pitchLine is one line of the table of pitch.
type pitchLine struct {
	name, reach string
	sounds      []steadySound
}

func measurePitch(o options, folder string) error {
	var lines []pitchLine
	for _, make := range []func(options) (pitchLine, error){sines, sawtooths, sampled, sampledWeak, sampledNoisy, realBowed, realPlucked} {
		line, err := make(o)
		if err != nil {
			return err
		}
		for i := range line.sounds {
			s := &line.sounds[i]
			s.wav = filepath.Join(folder, fmt.Sprintf("%s-%d.wav", strings.ReplaceAll(strings.ReplaceAll(line.name, " ", "-"), ",", ""), i))
			if err := writeWAV(s.wav, s.rate, s.samples); err != nil {
				return err
			}
		}
		lines = append(lines, line)
	}
	fmt.Fprintf(o.out, "Pitch of steady notes, cents: a note's error is its frames' median; gross: frames more than 50 cents off (unvoiced ones apart)\n")
	fmt.Fprintf(o.out, "  %-24s %-30s %-14s %8s %8s %8s  %-20s %-20s\n", "", "reach", "", "median", "95 %", "worst", "gross", "no pitch")
	for _, line := range lines {
		for _, h := range hearers {
			told := ""
			if heard, err := line.hear(h); err != nil {
				told = "not measured: " + err.Error()
			} else {
				told = heard.String()
			}
			fmt.Fprintf(o.out, "  %-24s %-30s %-14s %s\n", line.name, line.reach, h.name, told)
			line.name, line.reach = "", ""
			if o.alone {
				break
			}
		}
	}
	return nil
}

// tracked is how well one hearer tracks the sounds of a line.
type tracked struct {
	errors        []float64 // cents, of each note; infinite where it was not heard at all
	frames        int
	gross, silent share // of its frames with a pitch those more than 50 cents off; of all those without. A note is its piece.
}

func (t tracked) String() string {
	return fmt.Sprintf("%8.3f %8.3f %8.2f  %-20s %-20s", robust.Median(t.errors), quantile(t.errors, 0.95), quantile(t.errors, 1), t.gross, t.silent)
}

func (l pitchLine) hear(h hearer) (tracked, error) {
	var out tracked
	for _, s := range l.sounds {
		track, err := h.hear(s.wav, s.samples, s.rate)
		if err != nil {
			return out, err
		}
		for _, part := range s.stretches {
			var inside []float64
			note := fmt.Sprint(len(out.errors))
			for _, f := range track {
				if f.at < part.from || f.at > part.to {
					continue
				}
				out.frames++
				out.silent.see(note, f.hz <= 0)
				if f.hz <= 0 {
					continue
				}
				c := dsp.Interval(part.hz, f.hz)
				out.gross.see(note, math.Abs(c) > 50)
				inside = append(inside, c)
			}
			if len(inside) > 0 {
				out.errors = append(out.errors, math.Abs(robust.Median(inside)))
			} else {
				out.errors = append(out.errors, math.Inf(1)) // not heard at all
			}
		}
	}
	return out, nil
}

// tones makes synthetic tones on every semitone from B0 to G4, at 44.1 and 48
// kHz in turn, up to 50 cents off, seeded.
func tones(o options, name string, partials []float64) (pitchLine, error) {
	rng := rand.New(rand.NewSource(o.seed))
	line := pitchLine{name: name, reach: "worst 0.1, gross 0"}
	for midi := 23; midi <= 67; midi++ {
		hz := dsp.Hz(float64(midi) + rng.Float64() - 0.5)
		rate := []int{44100, 48000}[midi%2]
		tone := dsp.Tone{Freq: dsp.Steady(hz), Partials: partials, Seconds: 1, Rate: rate}
		line.sounds = append(line.sounds, steadySound{tone.Samples(), rate, "", []stretch{{0.2, 0.8, hz}}})
	}
	return line, nil
}

func sines(o options) (pitchLine, error)     { return tones(o, "sines B0-G4", dsp.Sine) }
func sawtooths(o options) (pitchLine, error) { return tones(o, "sawtooths B0-G4", dsp.Sawtooth) }

// held is a plan of long notes on every pitch given, up to 40 cents off.
func held(o options, low, high int) rig.Plan {
	rng := rand.New(rand.NewSource(o.seed))
	plan := rig.Plan{TempoQPM: 60, Seed: o.seed, NoiseDB: rig.DB(-60)}
	for midi := low; midi <= high; midi++ {
		plan.Notes = append(plan.Notes, rig.Note{MIDI: midi, OnsetBeat: 2.2 * float64(midi-low), DurBeats: 1.9, Cents: 80*rng.Float64() - 40})
	}
	return plan
}

// steady takes the notes of a take without attack and release: from 300 ms
// after each is heard to 100 ms before it ends.
func steady(take *rig.Take) steadySound {
	s := steadySound{samples: take.Samples, rate: rig.Rate}
	for _, n := range take.Truth.Notes {
		s.stretches = append(s.stretches, stretch{n.HeardS + 0.3, n.OffsetS - 0.1, n.FreqHz})
	}
	return s
}

func onVoice(o options, v voice, low, high int, name, reach string, change func(*rig.Take)) (pitchLine, error) {
	take, err := v.play(held(o, low, high))
	if err != nil {
		return pitchLine{}, err
	}
	if change != nil {
		change(take)
	}
	return pitchLine{name: name, reach: reach, sounds: []steadySound{steady(take)}}, nil
}

func sampled(o options) (pitchLine, error) {
	return onVoice(o, bowed, 28, 55, "sampled bowed E1-G3", "med 0.3, 95 % 2, gross 0.1 %", nil)
}

func sampledWeak(o options) (pitchLine, error) {
	return onVoice(o, bowed, 28, 55, "the same, by a phone", "(no fundamental below 200 Hz)", func(t *rig.Take) { t.WeakBass(200); t.WeakBass(200) })
}

func sampledNoisy(o options) (pitchLine, error) {
	return onVoice(o, bowed, 28, 55, "the same, room at -30 dB", "", func(t *rig.Take) { t.RoomNoise(-30, 1) })
}

func realBowed(options) (pitchLine, error) {
	return recorded(rig.Arco, "real bass bowed", "med 0.3, gross 0.1 %")
}

func realPlucked(options) (pitchLine, error) {
	return recorded(rig.Pizz, "real bass plucked", "med 3, gross 1 %")
}

// recorded is the real bass's notes as they were recorded; their truth is a
// harmonic fit, good to about 1 cent bowed and 10 cents plucked.
func recorded(kind, name, reach string) (pitchLine, error) {
	bass, err := rig.LoadRealBass(kind)
	if err != nil {
		return pitchLine{}, err
	}
	line := pitchLine{name: name, reach: reach}
	for _, n := range bass.Recorded() {
		line.sounds = append(line.sounds, steadySound{n.Samples, rig.Rate, "", []stretch{{n.From, n.To, n.FreqHz}}})
	}
	return line, nil
}
