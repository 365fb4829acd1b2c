package class

import (
	_ "embed"
	"strings"
	"sync"
)

//go:embed ordinary.txt
var ordinaryText string

// ordinary are the words that name nobody, as they are compared; particles of them may
// be part of a name too, and glued stand in writing that puts no spaces between words.
var ordinary = sync.OnceValue(func() (o struct {
	words, particles map[string]bool
	glued            []string
}) {
	o.words, o.particles = map[string]bool{}, map[string]bool{}
	for _, line := range strings.Split(ordinaryText, "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		particle := false
		for i, word := range strings.Fields(line) {
			switch {
			case i == 0: // the language
			case word == "~":
				particle = true
			case spaceless(word):
				o.glued = append(o.glued, word)
			default:
				for _, way := range spellings(word) {
					o.words[way] = true
					o.particles[way] = o.particles[way] || particle
				}
			}
		}
	}
	return o
})

// names reports whether a word could name somebody: one in another writing than ours, or
// with a figure in it, does as well as any.
func names(word string) bool {
	for _, way := range spellings(word) {
		if ordinary().words[way] {
			return false
		}
	}
	return letters(word) > 0
}

// particle reports whether a word that names nobody may be part of a name.
func particle(word string) bool {
	for _, way := range spellings(word) {
		if ordinary().particles[way] {
			return true
		}
	}
	return false
}
