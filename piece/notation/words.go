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
	withWord    = regexp.MustCompile(`^(?:(?:pos|position)\.?\s*)?(.+?)\s*(?:pos|position|lage)?\.?$`)
	hasWord     = regexp.MustCompile(`(?:pos|position|lage)\b`)
	ordinal     = regexp.MustCompile(`^([1-7])(?:st|nd|rd|th|a|e|re|ere|ème|eme|\.)?$`)
	jumpWords   = regexp.MustCompile(`^(d\.?\s*c\.?|da\s+capo|d\.?\s*s\.?|dal\s+segno)(\s*al.*|\s*senza.*|\s*e\s.*|\s*poi.*)?$`)
	toCodaWords = regexp.MustCompile(`^(to\s+coda|al\s+coda|alla\s+coda)\b.*$`)
	stringWords = regexp.MustCompile(`^sul(?:la)?\s*([gdae])\b`)
)

// positionOf reads a position mark: "III", "pos. III", "3rd pos.", "½", "II½",
// "half pos.", "2-3 pos.", "thumb pos."; a bare number is no position, since it
// may be a finger. It gives the token, or "" where the text is none.
func positionOf(text string) string {
	text = strings.TrimSpace(text)
	if len(text) > 40 {
		return ""
	}
	lower := strings.ToLower(text)
	named := hasWord.MatchString(lower)
	found := withWord.FindStringSubmatch(lower)
	if found == nil {
		return ""
	}
	core := strings.TrimSpace(strings.TrimSuffix(found[1], "."))
	switch core {
	case "½", "1/2", "half", "halbe", "h.", "h":
		if named || core == "½" || core == "1/2" {
			return "half"
		}
		return ""
	case "thumb", "daumen", "capotasto", "t":
		if named || core == "capotasto" {
			return "thumb"
		}
		return ""
	}
	if !named && core != strings.ToLower(text) && core+"." != lower {
		return ""
	}
	low, high, between := cutDash(core)
	a := positionNumber(low, named, text)
	if !between {
		if half, ok := strings.CutSuffix(core, "½"); ok {
			a = positionNumber(strings.TrimSpace(half), named, text)
			return tokenBetween(a, a+1)
		}
		if a == 0 {
			return ""
		}
		return strconv.Itoa(a)
	}
	return tokenBetween(a, positionNumber(high, named, text))
}

func cutDash(s string) (low, high string, found bool) {
	s = strings.NewReplacer("–", "-", "/", "-").Replace(s)
	low, high, found = strings.Cut(s, "-")
	return strings.TrimSpace(low), strings.TrimSpace(high), found
}

// positionNumber reads one position: Roman in capitals, or an ordinal where
// the text says that it is a position.
func positionNumber(s string, named bool, original string) int {
	if upper := strings.ToUpper(s); roman[upper] > 0 && (named || strings.Contains(original, upper)) {
		return roman[upper]
	}
	if m := ordinal.FindStringSubmatch(s); m != nil && named {
		return int(m[1][0] - '0')
	}
	return 0
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
	breath       bool
	mark         func(*piece.Marks)
}

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
	if m := stringWords.FindStringSubmatch(lower); m != nil {
		s := strings.Index("gdae", m[1]) + 1
		return instruction{mark: func(m *piece.Marks) { m.String = s }}
	}
	if p := positionOf(text); p != "" {
		return instruction{mark: func(m *piece.Marks) { m.Position = p }}
	}
	return instruction{}
}
