package piece

import "slices"

// Expected is one sounding note of the line as played: repeats unfolded, ties
// joined, grace notes set aside.
type Expected struct {
	Measure int    // index into Piece.Measures
	Number  string // that measure's printed number
	Pass    int    // which time this measure comes round, counted from 1
	Behind  int    // of an ending: the measure behind it and its others; 0 for none
	Beat    float64
	Note    int   // index into that measure's Notes (the first of tied ones)
	Onset   Ticks // from the start of the line
	Length  Ticks // ties joined
	MIDI    int   // as it sounds

	Slurred      bool // slurred from the note before
	Grace        bool // a grace note leads into it
	Marks        Marks
	Articulation Articulation // of the last tied note where it matters for the end
	Free         bool         // the page lets the pace change here: rit., rall., accel.
	RestAfter    Ticks        // silence written between its end and the next note
}

// PlayedMeasure is one measure of the line as played.
type PlayedMeasure struct {
	Measure int // index into Piece.Measures
	Pass    int
	Onset   Ticks // from the start of the line
}

// Line plays the piece out: every sounding note in the order and at the time
// at which it is played, and the measures that they stand in. It stops where
// Unfold does; a piece that a reader let through is played out whole.
//
// A tie joins a note to the next one of its pitch where that follows at once,
// also when a repeat or an ending lies between. Grace notes are set aside.
func (p *Piece) Line() ([]Expected, []PlayedMeasure) {
	played, _ := p.Unfold() // the reader tells the error; here it only bounds
	var line []Expected
	var last *Note // the printed note that line's last note ends with
	grace, free := false, false
	for _, pm := range played {
		m, behind := &p.Measures[pm.Measure], 0
		if len(m.Endings) > 0 {
			behind = bracketsEnd(p.Measures, pm.Measure)
		}
		for i := range m.Notes {
			n := &m.Notes[i]
			if n.Grace {
				grace = true
				continue
			}
			if n.Rest {
				continue
			}
			onset := pm.Onset + n.Start
			if k := len(line) - 1; k >= 0 && last.TieToNext && !grace && line[k].MIDI == n.MIDI && line[k].end() == onset {
				line[k].join(n)
				last = n
				continue
			}
			line = append(line, Expected{
				Measure: pm.Measure, Number: m.Number, Pass: pm.Pass, Behind: behind,
				Beat: 1 + float64(n.Start)/float64(m.Time.Beat()),
				Note: i, Onset: onset, Length: n.Length, MIDI: n.MIDI,
				Slurred: n.SlurFrom && last != nil && last.SlurTo,
				Grace:   grace, Marks: n.Marks, Articulation: n.Articulated, Free: m.freeFrom(free, n.Start),
			})
			last, grace = n, false
		}
		free = m.freeFrom(free, m.Length)
	}
	ends := lineEnd(p, played)
	for i := range line {
		next := ends
		if i+1 < len(line) {
			next = line[i+1].Onset
		}
		line[i].RestAfter = max(0, next-line[i].end())
	}
	return slices.Clip(line), played
}

func (e *Expected) end() Ticks { return e.Onset + e.Length }

// join ties a printed note to the one sounding: what is written over its end
// now stands over the end of both.
func (e *Expected) join(n *Note) {
	e.Length += n.Length
	e.Articulation.Staccato = n.Articulated.Staccato
	e.Articulation.Fermata = e.Articulation.Fermata || n.Articulated.Fermata
	e.Articulation.Breath = n.Articulated.Breath
}

// lineEnd is where the last measure played ends.
func lineEnd(p *Piece, played []PlayedMeasure) Ticks {
	if len(played) == 0 {
		return 0
	}
	last := played[len(played)-1]
	return last.Onset + p.Measures[last.Measure].Length
}
