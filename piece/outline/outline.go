package outline

import (
	"math"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// Options are what a player may use, and how the measures are weighed. The zero
// value serves.
type Options struct {
	Instrument    *fingerboard.Instrument // nil for the double bass
	Positions     []string                // allowed; empty for all
	NoOpenStrings bool
	QPM           float64  // the tempo to reach, quarter notes a minute; 0 for the piece's own
	Bow           Bow      // how long one bow lasts; zero for a first-year player's
	Weights       *Weights // nil for DefaultWeights

	// Sections is the teacher's own division, as in "1-8"; empty leaves it to the
	// file's marks, and where it has none to the music.
	Sections []string
}

// Outline is what a piece asks of a player. Ranges are printed numbers, the
// first and the last.
type Outline struct {
	Version  int         `json:"version"`
	Piece    string      `json:"piece"`
	Tempo    float64     `json:"tempo_qpm"`     // to be reached, at the start
	Assumed  bool        `json:"tempo_assumed"` // neither the piece nor the user tells it
	School   string      `json:"school"`        // by which it is fingered
	Measures []Measure   `json:"measures"`      // as printed, each once
	Notes    []Note      `json:"notes"`         // as printed, each once
	Shifts   []Shift     `json:"shifts"`
	Others   []Other     `json:"others"`
	Same     []Same      `json:"same"`
	Sections [][2]string `json:"sections"`
	Division string      `json:"division"` // what the sections go by, in words
	Remarks  []string    `json:"remarks"`  // sentences: notes out of reach, marks that contradict each other

	Line    []piece.Expected `json:"-"` // the line as played
	Plan    fingerboard.Plan `json:"-"` // its fingering
	Strokes []Stroke         `json:"-"` // its bowing, in order
	Bow     Bow              `json:"-"`
	Parts   []Range          `json:"-"` // the sections by index

	in    fingerboard.Instrument
	asked fingerboard.Options // what the fingering was found under
}

// Range is a range of printed measures, by index into Piece.Measures, both included.
type Range struct{ First, Last int }

// Holds reports whether a measure lies in the range.
func (r Range) Holds(measure int) bool { return r.First <= measure && measure <= r.Last }

// Measure is one printed measure and how hard it is.
type Measure struct {
	Number    string   `json:"number"`
	Beats     float64  `json:"beats"`
	Hardness  float64  `json:"hardness"` // 0 is none; 1 is about one plain shift
	Reasons   []string `json:"reasons"`  // the weightiest first
	NewRhythm bool     `json:"new_rhythm"`

	Quarters float64  `json:"-"` // how long it is
	QPM      float64  `json:"-"` // the tempo to be reached in it
	Felt     Felt     `json:"-"` // the beat felt in it
	Short    []string `json:"-"` // the reasons in two or three words each, as written under the measure
}

// Note is one printed note under the hand.
type Note struct {
	Measure  string  `json:"measure"`
	Beat     float64 `json:"beat"`
	MIDI     int     `json:"midi"`
	String   int     `json:"string"` // 1 is the highest; 0 off the instrument
	Position string  `json:"position"`
	Finger   string  `json:"finger"`
	Marked   bool    `json:"marked"`
}

// Shift is one change of position, on the note arrived at.
type Shift struct {
	Measure    string   `json:"measure"`
	Beat       float64  `json:"beat"`
	String     int      `json:"string"`
	From       string   `json:"from"`
	To         string   `json:"to"`
	Semitones  int      `json:"semitones"`
	FingerFrom string   `json:"finger_from"`
	FingerTo   string   `json:"finger_to"`
	CarriedBy  string   `json:"carried_by"` // rest, open string, harmonic, slur; empty for the bow alone
	Marked     bool     `json:"marked"`
	Covers     []string `json:"covers"`       // the measures of the hand frame that it opens
	IfYouShift bool     `json:"if_you_shift"` // a fingering without it serves nearly as well
}

// Of outlines a piece. The error names a section that the piece has not.
func Of(p *piece.Piece, o Options) (*Outline, error) {
	in := fingerboard.DoubleBass()
	if o.Instrument != nil {
		in = *o.Instrument
	}
	in = in.For(p)
	if o.Bow == (Bow{}) {
		o.Bow = FirstYearBow
	}
	weights := DefaultWeights()
	if o.Weights != nil {
		weights = *o.Weights
	}
	out := &Outline{Version: 1, Piece: p.Title, Bow: o.Bow, Tempo: o.QPM, School: in.System.Name}
	if out.Tempo == 0 {
		out.Tempo = p.TempoAt(0, 0)
	}
	if out.Tempo == 0 {
		out.Tempo, out.Assumed = piece.Unhurried, true
	}
	line, played := p.Line()
	out.Line = line
	out.in, out.asked = in, fingerboard.Options{Positions: o.Positions, NoOpenStrings: o.NoOpenStrings, QPM: out.Tempo}
	out.Plan = in.Finger(line, out.asked)
	out.Strokes = strokes(p, line, out.Plan.Notes, out.Tempo)
	out.Remarks = append(out.Plan.Remarks(), p.NotPlayed...)
	out.measures(p, o.QPM)
	out.notes()
	out.shifts(p, played)
	out.weigh(p, in, weights)
	out.Same = Again(p)
	out.others()
	var err error
	if out.Parts, out.Division, err = sections(p, out.Same, o.Sections); err != nil {
		return nil, err
	}
	out.Sections = [][2]string{}
	for _, r := range out.Parts {
		out.Sections = append(out.Sections, numbers(p, r))
	}
	return out, nil
}

// Called is what the player calls the instrument in a sentence.
func (o *Outline) Called() words.Sentence { return o.in.Called() }

// numbers are the printed numbers of a range.
func numbers(p *piece.Piece, r Range) [2]string {
	return [2]string{p.Measures[r.First].Number, p.Measures[r.Last].Number}
}

func (out *Outline) measures(p *piece.Piece, asked float64) {
	out.Measures = make([]Measure, len(p.Measures))
	qpm := out.Tempo
	for i := range p.Measures {
		m := &p.Measures[i]
		for _, t := range m.Tempos {
			if asked == 0 && t.At < m.Length {
				qpm = t.QPM
			}
		}
		out.Measures[i] = Measure{
			Number: m.Number, Beats: round(float64(m.Length)/float64(m.Time.Beat()), 3),
			Reasons: []string{}, Quarters: m.Length.Quarters(), QPM: qpm, Felt: FeltBeat(m.Time),
		}
	}
}

// notes lists the printed notes, each as it is fingered the first time round.
func (out *Outline) notes() {
	out.Notes = []Note{}
	for i := range out.Line {
		n, f := &out.Line[i], &out.Plan.Notes[i]
		if n.Pass == 1 {
			out.Notes = append(out.Notes, Note{n.Number, round(n.Beat, 3), n.MIDI, f.String, f.Position, f.Finger, f.Marked})
		}
	}
}

// shifts lists the shifts onto printed notes, each once. One that only a second
// time round asks for, where the end leads back to the beginning, is listed too.
func (out *Outline) shifts(p *piece.Piece, played []piece.PlayedMeasure) {
	out.Shifts = []Shift{}
	type place struct{ measure, note int }
	seen := map[place]bool{}
	for _, s := range out.Plan.Shifts {
		n := &out.Line[s.Note]
		at := place{n.Measure, n.Note}
		if seen[at] {
			continue
		}
		seen[at] = true
		out.Shifts = append(out.Shifts, Shift{
			Measure: n.Number, Beat: round(n.Beat, 3), String: s.String, From: s.From, To: s.To,
			Semitones: s.Semitones, FingerFrom: s.FingerFrom, FingerTo: s.FingerTo,
			CarriedBy: string(s.CarriedBy), Marked: s.Marked, IfYouShift: s.Alternative, Covers: covered(out.Line[s.Note : s.LastNote+1]),
		})
	}
}

// covered are the measures in which notes stand, each once, in order.
func covered(notes []piece.Expected) []string {
	var all []string
	last := -1
	seen := map[int]bool{}
	for i := range notes {
		if m := notes[i].Measure; m != last && !seen[m] {
			all = append(all, notes[i].Number)
			seen[m], last = true, m
		}
	}
	return all
}

func round(x float64, digits int) float64 {
	k := math.Pow10(digits)
	return math.Round(x*k) / k
}
