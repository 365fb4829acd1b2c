package class

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// written are letters that are also written in others: without their sign, and as they
// are where a keyboard lacks them. Cyrillic and Greek as in passports (ICAO Doc 9303, ISO 843),
// in their simplest form.
var written = map[rune][2]string{
	'ä': {"a", "ae"}, 'ö': {"o", "oe"}, 'ü': {"u", "ue"}, 'å': {"a", "aa"}, 'ø': {"o", "oe"}, 'ß': {"ss", "ss"}, 'æ': {"ae", "ae"},
	'œ': {"oe", "oe"}, 'ł': {"l", "l"}, 'đ': {"d", "d"}, 'ð': {"d", "d"}, 'þ': {"th", "th"}, 'ı': {"i", "i"},
}

var latin = map[rune]string{
	'а': "a", 'б': "b", 'в': "v", 'г': "g", 'ґ': "g", 'д': "d", 'е': "e", 'ё': "e", 'є': "ye", 'ж': "zh", 'з': "z", 'и': "i", 'і': "i", 'ї': "yi",
	'й': "i", 'к': "k", 'л': "l", 'м': "m", 'н': "n", 'о': "o", 'п': "p", 'р': "r", 'с': "s", 'т': "t", 'у': "u", 'ф': "f", 'х': "kh", 'ц': "ts",
	'ч': "ch", 'ш': "sh", 'щ': "shch", 'ъ': "", 'ы': "y", 'ь': "", 'э': "e", 'ю': "yu", 'я': "ya",
	'α': "a", 'β': "v", 'γ': "g", 'δ': "d", 'ε': "e", 'ζ': "z", 'η': "i", 'θ': "th", 'ι': "i", 'κ': "k", 'λ': "l", 'μ': "m", 'ν': "n", 'ξ': "x",
	'ο': "o", 'π': "p", 'ρ': "r", 'σ': "s", 'ς': "s", 'τ': "t", 'υ': "y", 'φ': "f", 'χ': "ch", 'ψ': "ps", 'ω': "o",
}

// spellings are the ways in which a word is compared, one at least: letters and figures
// alone, without case and accents; "muller" and "mueller"; "анна" and "anna". The accents
// of Hebrew and Arabic go, signs of other writings belong to their letters and stay.
func spellings(word string) []string {
	small := norm.NFC.String(strings.ToLower(norm.NFC.String(word)))
	var ways [3]strings.Builder
	for _, r := range small {
		if by, ok := written[r]; ok {
			ways[0].WriteString(by[0])
			ways[1].WriteString(by[1])
			ways[2].WriteString(by[0])
			continue
		}
		for _, bare := range norm.NFKD.String(string(r)) {
			if accent(bare) || !unicode.In(bare, unicode.L, unicode.N, unicode.M) {
				continue
			}
			ways[0].WriteRune(bare)
			ways[1].WriteRune(bare)
			if by, ok := latin[bare]; ok {
				ways[2].WriteString(by)
			} else {
				ways[2].WriteRune(bare)
			}
		}
	}
	all := []string{ways[0].String()}
	for _, w := range ways[1:] {
		if s := w.String(); !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	return all
}

func accent(r rune) bool {
	return r >= 0x300 && r <= 0x36F || r >= 0x591 && r <= 0x5C7 || r >= 0x64B && r <= 0x65F || r == 0x670 || r == 0x640
}

// key is a name as it is told from others: letters and figures alone, without case or accents.
func key(name string) string { return spellings(name)[0] }

// spaceless reports whether a word is in a writing that puts no spaces between words, or
// endings to them.
func spaceless(word string) bool {
	for _, r := range word {
		if unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul, unicode.Thai, unicode.Lao, unicode.Khmer) {
			return true
		}
	}
	return false
}

func letters(s string) (n int) {
	for _, r := range s {
		if unicode.IsLetter(r) {
			n++
		}
	}
	return n
}
