package engraving

// textWidth is what words take in staff spaces. The widths are those of
// Georgia, in thousandths of the em, from memory; a renderer with another face
// presses or draws its letters to Bounds, as the SVG does.
func textWidth(s string, size float64, style Style) float64 {
	w := 0
	for _, r := range s {
		switch v, ok := letterWidths[r]; {
		case ok:
			w += v
		case r >= 0x2E80: // a square of Chinese, Japanese or Korean
			w += 1000
		case r >= '0' && r <= '9':
			w += 614
		case r >= 'A' && r <= 'Z':
			w += 680
		default:
			w += 530
		}
	}
	return float64(w) / 1000 * size * [...]float64{Roman: 1, Italic: 0.98, Bold: 1.13}[style]
}

var letterWidths = map[rune]int{
	' ': 241, '.': 270, ',': 270, ':': 313, ';': 313, '\'': 216, '’': 227, '-': 374, '–': 500, '—': 856,
	'(': 375, ')': 375, '=': 643, '+': 643, '%': 817, '½': 1050, '/': 469, '?': 478, '!': 331,
	'a': 504, 'b': 560, 'c': 454, 'd': 575, 'e': 484, 'f': 325, 'g': 510, 'h': 582, 'i': 293, 'j': 291,
	'k': 535, 'l': 287, 'm': 880, 'n': 591, 'o': 539, 'p': 571, 'q': 560, 'r': 410, 's': 432, 't': 346,
	'u': 576, 'v': 497, 'w': 738, 'x': 502, 'y': 493, 'z': 443,
	'I': 390, 'J': 518, 'M': 927, 'W': 977, 'S': 561, 'L': 602, 'F': 600, 'P': 610, 'Y': 615, 'H': 815, 'D': 750,
}
