package player

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"endpin/piece/outside"
	"endpin/piece/words"
)

// longest is how long a name may be, bytes.
const longest = 1000

// Name is a player's name as it is kept: in Unicode's composed form (UAX 15, NFC),
// so that an é typed in either of its two ways is one, and with single spaces
// between its words alone.
func Name(typed string) (string, error) {
	name := strings.Join(strings.Fields(norm.NFC.String(strings.ToValidUTF8(typed, "\uFFFD"))), " ")
	if name == "" {
		return "", words.Fault("player.no-name")
	}
	for _, r := range name {
		if unicode.IsControl(r) {
			return "", words.Fault("player.unprintable", "typed", words.QuotedHead(name, 80))
		}
	}
	if len(name) > longest {
		return "", words.Fault("player.too-long")
	}
	if name = outside.Line(name); name == "" {
		return "", words.Fault("player.nothing-prints")
	}
	return name, nil
}

// Same reports whether two names, as they were typed, are one player's: they differ
// in capitals, in spaces and in how accents are encoded at most (Unicode's simple
// case folding).
func Same(a, b string) bool {
	x, errX := Name(a)
	y, errY := Name(b)
	return errX == nil && errY == nil && strings.EqualFold(x, y)
}
