package pieces

import (
	"path/filepath"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// fold makes text comparable that is typed without its accents and capitals.
func fold(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFKD.String(text))
}

// found reports whether all of some words, folded, stand in its title, composer, part or
// file's name.
func (p *Piece) found(words []string) bool {
	if p.sought == "" {
		p.sought = fold(strings.Join([]string{p.Title, p.Composer, p.PartName, filepath.Base(p.File())}, "\n"))
	}
	for _, w := range words {
		if !strings.Contains(p.sought, w) {
			return false
		}
	}
	return true
}
