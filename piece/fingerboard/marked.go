package fingerboard

import (
	"endpin/piece"
)

// Penciled says how much of a plan is marked over the notes.
type Penciled int

// How much is marked. WhereTheHandMoves marks finger, string and position where
// a hand frame begins, fingers that reach, and what would otherwise be fingered
// in another way; EveryNote every finger, and the string wherever it changes.
const (
	WhereTheHandMoves Penciled = iota
	EveryNote
)

// Marked is a copy of the piece with a plan's fingers, strings and positions
// marked over its notes. Marks that stand there already are kept. Line is the
// whole piece's and plan its fingering under the options; a note that comes
// round again is marked as it is fingered the first time. Whoever fingers the
// copy under the same options finds the same plan, but where a repeat was
// fingered in two ways.
func (in Instrument) Marked(p *piece.Piece, line []piece.Expected, plan Plan, o Options, how Penciled) *piece.Piece {
	marked := p.Copied()
	frame, str := -1, 0
	for i, f := range plan.Notes {
		if line[i].Pass > 1 || f.Off {
			continue
		}
		m := &marked.Measures[line[i].Measure].Notes[line[i].Note].Marks
		begins := f.Stopped() && f.Frame != frame
		if f.Stopped() {
			frame = f.Frame
		}
		pencil(m, f, begins, begins || f.Reach || how == EveryNote, begins || how == EveryNote && f.String != str)
		str = f.String
	}
	if how == EveryNote {
		return marked
	}
	// What the marks leave open may be fingered otherwise than before: each round
	// marks fully what came out differently, and so at last all of it.
	for range 4 {
		again, _ := marked.Line()
		now := in.Finger(again, o)
		settled := true
		for i, f := range plan.Notes {
			if line[i].Pass > 1 || f.Off || sameStop(f, now.Notes[i]) {
				continue
			}
			pencil(&marked.Measures[line[i].Measure].Notes[line[i].Note].Marks, f, f.Stopped(), true, true)
			settled = false
		}
		if settled {
			break
		}
	}
	return marked
}

// pencil writes what is asked for where nothing stands yet.
func pencil(m *piece.Marks, f Fingered, position, finger, str bool) {
	if finger && m.Finger == "" && !m.Open {
		m.Finger = f.Finger
	}
	if str && m.String == 0 {
		m.String = f.String
	}
	if position && m.Position == "" && f.Stopped() {
		m.Position = f.Position
	}
}

func sameStop(a, b Fingered) bool {
	return a.String == b.String && a.Finger == b.Finger && a.Position == b.Position
}

// Span is the notes of one hand frame, indexes into the line, both included.
type Span struct{ First, Last int }

// Spans gives the hand frames in order, from the first to the last note that a
// finger stops in each. Frames of one note are among them.
func (pl Plan) Spans() []Span {
	var spans []Span
	for i, f := range pl.Notes {
		switch {
		case !f.Stopped():
		case f.Frame == len(spans):
			spans = append(spans, Span{i, i})
		default:
			spans[f.Frame].Last = i
		}
	}
	return spans
}
