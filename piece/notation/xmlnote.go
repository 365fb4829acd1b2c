package notation

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// note reads one <note>.
func (r *measureReader) note(k *element) error {
	if r.notes++; r.notes > piece.MaxNotes {
		return atMeasure(r.m.Number, words.Fault("notation.too-many-notes", "most", piece.MaxNotes))
	}
	n := draftNote{shift: r.shift, staff: k.number("staff", 1), voice: k.of("voice"), chord: k.has("chord")}
	if r.traced {
		n.from = k
	}
	if n.voice == "" {
		n.voice = "1"
		if n.staff > 1 {
			n.voice = "staff " + k.of("staff")
		}
	}
	if value := k.of("type"); slices.Contains(piece.Values, value) {
		n.Value = value
	}
	n.Dots = len(k.all("dot"))
	n.Accidental = k.of("accidental")
	n.Tuplet = tupletOf(k)
	n.Grace = k.has("grace")
	for _, b := range k.all("beam") {
		if v := b.value(); (b.attr("number") == "" || b.attr("number") == "1") && (v == "begin" || v == "continue" || v == "end") {
			n.Beam = v
		}
	}
	length, err := r.noteLength(k, &n)
	if err != nil {
		return err
	}
	switch {
	case k.has("rest"):
		n.Rest = true
	case k.has("unpitched"):
		n.Rest, n.left = true, append(n.left, leftUnpitched)
	case k.has("pitch"):
		if err := r.pitch(k.child("pitch"), &n); err != nil {
			return err
		}
		if k.has("cue") {
			n.Rest, n.left = true, append(n.left, leftCue)
		}
	default:
		return atMeasure(r.m.Number, words.Fault("notation.xml.no-pitch"))
	}
	if n.Rest && n.Grace {
		return nil
	}
	r.notations(k, &n)
	start := r.pos
	if n.chord {
		start = r.last
	} else if !n.Grace {
		r.last = r.pos
		r.move(length)
	}
	n.Start = ticks(start)
	if !n.Grace {
		n.Length = ticks(start+length) - n.Start
		r.end = max(r.end, start+length)
	}
	r.m.notes = append(r.m.notes, n)
	return nil
}

// noteLength takes <duration>; where a file leaves it out, the note's type,
// dots and tuplet tell it, and a rest for a whole measure fills the measure.
func (r *measureReader) noteLength(k *element, n *draftNote) (float64, error) {
	switch {
	case n.Grace:
		return 0, nil
	case k.has("duration"):
		return r.duration(k)
	case k.child("rest").attr("measure") == "yes" && r.time.Beats > 0:
		return float64(r.time.Beat()) * float64(r.time.Beats), nil
	}
	length := float64(piece.ValueLength(n.Value))
	if length == 0 {
		return 0, atMeasure(r.m.Number, words.Fault("notation.xml.no-duration"))
	}
	length *= 2 - math.Pow(0.5, float64(min(n.Dots, 8)))
	if n.Tuplet.Actual > 0 {
		length *= float64(n.Tuplet.Normal) / float64(n.Tuplet.Actual)
	}
	return length, nil
}

func tupletOf(k *element) piece.Tuplet {
	m := k.child("time-modification")
	t := piece.Tuplet{Actual: m.number("actual-notes", 0), Normal: m.number("normal-notes", 0)}
	if t.Actual < 1 || t.Normal < 1 || t.Actual > 1000 || t.Normal > 1000 {
		return piece.Tuplet{}
	}
	return t
}

// pitch reads <pitch>. MusicXML's octave counts an octave clef in; the page's
// does not.
func (r *measureReader) pitch(p *element, n *draftNote) error {
	step := p.of("step")
	_, ok := piece.Semitones(step)
	oct, err := strconv.Atoi(p.of("octave"))
	if !ok || err != nil || oct < 0 || oct > 9 {
		return atMeasure(r.m.Number, words.Fault("notation.xml.pitch", "typed", typed(step+p.of("octave"))))
	}
	alter := 0.0
	if text := p.of("alter"); text != "" {
		if alter, err = strconv.ParseFloat(text, 64); err != nil || !(math.Abs(alter) <= 4) {
			return atMeasure(r.m.Number, words.Fault("notation.xml.alteration", "typed", typed(text)))
		}
		if alter != math.Trunc(alter) {
			n.left = append(n.left, leftQuarterTone)
		}
	}
	whole := int(math.Round(alter))
	n.Spelling = piece.Spelling{Step: step, Alter: whole, Octave: oct}
	n.pitch = n.Spelling.Pitch()
	if !r.stated {
		n.Spelling.Octave -= r.octaves
	}
	return nil
}

// notations reads ties, slurs and everything drawn at the note.
func (r *measureReader) notations(k *element, n *draftNote) {
	for _, t := range k.all("tie") {
		n.TieToNext = n.TieToNext || t.attr("type") == "start"
	}
	for _, all := range k.all("notations") {
		for _, x := range all.kids {
			switch x.name {
			case "tied":
				n.TieToNext = n.TieToNext || x.attr("type") == "start"
			case "slur":
				if t := x.attr("type"); t == "start" || t == "stop" {
					n.slurs = append(n.slurs, slurEnd{x.attr("number"), t == "start"})
				}
			case "fermata":
				n.Articulated.Fermata = true
			case "articulations":
				articulations(x, n)
			case "technical":
				technical(x, n)
			case "ornaments":
				if len(x.kids) > 0 {
					n.left = append(n.left, leftOrnament)
				}
			}
		}
	}
	if n.Rest {
		n.TieToNext = false
	}
}

func articulations(x *element, n *draftNote) {
	for _, a := range x.kids {
		switch a.name {
		case "staccato", "staccatissimo", "spiccato", "detached-legato":
			n.Articulated.Staccato = true
		case "breath-mark", "caesura":
			n.Articulated.Breath = true
		}
	}
}

// technical reads what a teacher pencils in: finger, string, bow, position.
func technical(x *element, n *draftNote) {
	for _, t := range x.kids {
		switch t.name {
		case "fingering":
			if f := fingerOf(t.value()); f != "" && t.attr("substitution") != "yes" && t.attr("alternate") != "yes" {
				n.Marks.Finger = f
			}
		case "string":
			if s, err := strconv.Atoi(t.value()); err == nil && s >= 1 && s <= 6 {
				n.Marks.String = s
			}
		case "open-string":
			n.Marks.Open = true
		case "thumb-position":
			n.Marks.Finger, n.Marks.Position = "T", "thumb"
		case "harmonic":
			n.Marks.Harmonic = n.Marks.Harmonic || !t.has("artificial")
		case "up-bow":
			n.Marks.Bow = piece.Up
		case "down-bow":
			n.Marks.Bow = piece.Down
		case "other-technical":
			if p := piece.PositionOf(t.value()); p != "" {
				n.Marks.Position = p
			}
		}
	}
}

// fingerOf reads a finger: "0" to "4", or the thumb.
func fingerOf(text string) string {
	switch text = strings.TrimSpace(text); text {
	case "0", "1", "2", "3", "4":
		return text
	case "T", "t", "+", "ϙ", "Q", "𝆰":
		return "T"
	}
	return ""
}
