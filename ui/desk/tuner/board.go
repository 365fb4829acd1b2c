package tuner

import (
	"math"

	"endpin/dsp"
	"endpin/piece/tuning"
	"endpin/piece/words"
	"endpin/ui/desk/said"
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
		b.Name, b.Shape, b.Word = words.OpenString(t.in.Strings[t.Tone-1].Name).String(), "♪", words.Say("desk.board.tone")
		b.Turn = words.Say("desk.board.octaves")
		return b
	}
	now := l.Now
	switch {
	case !now.Sounding && l.Outcome.InTune:
		b.Word = l.Outcome.Say()
		b.Turn = words.Say("desk.board.a4", "hz", words.Fixed(l.Outcome.A4, 1))
	case now.Sounding && now.Why == tuning.NoString:
		b.Shape, b.Word = tuning.Unsure, words.Say("desk.board.not-sure")
	case now.Sounding && (now.Why == tuning.Mixed || now.Why == tuning.Swelling):
		b.Shape, b.Word = tuning.Unsure, words.Say("desk.board.one")
	case l.Pair.Lower != 0:
		pairBoard(&b, l)
	case now.Sounding && now.String != 0:
		b.Name, b.Moving = words.OpenString(t.in.Strings[now.String-1].Name).String(), !now.Steady
		t.stringBoard(&b, now.Cents, now.Trust, now.Why == tuning.Weak)
	case l.Lately != 0:
		b.Name = words.OpenString(t.in.Strings[l.Lately-1].Name).String()
		for _, r := range l.Strings {
			if r.String == l.Lately && r.Trust != "" {
				t.stringBoard(&b, r.Cents, r.Trust, false)
				return b
			}
		}
		b.Shape, b.Word = tuning.Unsure, words.Say("desk.board.not-sure")
	case t.Hears:
		b.Word, b.Turn = words.Say("desk.board.play"), words.Say("desk.board.play.which")
	}
	return b
}

func (t *Tuner) stringBoard(b *Board, cents float64, trust dsp.Trust, weak bool) {
	r := tuning.Reading{Trust: trust, Cents: cents, InTune: math.Abs(cents) <= t.host.Tolerance()}
	if weak {
		b.Shape, b.Word = tuning.Unsure, words.Say("desk.board.not-sure")
		return
	}
	b.Shape, b.Word, b.Turn = r.Shape(), r.Say(), r.Turn()
}

// pairBoard tells of two strings by the harmonic that they share.
func pairBoard(b *Board, l Live) {
	p := l.Pair
	lower, upper := words.OpenString(p.LowerName), words.OpenString(p.UpperName)
	b.Name = lower.String() + "–" + upper.String()
	heard, next := lower, upper
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
			b.Turn = words.Say("desk.board.pair", "upper", upper, "off", tuning.Off(p.Wide), "lower", lower)
		}
	case p.Waiting:
		b.Word = words.Say("desk.board.heard", "string", heard)
	default:
		b.Word = words.Say("desk.board.listening", "string", heard)
	}
	switch {
	case p.Both() && p.Waiting:
		b.Turn = said.Joined(b.Turn, words.Say("desk.board.next.again", "string", next))
	case p.Waiting:
		b.Turn = words.Say("desk.board.next."+touched(p, !p.UppersTurn), "string", next)
	}
}

// touched is the part of a string of a pair at which it is touched, as the catalogue
// names it.
func touched(p tuning.Pair, upper bool) string {
	partial := p.LowerPartial
	if upper {
		partial = p.UpperPartial
	}
	switch partial {
	case 2:
		return "half"
	case 3:
		return "third"
	}
	return "quarter"
}
