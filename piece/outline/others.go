package outline

import (
	"slices"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// Other is another fingering of some notes that lies close to the one chosen.
type Other struct {
	Measure   string  `json:"measure"` // where it begins
	Beat      float64 `json:"beat"`
	ToMeasure string  `json:"to_measure"` // where it ends
	Fingered  string  `json:"fingered"`   // as it is fingered here: "1 4 in I, 4 in II"
	Or        string  `json:"or"`         // and as it might be
	More      float64 `json:"more"`       // what that costs more; a plain shift by a semitone costs about 1

	other fingerboard.Other
}

// Said is the choice as a sentence.
func (o Other) Said() string {
	return words.Say("outline.other", "measure", o.Measure, "beat", words.Significant(o.Beat, 3), "this", o.Fingered, "other", o.Or)
}

// others lists the other fingerings of the printed notes, each once; of what comes
// again, where it stands first.
func (out *Outline) others() {
	out.Others = []Other{}
	alike := out.Learned()
	for _, o := range out.Plan.Others {
		first, last := &out.Line[o.First], &out.Line[o.Last]
		if first.Pass != 1 || last.Pass != 1 || alike[first.Measure] != first.Measure {
			continue
		}
		more := Other{
			Measure: first.Number, Beat: round(first.Beat, 3), ToMeasure: last.Number, More: round(o.More, 2),
			Fingered: handsIn(out.Plan.Notes[o.First : o.Last+1]), Or: handsIn(o.Notes), other: o,
		}
		same := func(p Other) bool {
			return p.Measure == more.Measure && p.Beat == more.Beat && p.Fingered == more.Fingered && p.Or == more.Or
		}
		if !slices.ContainsFunc(out.Others, same) {
			out.Others = append(out.Others, more)
		}
	}
}

// handsIn says a fingering in the fewest words: "1 4 in I, 0, 2 4 in III".
func handsIn(notes []fingerboard.Fingered) string {
	var said []words.Sentence
	for i := 0; i < len(notes); {
		f := notes[i]
		fingers := ""
		for ; i < len(notes) && notes[i].Position == f.Position && notes[i].Off == f.Off; i++ {
			if notes[i].Off {
				continue
			}
			if fingers != "" {
				fingers += " "
			}
			fingers += notes[i].Finger
		}
		switch {
		case fingers == "":
		case f.Stopped():
			said = append(said, words.Of("outline.other.hand", "fingers", fingers, "position", words.Position(f.Position).Printed()))
		default:
			said = append(said, words.Of("outline.other.open", "fingers", fingers))
		}
	}
	return words.Row(said...).String()
}

// Taken is a copy of the piece in which another fingering is marked, there and where the
// same measures come again: outlined anew it is played so, and written down it stays. p is
// the piece outlined.
func (out *Outline) Taken(p *piece.Piece, o Other) *piece.Piece {
	return o.other.Taken(p, out.Line, out.Learned())
}

// Take is Taken for the other fingering that begins in a measure. The error names the
// measures in which there is one.
func (out *Outline) Take(p *piece.Piece, measure string) (*piece.Piece, error) {
	var known []string
	for _, o := range out.Others {
		if o.Measure == measure {
			return out.Taken(p, o), nil
		}
		known = append(known, o.Measure)
	}
	if len(known) == 0 {
		return nil, words.Fault("outline.take.none", "typed", words.Quoted(measure))
	}
	return nil, words.Fault("outline.take", "typed", words.Quoted(measure), "known", words.List(slices.Compact(known)))
}
