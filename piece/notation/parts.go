package notation

import (
	"strconv"
	"strings"

	"endpin/piece/words"
)

// part is what a file says of one of its parts (a voice, in ABC).
type part struct {
	id      string
	name    string
	about   []string // instrument names and sounds
	program int      // General MIDI program from 1; 0 for none
	pitched bool     // has at least one note with a pitch
}

// bassNames are the double bass's names in the languages that parts come in;
// notBass are instruments that only begin like it. Common practice, no source.
var (
	bassNames = []string{"bass", "basso", "contrabbasso", "contrabajo", "contrebasse", "kontrabas", "contrabas",
		"kontrabass", "contrabass", "nagybőgő", "контрабас", "コントラバス", "低音提琴", "콘트라베이스", "string.contrabass", "strings.contrabass"}
	notBass = []string{"bassoon", "basson", "bass clarinet", "bass drum", "bass trombone", "bass flute", "bass trumpet",
		"bass tuba", "contrabassoon", "contrabass clarinet", "contrabass trombone", "contrabass tuba", "contrabass flute",
		"bass oboe", "bass recorder", "bass saxophone", "bassett", "basset", "basso continuo"}
)

// isBass reports whether a part says that it is for a bass: by its name, its
// instrument, or one of General MIDI's bass programs (33 to 40 and 44, from 1).
func (p part) isBass() bool {
	return p.namedBass() || p.program >= 33 && p.program <= 40 || p.program == 44
}

func (p part) namedBass() bool {
	for _, text := range append([]string{p.name}, p.about...) {
		text = strings.ToLower(text)
		if containsAny(text, bassNames) && !containsAny(text, notBass) {
			return true
		}
	}
	return false
}

func containsAny(text string, words []string) bool {
	for _, w := range words {
		if strings.Contains(text, w) {
			return true
		}
	}
	return false
}

// choose picks a part: the one wanted, else the first bass with pitched notes,
// else the first with pitched notes, else the first.
func choose(parts []part, wanted string) (int, error) {
	if len(parts) == 0 {
		return 0, words.Fault("notation.no-part")
	}
	if wanted = strings.TrimSpace(wanted); wanted != "" {
		return wantedPart(parts, wanted)
	}
	for i, p := range parts {
		if p.pitched && p.isBass() {
			return i, nil
		}
	}
	for i, p := range parts {
		if p.pitched {
			return i, nil
		}
	}
	return 0, nil
}

func wantedPart(parts []part, wanted string) (int, error) {
	for i, p := range parts {
		if strings.EqualFold(p.name, wanted) || strings.EqualFold(p.id, wanted) {
			return i, nil
		}
	}
	if n, err := strconv.Atoi(wanted); err == nil && n >= 1 && n <= len(parts) {
		return n - 1, nil
	}
	for i, p := range parts {
		if strings.Contains(strings.ToLower(p.name), strings.ToLower(wanted)) {
			return i, nil
		}
	}
	var names []string
	for i, p := range parts {
		if i == 12 {
			names = append(names, "…")
			break
		}
		names = append(names, strconv.Itoa(i+1)+" "+p.label())
	}
	return 0, words.Fault("notation.part-absent", "typed", words.Quoted(wanted), "parts", words.Row(names...))
}

func (p part) label() string {
	if p.name != "" {
		return p.name
	}
	return p.id
}
