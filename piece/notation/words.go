package notation

import (
	"regexp"
	"strings"

	"endpin/piece"
)

var (
	jumpWords   = regexp.MustCompile(`^(d\.?\s*c\.?|da\s+capo|d\.?\s*s\.?|dal\s+segno)(\s*al.*|\s*senza.*|\s*e\s.*|\s*poi.*)?$`)
	toCodaWords = regexp.MustCompile(`^(to\s+coda|al\s+coda|alla\s+coda)\b.*$`)
	stringWords = regexp.MustCompile(`^sul(?:la)?\s*([gdae])\b`)
)

// instruction is what a few words over the staff ask for.
type instruction struct {
	jump         piece.Jump
	fine, toCoda bool
	coda         bool // "Coda": the coda begins here
	pizz, arco   bool
	mark         func(*piece.Marks)
	loud         string // how loud from here on
	flow         *bool  // whether the pace may change from here on
}

// flowWords are the words that let the pace change, and those that take the tempo again.
var flowWords = regexp.MustCompile(`^(?:(?:poco a poco |poco |un poco |molto |sempre )*(rit\.?|ritard\w*\.?|ritenuto|rall\w*\.?|allarg\w*\.?|slarg\w*\.?|accel\w*\.?|stringendo|affrett\w*\.?|calando|rubato|ad lib\w*\.?)(?: .*)?|(?:a|in) tempo\b.*|tempo (?:i|1|primo)\b.*)$`)

// wordsOf reads words over the staff. Words that mean nothing to Endpin give
// the zero value.
func wordsOf(text string) instruction {
	text = strings.Join(strings.Fields(text), " ")
	if text == "" || len(text) > 80 {
		return instruction{}
	}
	lower := strings.Trim(strings.ToLower(text), "()[]")
	if m := jumpWords.FindStringSubmatch(lower); m != nil {
		if strings.HasPrefix(strings.ReplaceAll(lower, " ", ""), "dac") || strings.HasPrefix(strings.NewReplacer(" ", "", ".", "").Replace(lower), "dc") {
			return instruction{jump: piece.DaCapo}
		}
		return instruction{jump: piece.DalSegno}
	}
	switch {
	case lower == "fine" || lower == "fine.":
		return instruction{fine: true}
	case toCodaWords.MatchString(lower):
		return instruction{toCoda: true}
	case lower == "coda":
		return instruction{coda: true}
	case strings.HasPrefix(lower, "pizz"):
		return instruction{pizz: true}
	case lower == "arco" || strings.HasPrefix(lower, "arco ") || lower == "col arco" || lower == "arco.":
		return instruction{arco: true}
	}
	if m := flowWords.FindStringSubmatch(lower); m != nil {
		free := m[1] != ""
		return instruction{flow: &free}
	}
	if m := stringWords.FindStringSubmatch(lower); m != nil {
		s := strings.Index("gdae", m[1]) + 1
		return instruction{mark: func(m *piece.Marks) { m.String = s }}
	}
	if piece.IsDynamics(text) {
		return instruction{loud: text}
	}
	if p := piece.PositionOf(text); p != "" {
		return instruction{mark: func(m *piece.Marks) { m.Position = p }}
	}
	return instruction{}
}
