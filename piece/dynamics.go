package piece

import (
	"regexp"
	"slices"
	"strings"
)

// loudness are the marks for how loud: those of MusicXML 4.0, element dynamics.
var loudness = strings.Fields("p pp ppp pppp ppppp pppppp f ff fff ffff fffff ffffff mp mf sf sfp sfpp fp rf rfz sfz sffz fz n pf sfzp")

// swelling are the words for louder and softer.
var swelling = regexp.MustCompile(`^(poco a poco |poco |molto |più |meno |sempre |subito )*(cresc|decresc|dim|dimin|smorz|crescendo|decrescendo|diminuendo|forte|piano)\.?( .*)?$`)

// IsLoudness reports whether a word is a mark for how loud, "mf".
func IsLoudness(word string) bool { return slices.Contains(loudness, word) }

// IsDynamics reports whether words are about how loud: marks, "cresc.", "f dim.".
func IsDynamics(text string) bool {
	said := DynamicsOf(text)
	return len(said) > 0 && !slices.ContainsFunc(said, func(s string) bool { return !IsLoudness(s) && !swelling.MatchString(strings.ToLower(s)) })
}

// DynamicsOf takes dynamics apart as they are printed: each mark for itself, words together.
func DynamicsOf(text string) (all []string) {
	words := false
	for _, w := range strings.Fields(text) {
		switch {
		case IsLoudness(w):
			words = false
			all = append(all, w)
		case words:
			all[len(all)-1] += " " + w
		default:
			words = true
			all = append(all, w)
		}
	}
	return all
}
