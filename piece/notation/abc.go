package notation

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"endpin/piece"
)

// abcField finds a line that only ABC has: a reference number or a key.
var abcField = regexp.MustCompile(`(?m)^(?:X:\s*[0-9]|K:)`)

func looksLikeABC(text []byte) bool { return abcField.Match(text) }

// abcReader reads the first tune of an ABC file (ABC standard 2.1).
type abcReader struct {
	title, composer string
	header          voiceSettings // what a new voice begins with
	settings        map[string]voiceSettings
	defined         []string        // the voices of the header, in order
	user            map[byte]string // U: symbols and what they stand for
	voices          []*abcVoice
	voice           *abcVoice // the one being written
	body            bool      // the header has ended with K:
	line            int
	measures, notes int // in all voices: bounds
	left            []string
	passedOver      bool
}

// voiceSettings are what fields set for a voice.
type voiceSettings struct {
	id, name  string
	time      piece.Time
	timeKnown bool
	unit      float64 // the unit note length in ticks; 0 until an L: field
	key       abcKey
	tempo     float64 // quarter notes a minute; 0 for none
	program   int
	pitch     abcPitch
	clef      piece.Clef
	propagate string // how far an accidental reaches: pitch, octave or not
}

const maxVoices = 100

func readABC(text []byte, o options) (*draft, error) {
	r := &abcReader{settings: map[string]voiceSettings{}, user: map[byte]string{}}
	r.header = voiceSettings{clef: piece.Clef{Sign: "F", Line: 4}, propagate: "pitch"}
	if err := r.read(asUTF8(text)); err != nil {
		return nil, err
	}
	var parts []part
	for _, v := range r.voices {
		if err := v.finishVoice(); err != nil {
			return nil, err
		}
	}
	// A field may have opened a voice that no note was written in.
	r.voices = slices.DeleteFunc(r.voices, func(v *abcVoice) bool { return len(v.measures) == 0 })
	for _, v := range r.voices {
		parts = append(parts, v.part)
	}
	if !r.body {
		return nil, fmt.Errorf("no key: write a line such as K:G between the header and the notes")
	}
	if len(parts) == 0 {
		return nil, fmt.Errorf("no notes after the key: write the tune below the K: line")
	}
	chosen, err := choose(parts, o.part)
	if err != nil {
		return nil, err
	}
	d := &r.voices[chosen].draft
	d.title, d.composer = r.title, r.composer
	d.left.notes = append(r.left, d.left.notes...)
	return d, nil
}

// read goes through the lines up to the end of the first tune.
func (r *abcReader) read(text []byte) error {
	lines := bytes.Split(bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")), []byte("\n"))
	if len(lines) == 1 {
		lines = bytes.Split(text, []byte("\r"))
	}
	begun, block := false, ""
	for i, raw := range lines {
		r.line = i + 1
		line := strings.TrimRight(string(raw), " \t\r")
		switch {
		case block != "": // inside %%begintext and its like
			if strings.HasPrefix(line, "%%end"+block) {
				block = ""
			}
			continue
		case strings.HasPrefix(line, "%%begin"):
			block, _, _ = strings.Cut(strings.TrimPrefix(line, "%%begin"), " ")
			continue
		case strings.HasPrefix(line, "%%"):
			r.directive(line[2:])
			continue
		}
		line = uncomment(line)
		if strings.HasPrefix(line, "X:") {
			if begun && (r.body || r.title != "") {
				r.otherTunes(lines[i:])
				return nil
			}
			begun = true
			continue
		}
		if strings.TrimSpace(line) == "" {
			if r.body && r.notes > 0 && len(bytes.TrimSpace(raw)) == 0 {
				r.afterTune(lines[i:], i)
				return nil
			}
			continue
		}
		if err := r.readLine(line); err != nil {
			return err
		}
	}
	return nil
}

// uncomment cuts a line at its comment; \% is a percent sign.
func uncomment(line string) string {
	for i := 0; i < len(line); i++ {
		if line[i] == '%' && (i == 0 || line[i-1] != '\\') {
			return strings.TrimRight(line[:i], " \t")
		}
	}
	return line
}

// otherTunes says that a file holds more than the tune read.
func (r *abcReader) otherTunes(lines [][]byte) {
	n := 0
	for _, l := range lines {
		if bytes.HasPrefix(l, []byte("X:")) {
			n++
		}
	}
	if n > 0 {
		r.left = append(r.left, fmt.Sprintf("The file holds %d tunes; the first one is read.", n+1))
	}
}

// afterTune says what stands below the empty line that ends a tune.
func (r *abcReader) afterTune(lines [][]byte, at int) {
	for i, l := range lines {
		if bytes.HasPrefix(l, []byte("X:")) {
			r.otherTunes(lines[i:])
			return
		}
		if bytes.IndexByte(l, '|') >= 0 && !bytes.HasPrefix(l, []byte("%")) {
			r.left = append(r.left, fmt.Sprintf("The empty line %d ends the tune; the notes below it are not read.", at+1))
			return
		}
	}
}

// fieldLine recognises a field by its letter and colon; music cannot begin so,
// for a repeat sign needs its bar line.
var fieldLine = regexp.MustCompile(`^[A-Za-z+]:`)

func (r *abcReader) readLine(line string) error {
	if fieldLine.MatchString(line) && !strings.HasPrefix(line, "|:") {
		return r.field(line[0], strings.TrimSpace(line[2:]))
	}
	if !r.body {
		return nil // free text before the tune
	}
	return r.music(line)
}

// field reads an information field, from a line of its own or inline.
func (r *abcReader) field(name byte, value string) error {
	switch name {
	case 'T':
		if r.title == "" {
			r.title = value
		}
	case 'C':
		if r.composer == "" {
			r.composer = value
		}
	case 'U':
		if sym, deco, ok := strings.Cut(value, "="); ok && len(strings.TrimSpace(sym)) == 1 {
			r.user[strings.TrimSpace(sym)[0]] = strings.Trim(strings.TrimSpace(deco), "!+")
		}
	case 'I':
		r.directive(value)
	case 'P':
		if r.body {
			r.current().m.Rehearsal = short(value)
		} else if len(r.left) == 0 {
			r.left = append(r.left, fmt.Sprintf("The order of sections P:%s is not played; the tune is read from top to bottom.", short(value)))
		}
	case 'M', 'L', 'Q', 'K':
		return r.setting(name, value)
	case 'V':
		return r.voiceField(value)
	}
	return nil
}

// setting reads a field that holds for what follows: in the header for every
// voice, in the body for the voice being written.
func (r *abcReader) setting(name byte, value string) error {
	s := &r.header
	if r.body {
		s = &r.current().set
	}
	var err error
	switch name {
	case 'M':
		s.time, err = abcMeter(value)
		s.timeKnown = true
	case 'L':
		s.unit, err = abcUnit(value)
	case 'Q':
		if qpm := abcTempo(value); qpm > 0 {
			s.tempo = qpm
			if r.body {
				r.voice.tempo(qpm, r.voice.pos)
			}
		}
	case 'K':
		err = s.setKey(value)
	}
	if err != nil {
		return atLine(r.line, "%w", err)
	}
	if r.body {
		r.voice.settle()
	}
	if name == 'K' {
		r.body = true
	}
	return nil
}

// voiceField reads V: it defines a voice, and in the body also chooses it.
func (r *abcReader) voiceField(value string) error {
	id, rest, _ := strings.Cut(value, " ")
	if id == "" {
		return atLine(r.line, "a voice without a name: write V:1 or V:bass")
	}
	s, known := r.settings[id]
	if !r.body {
		if !known {
			s = voiceSettings{}
		}
		s.id = id
		if err := s.properties(rest); err != nil {
			return atLine(r.line, "%w", err)
		}
		if len(r.settings) >= maxVoices {
			return atLine(r.line, "more than %d voices: save the bass voice alone", maxVoices)
		}
		if !known {
			r.defined = append(r.defined, id)
		}
		r.settings[id] = s
		return nil
	}
	v, err := r.voiceOf(id)
	if err != nil {
		return err
	}
	r.voice = v
	if err := v.set.properties(rest); err != nil {
		return atLine(r.line, "%w", err)
	}
	v.settle()
	return nil
}

// voiceOf finds a voice, or begins it with what the header says of it.
func (r *abcReader) voiceOf(id string) (*abcVoice, error) {
	for _, v := range r.voices {
		if v.set.id == id {
			return v, nil
		}
	}
	if len(r.voices) >= maxVoices {
		return nil, atLine(r.line, "more than %d voices: save the bass voice alone", maxVoices)
	}
	s := r.header
	s.id = id
	if own, ok := r.settings[id]; ok {
		s = own.over(r.header)
	}
	v := newABCVoice(s)
	r.voices = append(r.voices, v)
	return v, nil
}

// current is the voice being written: until the tune names one, the first.
func (r *abcReader) current() *abcVoice {
	if r.voice == nil {
		id := "1"
		if len(r.defined) > 0 {
			id = r.defined[0]
		}
		r.voice, _ = r.voiceOf(id) // the first voice is never one too many
	}
	return r.voice
}

// over fills in from the tune's header what a voice's own definition leaves open.
func (s voiceSettings) over(header voiceSettings) voiceSettings {
	out := header
	out.id, out.name = s.id, s.name
	if s.pitch.clefKnown {
		out.clef = s.clef
	}
	out.pitch = s.pitch.over(header.pitch)
	return out
}

// directive reads the few stylesheet directives that change what sounds.
func (r *abcReader) directive(text string) {
	words := strings.Fields(text)
	s := &r.header
	if r.body {
		s = &r.current().set
	}
	switch {
	case len(words) >= 2 && words[0] == "propagate-accidentals":
		s.propagate = words[1]
	case len(words) >= 3 && words[0] == "MIDI" && words[1] == "program":
		if n, err := strconv.Atoi(words[len(words)-1]); err == nil {
			s.program = n + 1
			if r.body {
				r.voice.part.program = n + 1
			}
		}
	case len(words) >= 3 && words[0] == "MIDI" && words[1] == "transpose":
		if n, err := strconv.Atoi(words[2]); err == nil && n >= -48 && n <= 48 {
			s.pitch.transpose, s.pitch.stated = n, true
			if r.body {
				r.voice.settle()
			}
		}
	}
}
