package notation

import (
	"regexp"
	"strconv"
	"strings"

	"endpin/piece"
)

// roman are the positions as a teacher writes them.
var roman = map[string]int{"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7}

var (
	positionWord = regexp.MustCompile(`(?i)\b(?:position|pos|lage)\b\.?`)
	positionPair = regexp.MustCompile(`^(\S+?)\s*[-–/]\s*(\S+)$`)
	ordinal      = regexp.MustCompile(`^([1-7])(?:st|nd|rd|th|a|e|re|ere|ème|eme|\.)?$`)
	jumpWords    = regexp.MustCompile(`^(d\.?\s*c\.?|da\s+capo|d\.?\s*s\.?|dal\s+segno)(\s*al.*|\s*senza.*|\s*e\s.*|\s*poi.*)?$`)
	toCodaWords  = regexp.MustCompile(`^(to\s+coda|al\s+coda|alla\s+coda)\b.*$`)
	stringWords  = regexp.MustCompile(`^sul(?:la)?\s*([gdae])\b`)
)

// PositionOf reads a position mark: "III", "pos. III", "3rd pos.", "½", "II½",
// "half pos.", "2-3 pos.", "thumb pos."; a bare number is no position, since it
// may be a finger. It gives the token, or "" where the text is none.
func PositionOf(text string) string {
	if len(text) > 40 {
		return ""
	}
	mark := positionWord.ReplaceAllString(text, "")
	named := mark != text
	mark = strings.Trim(mark, " .")
	switch strings.ToLower(mark) {
	case "½", "1/2":
		return "half"
	case "half":
		if named {
			return "half"
		}
		return ""
	case "thumb":
		if named {
			return "thumb"
		}
		return ""
	}
	if low, ok := strings.CutSuffix(mark, "½"); ok {
		a := positionNumber(strings.TrimSpace(low), named)
		return tokenBetween(a, a+1)
	}
	if pair := positionPair.FindStringSubmatch(mark); pair != nil {
		return tokenBetween(positionNumber(pair[1], named), positionNumber(pair[2], named))
	}
	if n := positionNumber(mark, named); n > 0 {
		return strconv.Itoa(n)
	}
	return ""
}

// positionNumber reads one position: a Roman numeral, in capitals unless the
// text says that it is a position; and then also an ordinal.
func positionNumber(s string, named bool) int {
	if named {
		if m := ordinal.FindStringSubmatch(s); m != nil {
			return int(m[1][0] - '0')
		}
		s = strings.ToUpper(s)
	}
	return roman[s]
}

// tokenBetween gives the token of a position between two, where there is one.
func tokenBetween(a, b int) string {
	switch [2]int{a, b} {
	case [2]int{2, 3}, [2]int{3, 4}, [2]int{5, 6}, [2]int{6, 7}:
		return strconv.Itoa(a) + "-" + strconv.Itoa(b)
	}
	return ""
}

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
	if p := PositionOf(text); p != "" {
		return instruction{mark: func(m *piece.Marks) { m.Position = p }}
	}
	return instruction{}
}
