package main

import (
	"cmp"
	"fmt"
	"math"
	"math/rand"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/piece"
	"endpin/piece/pupil"
	"endpin/piece/transcription"
	"endpin/piece/writing"
)

// aTeacher plays a tune through: scattered by 20 ms, as the figures to reach have it.
var aTeacher = pupil.Scatter{Cents: 4, OnsetMS: 20}

// playedIn is one line of the table: how a tune is played in, and what is told with it.
type playedIn struct {
	name   string
	voice  voice
	style  pupil.Style
	breath float64 // of the pace, where no click gives it
	told   func(t *pupil.Tune, qpm float64) transcription.Asked
	click  bool // it is the desk's own, heard late by what the devices do not tell
}

// clickLate is how much later than known the desk's click is heard, s: what devices mostly
// keep to themselves.
const clickLate = 0.03

// lowest is the lowest string that is played in on.
const lowest = 28

var bassStaff = writing.Staff{Clef: piece.Clef{Sign: "F", Line: 4}, Transposed: -12}

func withClick(t *pupil.Tune, qpm float64) transcription.Asked {
	a := alone(t, qpm)
	a.QPM = qpm
	return a
}

func alone(t *pupil.Tune, _ float64) transcription.Asked {
	m := &t.Piece.Measures[0]
	return transcription.Asked{Time: &m.Time, Key: &m.Key, Staff: bassStaff}
}

func untold(*pupil.Tune, float64) transcription.Asked { return transcription.Asked{Staff: bassStaff} }

// measureWritten plays tunes in and compares the page with the one they were played from.
func measureWritten(o options, folder string) error {
	fmt.Fprintf(o.out, "Tunes played in (reach: with a click note F 0.98, rhythm 0.95; alone tempo within 2 %%, rhythm 0.85)\n")
	fmt.Fprintf(o.out, "  %-34s %6s %-20s %-20s %-20s %-20s %-20s %-20s %-18s\n", "", "takes", "note F (mir_eval)", "rhythm of measures", "of those not doubted", "pitches", "spelled as printed", "slurs, of those told", "tempo within 2 %")
	for _, line := range []playedIn{
		{"bowed, with a click", bowed, pupil.Style{}, 0, withClick, false},
		{"bowed, triplets and pickups", bowed, pupil.Style{Triplets: true, Pickup: true}, 0, withClick, false},
		{"… with the desk's own click", bowed, pupil.Style{Triplets: true, Pickup: true}, 0, withClick, true},
		{"bowed, slurs", bowed, pupil.Style{Slurs: true}, 0, withClick, false},
		{"recorded bow, with a click", realArco, pupil.Style{}, 0, withClick, false},
		{"plucked, with a click", plucked, pupil.Style{}, 0, withClick, false},
		{"recorded pluck, with a click", realPizz, pupil.Style{}, 0, withClick, false},
		{"modelled strings, with a click", stringsBowed, pupil.Style{}, 0, withClick, false},
		{"… that ring", stringsRinging, pupil.Style{}, 0, withClick, false},
		{"bowed, alone", bowed, pupil.Style{}, 0.02, alone, false},
		{"recorded bow, alone", realArco, pupil.Style{}, 0.02, alone, false},
		{"bowed, nothing told", bowed, pupil.Style{}, 0.02, untold, false},
	} {
		if err := line.measure(o); err != nil {
			return err
		}
	}
	return measureWrittenHeard(o, folder)
}

func (l playedIn) measure(o options) error {
	n := cmp.Or(o.seeds, 10)
	var rhythm, certain, pitch, spelling, slurs, tempo share
	ask := make([]toScore, n)
	written := make([]*transcription.Written, n)
	tunes := make([]*pupil.Tune, n)
	asked := make([]float64, n)
	err := together(n, func(i int) error {
		seed := o.seed + 120000 + int64(i)
		style := l.style
		style.Short = l.voice.real != ""
		tunes[i] = pupil.Compose(style, seed)
		out := pupil.Player{Tune: tunes[i], Scatter: aTeacher, Breath: l.breath, Seed: seed}.Play()
		asked[i] = out.Plan.TempoQPM
		v := l.voice
		v.seed = rand.New(rand.NewSource(seed)).Int63()
		take, err := v.play(out.Plan)
		if err != nil {
			return err
		}
		heard, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: take.Samples}, dsp.Bass)
		if err != nil {
			return err
		}
		for _, n := range take.Truth.Notes {
			ask[i].RefNotes = append(ask[i].RefNotes, [3]float64{n.HeardS, max(n.OffsetS, n.HeardS+0.01), n.FreqHz})
		}
		told := l.told(tunes[i], out.Plan.TempoQPM)
		if l.click {
			first := take.Truth.Notes[0].OnsetS - out.Plan.Notes[0].LateMS/1000 + clickLate
			first += tunes[i].Piece.Measures[0].Length.Quarters() * 60 / out.Plan.TempoQPM // a pickup, or whole
			told.Click = &first
		}
		if written[i], err = transcription.Of(transcription.Heard(heard, lowest), told); err != nil {
			return err
		}
		for _, n := range written[i].Played {
			ask[i].EstNotes = append(ask[i].EstNotes, [3]float64{n.Onset, max(n.Offset, n.Onset+0.01), dsp.Hz(n.Pitch)})
		}
		return nil
	})
	if err != nil {
		return err
	}
	scores, err := mirEval(0.05, ask)
	if err != nil {
		return err
	}
	var takes []hits
	for i, w := range written {
		takes = append(takes, hits{len(scores[i].Notes), len(ask[i].RefNotes), len(ask[i].EstNotes)})
		piece := fmt.Sprint(i)
		tempo.see(piece, math.Abs(w.QPM/asked[i]-1) <= 0.02)
		doubted := map[int]bool{}
		for _, d := range w.Doubts {
			doubted[d.At.Measure] = true
		}
		for m := range tunes[i].Piece.Measures {
			c := compareMeasure(&tunes[i].Piece.Measures[m], w.Piece, m)
			rhythm.see(piece, c.rhythm)
			if !doubted[m] {
				certain.see(piece, c.rhythm)
			}
			if c.rhythm {
				pitch.add(piece, c.pitch, c.notes)
				spelling.add(piece, c.spelled, c.notes)
				slurs.add(piece, c.slurs, c.slursTold)
			}
		}
	}
	f, _, _ := scored(takes)
	fmt.Fprintf(o.out, "  %-34s %6d %-20s %-20s %-20s %-20s %-20s %-20s %-18s\n", l.name, n, f, rhythm, certain, pitch, spelling, slurs, fmt.Sprint(tempo.total()))
	return nil
}

// likeness is how a measure written compares with the printed one.
type likeness struct {
	rhythm                                  bool // every note begins and ends where it is printed
	notes, pitch, spelled, slurs, slursTold int
}

func compareMeasure(printed *piece.Measure, w *piece.Piece, m int) (c likeness) {
	if m >= len(w.Measures) {
		return c
	}
	a, b := sounding(printed), sounding(&w.Measures[m])
	c.rhythm = len(a) == len(b)
	for i := range min(len(a), len(b)) {
		c.rhythm = c.rhythm && a[i].Start == b[i].Start && a[i].Length == b[i].Length
		c.notes++
		if a[i].MIDI == b[i].MIDI {
			c.pitch++
		}
		if a[i].Spelling == b[i].Spelling {
			c.spelled++
		}
		if b[i].SlurFrom {
			c.slursTold++
			if a[i].SlurFrom {
				c.slurs++
			}
		}
	}
	return c
}

// sounding are the notes of a measure, with what is tied on inside it.
func sounding(m *piece.Measure) (notes []piece.Note) {
	for _, n := range m.Notes {
		if k := len(notes) - 1; k >= 0 && notes[k].TieToNext && !n.Rest && n.MIDI == notes[k].MIDI {
			notes[k].Length, notes[k].TieToNext = notes[k].Length+n.Length, n.TieToNext
			continue
		}
		if !n.Rest && !n.Grace {
			notes = append(notes, n)
		}
	}
	return notes
}
