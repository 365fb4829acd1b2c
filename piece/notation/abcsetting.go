package notation

import (
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// voiceSettings are what fields set for a voice.
type voiceSettings struct {
	id, name  string
	time      piece.Time
	unit      float64 // the unit note length in ticks; 0 until an L: field
	key       abcKey
	tempo     float64 // quarter notes a minute; 0 for none
	program   int
	pitch     abcPitch
	clef      piece.Clef
	propagate string // how far an accidental reaches: pitch, octave or not
}

const maxVoices = 100

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
			r.left = append(r.left, words.Say("notation.abc.order", "order", short(value)))
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
		return atLine(r.line, err)
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
		return atLine(r.line, words.Fault("notation.abc.voice"))
	}
	s, known := r.settings[id]
	if !r.body {
		if !known {
			s = voiceSettings{}
		}
		s.id = id
		if err := s.properties(rest); err != nil {
			return atLine(r.line, err)
		}
		if len(r.settings) >= maxVoices {
			return atLine(r.line, words.Fault("notation.abc.voices", "most", maxVoices))
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
		return atLine(r.line, err)
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
		return nil, atLine(r.line, words.Fault("notation.abc.voices", "most", maxVoices))
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
