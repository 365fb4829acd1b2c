package notation

import (
	"bytes"
	"regexp"
	"slices"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
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
	passed          []passed // what is no music, by lines
}

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
		v.survey()
		parts = append(parts, v.part)
	}
	if !r.body {
		return nil, words.Fault("notation.abc.no-key")
	}
	if len(parts) == 0 {
		return nil, words.Fault("notation.abc.no-notes")
	}
	c, err := choose(parts, o.part, o.supposing.family)
	if err != nil {
		return nil, err
	}
	d := &r.voices[c.index].draft
	d.taken, d.parts = c.taken(parts, o.supposing.instrument), c.listed(parts, o.supposing.family)
	d.title, d.composer = r.title, r.composer
	d.left.notes = slices.Concat(r.left, r.passedOver(), d.left.notes)
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
		r.left = append(r.left, words.Say("notation.abc.tunes", "n", n+1))
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
			r.left = append(r.left, words.Say("notation.abc.empty-line", "line", at+1))
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
