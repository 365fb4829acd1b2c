package notation

import (
	"regexp"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// abcPitch is how far typed pitches lie from the page and from the sound.
type abcPitch struct {
	clefKnown  bool
	octave     int // octave=: typed to page, in octaves
	octaveSet  bool
	middle     int // middle=: typed to page, in octaves
	clefOctave int // of bass-8 and its like: page to sound
	transpose  int // transpose=: page to sound, in semitones
	stated     bool
}

func (p abcPitch) over(header abcPitch) abcPitch {
	if !p.clefKnown {
		p.clefOctave, p.middle = header.clefOctave, header.middle
	}
	if !p.octaveSet {
		p.octave = header.octave
	}
	if !p.stated {
		p.transpose, p.stated = header.transpose, header.stated
	}
	return p
}

// shift is from the page to the sound, in semitones.
func (p abcPitch) shift() int { return piece.Octave*p.clefOctave + p.transpose }

// written says what of this the user should know.
func (p abcPitch) written() transposition {
	t := transposition{stated: p.stated || p.clefOctave != 0, semitones: p.shift()}
	switch {
	case p.clefOctave != 0 && p.transpose == 0:
		t.by = clefSentence(p.clefOctave)
	case t.stated:
		t.by = words.Say("notation.transposed", "sounding", sounding(t.semitones))
	}
	return t
}

var clefName = regexp.MustCompile(`^(treble|alto|tenor|bass|perc|none|[GCF])([1-5]?)([+\-^_]8|[+\-^_]15)?$`)

func isClef(word string) bool { return clefName.MatchString(word) }

var clefs = map[string]piece.Clef{
	"treble": {Sign: "G", Line: 2}, "G": {Sign: "G", Line: 2},
	"alto": {Sign: "C", Line: 3}, "C": {Sign: "C", Line: 3}, "tenor": {Sign: "C", Line: 4},
	"bass": {Sign: "F", Line: 4}, "F": {Sign: "F", Line: 4},
}

// middleOf is the note on the middle line of a clef (ABC 2.1, 4.6), counted in
// diatonic steps from C4.
var middleOf = map[string]int{"treble": 6, "G": 6, "alto": 0, "C": 0, "tenor": -2, "bass": -6, "F": -6}

// properties reads what K: and V: share: the clef and where its notes sound.
func (s *voiceSettings) properties(text string) error {
	text = strings.TrimSpace(text)
	bare := properties.ReplaceAllString(text, " ")
	for _, word := range strings.Fields(bare) {
		if len(word) > 1 && isClef(word) { // K:G is a key, not a clef
			s.setClef(word)
		}
	}
	for _, m := range properties.FindAllStringSubmatch(text, -1) {
		value := strings.Trim(m[2], `"`)
		n, err := strconv.Atoi(strings.TrimPrefix(value, "+"))
		switch strings.ToLower(m[1]) {
		case "clef":
			if !isClef(value) {
				return words.Fault("notation.abc.clef", "typed", typed(value))
			}
			s.setClef(value)
		case "name", "nm":
			s.name = value
		case "octave":
			if err != nil || n < -6 || n > 6 {
				return words.Fault("notation.abc.octave", "typed", short(value))
			}
			s.pitch.octave, s.pitch.octaveSet = n, true
		case "transpose", "t":
			if err != nil || n < -48 || n > 48 {
				return words.Fault("notation.abc.transpose", "typed", short(value))
			}
			s.pitch.transpose, s.pitch.stated = n, true
		case "middle", "m":
			s.setMiddle(value)
		}
	}
	return nil
}

func (s *voiceSettings) setClef(word string) {
	m := clefName.FindStringSubmatch(word)
	c, ok := clefs[m[1]]
	if !ok {
		return // percussion or none: no place for bass notes
	}
	if m[2] != "" {
		c.Line = int(m[2][0] - '0')
	}
	s.pitch.clefKnown, s.pitch.clefOctave, s.pitch.middle = true, 0, 0
	switch m[3] {
	case "-8", "_8":
		s.pitch.clefOctave = -1
	case "+8", "^8":
		s.pitch.clefOctave = 1
	case "-15", "_15":
		s.pitch.clefOctave = -2
	case "+15", "^15":
		s.pitch.clefOctave = 2
	}
	c.Octave = s.pitch.clefOctave
	s.clef = c
}

// setMiddle reads middle=: a whole number of octaves off the clef's own middle
// line it moves the notes, else it moves the clef, which plays the same.
func (s *voiceSettings) setMiddle(value string) {
	if value == "" {
		return
	}
	step := strings.IndexByte(piece.Letters, strings.ToUpper(value)[0])
	if step < 0 {
		return
	}
	if value[0] >= 'a' {
		step += 7
	}
	step += 7 * (strings.Count(value, "'") - strings.Count(value, ","))
	off := middleOf["bass"] - step
	for name, c := range clefs {
		if c.Sign == s.clef.Sign && c.Line == s.clef.Line {
			off = middleOf[name] - step
		}
	}
	if off%7 == 0 && off/7 >= -6 && off/7 <= 6 {
		s.pitch.middle = off / 7
	}
}
