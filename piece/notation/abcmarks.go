package notation

import (
	"slices"
	"strings"

	"endpin/piece"
)

// shorthands are the decorations written as one sign (ABC 2.1, 4.14).
var shorthands = map[byte]string{
	'.': "staccato", '~': "roll", 'H': "fermata", 'L': "accent", 'M': "lowermordent", 'O': "coda",
	'P': "uppermordent", 'S': "segno", 'T': "trill", 'u': "upbow", 'v': "downbow",
}

func (v *abcVoice) shorthand(c byte, user map[byte]string) (known bool) {
	name, ok := user[c]
	if !ok {
		name = shorthands[c]
	}
	if name != "" {
		v.decorate(name)
	}
	return ok || name != ""
}

// decorate takes a decoration: what belongs to the measure at once, what
// belongs to a note when that comes.
func (v *abcVoice) decorate(name string) {
	switch lower := strings.ToLower(name); lower {
	case "segno":
		v.segno = v.pos
	case "coda":
		v.codaAt(v.pos)
	case "dacoda", "tocoda":
		v.ending(instruction{toCoda: true})
	case "dacapo":
		v.ending(instruction{jump: piece.DaCapo})
	default:
		if i := wordsOf(jumpName(lower)); i.jump != piece.NoJump || i.fine {
			v.ending(i)
			return
		}
		if len(v.waiting) < 16 {
			v.waiting = append(v.waiting, lower)
		}
	}
}

// jumpName spaces D.C.alfine as words are.
func jumpName(name string) string {
	return strings.ReplaceAll(name, ".al", ". al ")
}

// ending takes an instruction for the end of a measure: of the one being
// written, or where that is still empty of the one before.
func (v *abcVoice) ending(i instruction) {
	m := v.m
	if n := len(v.measures); !v.holds() && n > 0 {
		v.pendingEnd = &i // a note may still follow
		return
	}
	endMeasureWith(m, i)
}

func endMeasureWith(m *draftMeasure, i instruction) {
	if i.jump != piece.NoJump {
		m.Jump = i.jump
	}
	m.Fine = m.Fine || i.fine
	m.ToCoda = m.ToCoda || i.toCoda
}

// annotation reads words in quotes: a sign for their place, then the words. A
// chord symbol is no instruction.
func (v *abcVoice) annotation(words string) {
	placed := words != "" && strings.IndexByte("^_<>@", words[0]) >= 0
	if placed {
		words = words[1:]
	}
	i := wordsOf(words)
	if i.jump != piece.NoJump || i.fine || i.toCoda {
		v.ending(i)
		return
	}
	if known := v.instruct(i, v.pos, nil); placed && (!known || i.flow != nil) {
		v.text(words, v.pos)
	}
}

// applyWaiting gives the next note its decorations.
func (v *abcVoice) applyWaiting(n *draftNote) {
	for _, name := range v.waiting {
		switch name {
		case "staccato", "wedge":
			n.Articulated.Staccato = true
		case "fermata", "invertedfermata":
			n.Articulated.Fermata = true
		case "breath", "caesura", "shortphrase", "mediumphrase", "longphrase":
			n.Articulated.Breath = true
		case "upbow":
			n.Marks.Bow = piece.Up
		case "downbow":
			n.Marks.Bow = piece.Down
		case "open":
			n.Marks.Open = true
		case "thumb":
			n.Marks.Finger = "T"
		case "harmonic":
			n.Marks.Harmonic = true
		case "trill", "roll", "turn", "turnx", "invertedturn", "invertedturnx", "mordent", "lowermordent", "uppermordent", "pralltriller",
			"tremolo", "/", "//", "///":
			n.left = append(n.left, leftOrnament)
		default:
			if piece.IsLoudness(name) && len(n.Dynamics) < maxDynamics {
				n.Dynamics = strings.TrimSpace(n.Dynamics + " " + name)
			}
			if f := fingerOf(name); f != "" && f != "T" {
				n.Marks.Finger = f
			}
		}
	}
	v.waiting = nil
}

// atBarLine gives what still waits for a note to the place it ends up at: the
// measure before, or the note before.
func (v *abcVoice) atBarLine() {
	if n := len(v.measures); v.pendingEnd != nil && n > 0 {
		endMeasureWith(v.measures[n-1], *v.pendingEnd)
		v.pendingEnd = nil
	}
	n := v.lastNote()
	v.waiting = slices.DeleteFunc(v.waiting, func(name string) bool {
		fermata, breath := name == "fermata", name == "breath"
		if n != nil {
			n.Articulated.Fermata = n.Articulated.Fermata || fermata
			n.Articulated.Breath = n.Articulated.Breath || breath
		}
		return fermata || breath
	})
}
