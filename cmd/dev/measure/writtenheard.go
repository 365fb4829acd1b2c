package main

import (
	"bytes"
	"cmp"
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/manuscript"
	"endpin/piece/pupil"
	"endpin/piece/transcription"
)

// measureWrittenHeard has a teacher play a tune in, and then another player play it with
// mistakes: what is told of that by the page so written is put beside what the true page
// tells, both without fingers. And it counts the key strokes that mend the written page
// beside those that write the tune.
func measureWrittenHeard(o options, folder string) error {
	listen, err := listenerFor(o, folder)
	if err != nil {
		return err
	}
	n := 3 * cmp.Or(o.seeds, 10)
	where := setting{voices: []voice{bowed}, others: []voice{bowed}, rooms: rooms[:1]}
	all := make([]twoPages, n)
	err = together(n, func(i int) error {
		seed := o.seed + 130000 + int64(i)
		fault := pupil.Catalogue[i*len(pupil.Catalogue)/n]
		t, err := where.plant(fault, seed)
		for try := int64(1); err == nil && t.sheet.file != ""; try++ { // a composed one
			t, err = where.plant(fault, seed+1000*try)
		}
		if err != nil {
			return nil // a fault that this voice cannot make
		}
		all[i], err = heardBeside(t, listen, folder, seed)
		return err
	})
	if err != nil {
		return err
	}
	var same, alone, doubtful share
	takes, write, mend, fewer, typed, notes := 0, 0, 0, 0, 0, 0
	for i, b := range all {
		if b.notes == 0 {
			continue
		}
		takes++
		piece := fmt.Sprint(i)
		same.add(piece, b.same, b.of)
		alone.add(piece, b.alone, b.told)
		doubtful.add(piece, b.doubtful, b.measures)
		if b.write > 0 {
			typed++
			write, mend, notes = write+b.write, mend+b.mend, notes+b.notes
			if b.mend < b.write {
				fewer++
			}
		}
		if o.keep != "" {
			fmt.Fprintf(o.out, "    %s: %s\n", b.name, strings.Join(b.other, "; "))
		}
	}
	fmt.Fprintf(o.out, "Another player's takes with planted mistakes, heard against the page written from a teacher's, measures in doubt left out\n")
	fmt.Fprintf(o.out, "  takes %d; findings of the true page that the written one gives, too: %s; of the written page's, not of the true one's: %s; measures in doubt: %s\n", takes, same, alone, doubtful)
	fmt.Fprintf(o.out, "Key strokes, on the %d tunes that were typed so: to write the tune %d (%.2f a note), to mend the page written %d; fewer in %d of %d\n",
		typed, write, float64(write)/float64(max(1, notes)), mend, fewer, typed)
	testdata, err := rig.Testdata()
	if err != nil {
		return err
	}
	fmt.Fprintf(o.out, "Key strokes that write our own tunes, head set before (reach: 1.5)\n")
	return measureStrokes(o, filepath.Join(testdata, "..", "piece", "manuscript", "testdata"))
}

// twoPages is what the two pages of one tune came to.
type twoPages struct {
	name                            string
	same, of, alone, told           int
	doubtful, measures, write, mend int
	notes                           int
	other                           []string // findings that one page alone gives
}

func heardBeside(t *trial, listen listener, folder string, seed int64) (b twoPages, err error) {
	plain := withoutFingers(t.tune.Piece)
	teacher := pupil.Player{Tune: t.tune, Scatter: aTeacher, Seed: seed + 500}.Play()
	v := bowed
	v.seed = rand.New(rand.NewSource(seed + 500)).Int63()
	take, err := v.play(teacher.Plan)
	if err != nil {
		return b, err
	}
	heard, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: take.Samples}, dsp.Bass)
	if err != nil {
		return b, err
	}
	written, err := transcription.Of(transcription.Heard(heard, lowest), withClick(t.tune, teacher.Plan.TempoQPM))
	if err != nil {
		return b, err
	}
	if t.sheet.data, err = sheetOf(plain); err != nil {
		return b, err
	}
	if err = t.render(folder); err != nil {
		return b, err
	}
	truly, err := listen(t)
	if err != nil {
		return b, err
	}
	if t.sheet.data, err = sheetOf(written.Piece); err != nil {
		return b, err
	}
	if err = os.WriteFile(t.piece(), t.sheet.data, 0o644); err != nil {
		return b, err
	}
	other, err := listen(t)
	if err != nil {
		return b, err
	}
	b = twoPages{name: t.name, measures: len(plain.Measures)}
	doubted := map[string]bool{}
	for _, d := range written.Doubts {
		doubted[d.Measure] = true
	}
	b.doubtful = len(doubted)
	a, c := certain(truly, doubted), certain(other, doubted)
	b.of, b.told = len(a), len(c)
	for _, f := range a {
		if slices.Contains(c, f) {
			b.same++
		} else {
			b.other = append(b.other, "not "+f)
		}
	}
	for _, f := range c {
		if !slices.Contains(a, f) {
			b.alone++
			b.other = append(b.other, "only "+f)
		}
	}
	b.notes = manuscript.Of(plain, "bass").Notes()
	b.write, b.mend = strokesToWrite(plain), strokesToMend(written, plain)
	return b, nil
}

// certain are the findings in measures of no doubt, by kind and measure.
func certain(a *answer, doubted map[string]bool) (all []string) {
	for _, f := range a.Findings {
		if !doubted[f.Measure] {
			all = append(all, f.Kind+" in "+f.Measure)
		}
	}
	return all
}

func withoutFingers(p *piece.Piece) *piece.Piece {
	x := *p
	x.Measures = slices.Clone(p.Measures)
	for i := range x.Measures {
		m := &x.Measures[i]
		m.Notes = slices.Clone(m.Notes)
		for k := range m.Notes {
			m.Notes[k].Marks = piece.Marks{}
		}
	}
	return &x
}

func sheetOf(p *piece.Piece) ([]byte, error) {
	var b bytes.Buffer
	err := export.MusicXML(&b, p, export.Options{})
	return b.Bytes(), err
}
