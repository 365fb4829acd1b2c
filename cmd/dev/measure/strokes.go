package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"endpin/piece"
	"endpin/piece/manuscript"
	"endpin/piece/notation"
	"endpin/piece/transcription"
	"endpin/piece/writing"
)

// typist presses keys as somebody does who knows them, and counts them.
type typist struct {
	m       *manuscript.Manuscript
	strokes int
}

func (t *typist) press(k manuscript.Key) {
	t.m.Press(k, manuscript.Held{}, nil)
	t.strokes++
}

// onPage is an empty page with the head of a piece.
func onPage(p *piece.Piece) *typist {
	m := manuscript.New("bass", writing.Staff{Part: p.Part, Clef: p.Measures[0].Clef, Transposed: p.Transposed})
	m.SetKey(p.Measures[0].Key)
	m.SetTime(p.Measures[0].Time)
	if p.Measures[0].Implicit {
		m.SetPickup(p.Measures[0].Length)
	}
	return &typist{m: m}
}

// strokesToWrite counts the keys that write a piece, key, metre and pickup set before; 0
// where what they write is another one.
func strokesToWrite(p *piece.Piece) int {
	t := onPage(p)
	for _, n := range joinedNotes(p.Measures) {
		t.write(n)
	}
	got, _ := t.m.Piece().Line()
	want, _ := p.Line()
	if !slices.EqualFunc(got, want, func(a, b piece.Expected) bool {
		return a.Onset == b.Onset && a.Length == b.Length && a.MIDI == b.MIDI
	}) {
		return 0
	}
	return t.strokes
}

// measureStrokes counts the keys that write our own tunes in a folder.
func measureStrokes(o options, folder string) error {
	files, err := filepath.Glob(filepath.Join(folder, "*.abc"))
	if err != nil {
		return err
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		p, err := notation.Read(file, data)
		if err != nil {
			return err
		}
		strokes, notes := strokesToWrite(p), manuscript.Of(p, "bass").Notes()
		fmt.Fprintf(o.out, "  %-24s %3d key strokes, %3d notes: %.2f\n", p.Title, strokes, notes, float64(strokes)/float64(notes))
	}
	return nil
}

// joinedNotes are the notes of measures, what is tied as one.
func joinedNotes(measures []piece.Measure) (all []piece.Note) {
	tied := false
	for _, m := range measures {
		for _, n := range m.Notes {
			if tied {
				last := &all[len(all)-1]
				last.Length += n.Length
			} else {
				all = append(all, n)
			}
			tied = n.TieToNext
		}
	}
	return all
}

// write writes one note or rest.
func (t *typist) write(n piece.Note) {
	value, dots, triplet := sign(n.Length)
	key := manuscript.Key("4")
	for _, l := range manuscript.Lengths {
		if l.Value == value {
			key = l.Key
		}
	}
	h := &t.m.Hand
	switch {
	case triplet && h.Triplet > 0:
	case triplet:
		if h.Value != value {
			t.press(key)
		}
		t.press("3")
	case h.Value != value || h.Dots > dots:
		if t.m.Bars[len(t.m.Bars)-1].Time.Counted() == n.Length && dots > 0 {
			t.press("5")
		} else {
			t.press(key)
		}
	}
	dotted := h.Dots
	if n.Rest {
		t.press("0")
	} else {
		t.press(manuscript.Key(strings.ToLower(n.Step)))
	}
	for ; dotted < dots; dotted++ {
		t.press(".")
	}
	if n.Rest {
		return
	}
	is := func() *manuscript.Note { return &t.m.Bars[t.m.At.Measure].Notes[t.m.At.Note] }
	for ; is().Octave < n.Octave; t.press("o") {
	}
	for ; is().Octave > n.Octave; t.press("O") {
	}
	if is().Alter != n.Alter {
		t.press(map[int]manuscript.Key{-1: "l", 0: "n", 1: "s"}[n.Alter])
	}
}

// sign is how a length is written.
func sign(length piece.Ticks) (value string, dots int, triplet bool) {
	for i, l := range manuscript.Lengths {
		whole := 4 * piece.Quarter >> i
		switch length {
		case whole:
			return l.Value, 0, false
		case whole * 3 / 2:
			return l.Value, 1, false
		case whole * 2 / 3:
			return l.Value, 0, true
		}
	}
	return "quarter", 0, false
}

// strokesToMend counts the keys and clicks that make the page written the true one: a Return
// for what is right and in doubt; in a measure of as many notes as there should be the
// lengths and pitches that are wrong, and a key from one to the next; another one is chosen
// by two clicks, taken away, gone back to by two keys and written again.
func strokesToMend(w *transcription.Written, p *piece.Piece) (strokes int) {
	doubts := map[int]int{}
	for _, d := range w.Doubts {
		doubts[d.At.Measure]++
	}
	for i := range p.Measures {
		if i >= len(w.Piece.Measures) {
			strokes += retyped(p, i)
			continue
		}
		a, b := sounding(&p.Measures[i]), sounding(&w.Piece.Measures[i])
		right := slices.EqualFunc(a, b, func(x, y piece.Note) bool {
			return x.Start == y.Start && x.Length == y.Length && x.MIDI == y.MIDI
		})
		switch {
		case right:
			strokes += doubts[i]
		case len(a) == len(b) && len(p.Measures[i].Notes) == len(w.Piece.Measures[i].Notes):
			if doubts[i] == 0 {
				strokes++ // a click: one is not led there
			}
			last := -1
			for k := range a {
				if a[k].Length == b[k].Length && a[k].MIDI == b[k].MIDI {
					continue
				}
				if last >= 0 {
					strokes += k - last
				}
				last = k
				if a[k].Length != b[k].Length {
					_, dots, triplet := sign(a[k].Length)
					if strokes += 1 + dots; triplet {
						strokes++
					}
				}
				if a[k].MIDI != b[k].MIDI {
					strokes += 2 // a letter, or steps, and a sign
				}
			}
		default:
			strokes += 5 + retyped(p, i)
		}
	}
	return strokes + max(0, len(w.Piece.Measures)-len(p.Measures))*3
}

// retyped is what it takes to write one measure.
func retyped(p *piece.Piece, i int) int {
	t := onPage(&piece.Piece{Part: p.Part, Transposed: p.Transposed, Measures: p.Measures[i : i+1]})
	for _, n := range joinedNotes(p.Measures[i : i+1]) {
		t.write(n)
	}
	return t.strokes
}
