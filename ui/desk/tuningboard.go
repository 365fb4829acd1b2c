package desk

import (
	"fmt"
	"math"
	"strings"

	"endpin/dsp"
	"endpin/piece/tuning"
)

// Board is what the tuning check says in large letters: a string, a shape, a
// word with its number, and what to do.
type Board struct {
	Name   string // "A"; "E–A" for a pair; empty before anything is played
	Shape  string // empty for none
	Word   string // "12 cents sharp", "beats 0.6 a second"
	Turn   string // which way to turn, or what is heard next
	Note   string // one calm sentence about the sound
	Moving bool   // the pitch does not stand yet
}

// Board makes of the check what is written large. Between two sounds what was
// heard last stays.
func (t *Tuner) Board() Board {
	l := t.Live
	b := Board{Note: l.Doubt}
	switch {
	case t.Said != "":
		b.Note = t.Said
	case b.Note == "" && l.Pair.Lower != 0 && t.Tone == 0:
		b.Note = l.Pair.About()
	}
	if t.Tone != 0 {
		b.Name, b.Shape, b.Word = t.in.Strings[t.Tone-1].Name, "♪", "the tone sounds"
		b.Turn = "Two octaves above the open string."
		return b
	}
	now := l.Now
	switch {
	case !now.Sounding && l.Outcome.InTune:
		b.Word = l.Outcome.Say()
		b.Turn = fmt.Sprintf("As they stand A is %.1f Hz.", l.Outcome.A4)
	case now.Sounding && now.Why == tuning.NoString:
		b.Shape, b.Word = tuning.Unsure, "not sure"
	case now.Sounding && (now.Why == tuning.Mixed || now.Why == tuning.Swelling):
		b.Shape, b.Word = tuning.Unsure, "one at a time"
	case l.Pair.Lower != 0:
		pairBoard(&b, l)
	case now.Sounding && now.String != 0:
		b.Name, b.Moving = t.in.Strings[now.String-1].Name, !now.Steady
		t.stringBoard(&b, now.Cents, now.Trust, now.Why == tuning.Weak)
	case l.Lately != 0:
		b.Name = t.in.Strings[l.Lately-1].Name
		for _, r := range l.Strings {
			if r.String == l.Lately && r.Trust != "" {
				t.stringBoard(&b, r.Cents, r.Trust, false)
				return b
			}
		}
		b.Shape, b.Word = tuning.Unsure, "not sure"
	case t.Hears:
		b.Word = "Play one string."
		b.Turn = "Open, or a harmonic that two neighbours share: the lower string first."
	}
	return b
}

func (t *Tuner) stringBoard(b *Board, cents float64, trust dsp.Trust, weak bool) {
	r := tuning.Reading{Trust: trust, Cents: cents, InTune: math.Abs(cents) <= t.tolerance()}
	if weak {
		b.Shape, b.Word = tuning.Unsure, "not sure"
		return
	}
	b.Shape, b.Word, b.Turn = r.Shape(), r.Say(), r.Turn()
}

// pairBoard tells of two strings by the harmonic that they share.
func pairBoard(b *Board, l TuningLive) {
	p := l.Pair
	b.Name = p.LowerName + "–" + p.UpperName
	heard, next := p.LowerName, p.UpperName
	if p.UppersTurn {
		heard, next = next, heard
	}
	b.Moving = l.Now.Sounding && !l.Now.Steady
	switch {
	case p.Both():
		b.Shape, b.Word = tuning.Good, p.Say()
		if !p.InTune {
			b.Shape = tuning.Flat
			if p.Wide > 0 {
				b.Shape = tuning.Sharp
			}
			b.Turn = p.UpperName + " is " + tuning.Off(p.Wide) + " against " + p.LowerName + "."
		}
	case p.Waiting:
		b.Word = heard + " is heard."
	default:
		b.Word = "Listening to " + heard + "."
	}
	switch {
	case p.Both() && p.Waiting:
		b.Turn += " Next: " + next + " again."
		b.Turn = strings.TrimSpace(b.Turn)
	case p.Waiting:
		b.Turn = "Next: the harmonic of " + next + ", touched at " + touched(p, !p.UppersTurn) + " of the string."
	}
}

// touched is where a string of a pair is touched.
func touched(p tuning.Pair, upper bool) string {
	partial := p.LowerPartial
	if upper {
		partial = p.UpperPartial
	}
	switch partial {
	case 2:
		return "half"
	case 3:
		return "a third"
	}
	return "a quarter"
}
