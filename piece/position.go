package piece

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// numerals are the positions as a teacher writes them, after none.
var numerals = []string{"", "I", "II", "III", "IV", "V", "VI", "VII"}

var (
	positionWord = regexp.MustCompile(`(?i)\b(?:position|pos|lage)\b\.?`)
	positionPair = regexp.MustCompile(`^(\S+?)\s*[-–/]\s*(\S+)$`)
	ordinal      = regexp.MustCompile(`^([1-7])(?:st|nd|rd|th|a|e|re|ere|ème|eme|\.)?$`)
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
	return max(0, slices.Index(numerals, s))
}

// tokenBetween gives the token of a position between two, where there is one.
func tokenBetween(a, b int) string {
	switch [2]int{a, b} {
	case [2]int{2, 3}, [2]int{3, 4}, [2]int{5, 6}, [2]int{6, 7}:
		return strconv.Itoa(a) + "-" + strconv.Itoa(b)
	}
	return ""
}

// PositionText is a position token as it is pencilled over the staff, which PositionOf reads
// again; "" for none.
func PositionText(token string) string {
	low, high, pair := strings.Cut(token, "-")
	a, errA := strconv.Atoi(low)
	b, errB := strconv.Atoi(high)
	switch {
	case token == "half":
		return "½"
	case pair && errA == nil && errB == nil && tokenBetween(a, b) == token:
		return numerals[a] + "–" + numerals[b]
	case !pair && errA == nil && a >= 1 && a < len(numerals):
		return numerals[a]
	case token == "":
		return ""
	}
	return token + " pos."
}
