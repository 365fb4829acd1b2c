package main

import (
	"bufio"
	"bytes"
	"cmp"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/dsp/robust"
	"endpin/piece/pupil"
)

// group is takes that share a line of the table.
type group struct {
	name   string
	takes  []*rig.Take
	wavs   []string
	heard  []*dsp.Heard
	target float64
}

// groups renders the tunes that onsets and notes are measured on, and listens.
func groups(o options, folder string) ([]*group, error) {
	seeds := cmp.Or(o.seeds, 6)
	var out []*group
	add := func(v voice, name string, target float64, style pupil.Style, first int64) error {
		g := &group{name: name, target: target}
		g.takes, g.wavs, g.heard = make([]*rig.Take, seeds), make([]string, seeds), make([]*dsp.Heard, seeds)
		out = append(out, g)
		return together(seeds, func(i int) error {
			seed := o.seed + first + int64(i)
			take, err := clean(v, style, seed)
			if err != nil {
				return err
			}
			g.takes[i] = take
			if g.wavs[i], err = write(folder, fileName(name)+"-"+strconv.FormatInt(seed, 10), take); err != nil {
				return err
			}
			g.heard[i], err = dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: take.Samples}, dsp.Bass)
			return err
		})
	}
	for i, v := range voices {
		target := 0.97
		if v == plucked || v == realPizz {
			target = 0.99
		}
		if err := add(v, v.name, target, pupil.Style{Triplets: true}, 1000*int64(i)); err != nil {
			return nil, err
		}
	}
	if err := add(bowed, "bowed with slurs", 0.97, pupil.Style{Slurs: true}, 5000); err != nil {
		return nil, err
	}
	return out, nil
}

// onsetScore is one hearer's onsets over a group, pooled.
type onsetScore struct {
	precision, recall, f float64
	takes                []hits
	bias, spread         float64 // s: median of the error; standard deviation about it, matched onsets only
}

func (g *group) scoreOnsets(window float64, estimated [][]float64) (onsetScore, []score, error) {
	var ask []toScore
	for i, take := range g.takes {
		t := toScore{EstOnsets: estimated[i]}
		for _, n := range take.Truth.Notes {
			t.RefOnsets = append(t.RefOnsets, n.HeardS)
		}
		ask = append(ask, t)
	}
	scores, err := mirEval(window, ask)
	if err != nil {
		return onsetScore{}, nil, err
	}
	var takes []hits
	var every []int
	var errors []float64
	for i, s := range scores {
		takes, every = append(takes, hits{len(s.Pairs), len(ask[i].RefOnsets), len(ask[i].EstOnsets)}), append(every, i)
		errors = append(errors, s.Errors...)
	}
	p, r, f := prf(takes, every)
	return onsetScore{p, r, f, takes, robust.Median(errors), deviation(errors)}, scores, nil
}

// onsets is where Endpin hears each take's notes begin, s.
func (g *group) onsets() [][]float64 {
	var all [][]float64
	for _, h := range g.heard {
		var times []float64
		for _, onset := range h.Onsets {
			times = append(times, onset.Time)
		}
		all = append(all, times)
	}
	return all
}

func measureOnsets(o options, folder string) error {
	all, err := groups(o, folder)
	if err != nil {
		return err
	}
	fmt.Fprintf(o.out, "Onsets, score not used, 50 ms window (mir_eval); truth: a tenth of the note's peak\n")
	fmt.Fprintf(o.out, "  %-18s %6s %-20s %-20s %-20s %8s %8s   %s\n", "", "reach", "F", "precision", "recall", "bias ms", "SD ms", "aubio at 70 ms: default F; best F")
	for _, g := range all {
		estimated := g.onsets()
		s, scores, err := g.scoreOnsets(0.05, estimated)
		if err != nil {
			return err
		}
		if o.keep != "" {
			if err := g.tellMisses(folder, scores, estimated); err != nil {
				return err
			}
		}
		compared := "not asked for"
		if !o.alone {
			compared = g.aubioOnsets()
		}
		f, p, r := scored(s.takes)
		fmt.Fprintf(o.out, "  %-18s %6.2f %-20s %-20s %-20s %8.1f %8.1f   %s\n", g.name, g.target, f, p, r, 1000*s.bias, 1000*s.spread, compared)
	}
	return nil
}

// tellMisses writes what was missed and what was heard too much, for whoever
// tunes the detector.
func (g *group) tellMisses(folder string, scores []score, estimated [][]float64) error {
	for i, s := range scores {
		var out bytes.Buffer
		found, right := map[int]bool{}, map[int]bool{}
		for _, pair := range s.Pairs {
			found[pair[0]], right[pair[1]] = true, true
		}
		for j, n := range g.takes[i].Truth.Notes {
			if !found[j] {
				fmt.Fprintf(&out, "missed   %8.3f s  midi %d measure %s slurred %v\n", n.HeardS, n.MIDI, n.Measure, n.Slurred)
			}
		}
		for j, at := range estimated[i] {
			if !right[j] {
				fmt.Fprintf(&out, "too much %8.3f s\n", at)
			}
		}
		path := strings.TrimSuffix(g.wavs[i], ".wav") + ".onsets.txt"
		if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// aubioTries are the settings of aubioonset that are tried: its own defaults
// first, then every method at several thresholds with a longer buffer.
func aubioTries() [][]string {
	tries := [][]string{nil}
	for _, method := range []string{"hfc", "energy", "complex", "phase", "specdiff", "kl", "mkl", "specflux"} {
		for _, threshold := range []string{"0.05", "0.1", "0.3"} {
			tries = append(tries, []string{"-O", method, "-t", threshold, "-B", "2048", "-H", "512"})
		}
	}
	return tries
}

// aubioOnsets hears the same files through aubioonset and gives its F by
// default and at the best of its settings, chosen on these very files.
func (g *group) aubioOnsets() string {
	if _, err := exec.LookPath("aubioonset"); err != nil {
		return "not measured: no aubioonset (Debian: apt install aubio-tools)"
	}
	var standard, best float64
	chosen := "default"
	for i, settings := range aubioTries() {
		var estimated [][]float64
		for _, wav := range g.wavs {
			out, err := exec.Command("aubioonset", append(settings, "-i", wav)...).Output()
			if err != nil {
				return "not measured: aubioonset: " + err.Error()
			}
			estimated = append(estimated, numbers(out))
		}
		s, _, err := g.scoreOnsets(0.07, estimated)
		if err != nil {
			return "not measured: " + err.Error()
		}
		if i == 0 {
			standard = s.f
		}
		if s.f > best {
			best = s.f
			if settings != nil {
				chosen = settings[1] + " at " + settings[3]
			}
		}
	}
	return fmt.Sprintf("%.3f; %.3f (%s)", standard, best, chosen)
}

// numbers reads the first number of every line.
func numbers(text []byte) []float64 {
	var out []float64
	lines := bufio.NewScanner(bytes.NewReader(text))
	for lines.Scan() {
		if fields := strings.Fields(lines.Text()); len(fields) > 0 {
			if v, err := strconv.ParseFloat(fields[0], 64); err == nil {
				out = append(out, v)
			}
		}
	}
	return out
}

// measureNotes compares the notes heard with the truth: mir_eval pairs them.
func measureNotes(o options, folder string) error {
	all, err := groups(o, folder)
	if err != nil {
		return err
	}
	fmt.Fprintf(o.out, "Notes inside rendered takes: pitch error in cents (reach: median 1, 95 %% 5); onset 50 ms and pitch 50 cents (mir_eval)\n")
	fmt.Fprintf(o.out, "  The sampled bass itself sets in up to 14 cents off its steady pitch; \"as it sounds\" is the error against the\n  phase of the strongest partial over the same stretch of the same note.\n")
	fmt.Fprintf(o.out, "  %-18s %6s %8s %8s %8s %-20s %9s %-20s %20s\n", "", "notes", "median", "95 %", "bias", "note F", "sure: 95%", "sure", "as it sounds: median, 95 %")
	for _, g := range all {
		var ask []toScore
		for i, take := range g.takes {
			t := toScore{}
			for _, n := range take.Truth.Notes {
				t.RefNotes = append(t.RefNotes, [3]float64{n.HeardS, max(n.OffsetS, n.HeardS+0.01), n.FreqHz})
			}
			for _, n := range g.heard[i].Notes {
				t.EstNotes = append(t.EstNotes, [3]float64{n.Onset, max(n.Offset, n.Onset+0.01), dsp.Hz(n.Pitch)})
			}
			ask = append(ask, t)
		}
		scores, err := mirEval(0.05, ask)
		if err != nil {
			return err
		}
		var errors, sure, sounding []float64
		var takes []hits
		var isSure share
		real := 0
		for i, s := range scores {
			real += len(ask[i].RefNotes)
			takes = append(takes, hits{len(s.Notes), len(ask[i].RefNotes), len(ask[i].EstNotes)})
			for _, pair := range s.Notes {
				heard := g.heard[i].Notes[pair[1]]
				e := 100 * (heard.Pitch - g.takes[i].Truth.Notes[pair[0]].Pitch())
				errors = append(errors, e)
				truth := g.takes[i].Truth.Notes[pair[0]]
				if sounds := rig.Frequency(g.takes[i].Samples, heard.SteadyFrom, heard.SteadyTo, truth.FreqHz); !math.IsNaN(sounds) {
					sounding = append(sounding, 100*(heard.Pitch-dsp.MIDI(sounds)))
				}
				isSure.see(g.takes[i].Truth.Take, heard.Trust == dsp.Sure)
				if heard.Trust == dsp.Sure {
					sure = append(sure, e)
				}
			}
		}
		f, _, _ := scored(takes)
		fmt.Fprintf(o.out, "  %-18s %6d %8.2f %8.2f %8.2f %-20s %9.2f %-20s %10.2f %9.2f\n", g.name, real, robust.Median(absolute(errors)),
			quantile(absolute(errors), 0.95), robust.Median(errors), f, quantile(absolute(sure), 0.95), isSure, robust.Median(absolute(sounding)), quantile(absolute(sounding), 0.95))
	}
	return nil
}

// inFolder measures in the folder where takes are to be kept, or in one that goes again.
func inFolder(measure func(o options, folder string) error) func(options) error {
	return func(o options) error {
		if o.keep != "" {
			if err := os.MkdirAll(o.keep, 0o755); err != nil {
				return err
			}
			return measure(o, filepath.Clean(o.keep))
		}
		folder, err := os.MkdirTemp("", "measure")
		if err != nil {
			return err
		}
		defer os.RemoveAll(folder)
		return measure(o, folder)
	}
}
