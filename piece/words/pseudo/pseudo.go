// Package pseudo is a language that nobody speaks, for tests: every message of the
// catalogue in brackets, with accents on its letters and a third longer.
//
//	"In measure {{.measure}} you …" ──> "⟦Îñ ṁéåšûŕé {{.measure}} ýõû …‹‹‹‹⟧"
//
// What then stands somewhere in plain letters was written in code and cannot be
// translated; what is cut off or overlaps has too little room. Read Words, then Plain.
package pseudo

import (
	"encoding/json"
	"fmt"
	"strings"
	"unicode"

	"endpin/piece/words"
)

// Tag is the language's: the private use that BCP 47 leaves for such a thing.
const Tag = "en-XA"

// Words are its words. It panics where the catalogue cannot be read.
func Words() *words.Words {
	all, err := words.Messages(words.Source)
	if err != nil {
		panic(err)
	}
	room := map[string]map[string]string{}
	for key, plurals := range all {
		room[key] = map[string]string{}
		for plural, text := range plurals {
			room[key][plural] = Of(key, text)
		}
	}
	text, err := json.Marshal(room)
	if err == nil {
		var w *words.Words
		if w, err = words.New(Tag, map[string][]byte{"all." + Tag + ".json": text}); err == nil {
			return w
		}
	}
	panic(fmt.Errorf("the pseudolocale: %w", err))
}

// Speak makes the program speak it until the function it gives is called.
func Speak() (end func()) {
	before := words.Speak(Words())
	return func() { words.Speak(before) }
}

// Of is a message in it. The names of notes and signs that no language changes stay,
// and so does what stands in places.
func Of(key, text string) string {
	if !Translated(key, text) {
		return text
	}
	var b strings.Builder
	letters := 0
	for text != "" {
		before, rest, found := strings.Cut(text, "{{")
		for _, r := range before {
			if accented, ok := accents[r]; ok {
				letters++
				r = accented
			}
			b.WriteRune(r)
		}
		if text = ""; found {
			place, after, _ := strings.Cut(rest, "}}")
			b.WriteString("{{" + place + "}}")
			text = after
		}
	}
	return "⟦" + b.String() + strings.Repeat("‹", letters/3) + "⟧"
}

// Translated reports whether a message has words at all. The letters of notes,
// numerals of positions and the point in a number are signs.
func Translated(key, text string) bool {
	for _, signs := range []string{"number.point", "number.minutes", "number.ordinal.", "music.note.", "music.position-printed."} {
		if strings.HasPrefix(key, signs) && !strings.Contains(text, " ") {
			return false // "half position" is printed in words
		}
	}
	return strings.ContainsFunc(outside(text), unicode.IsLetter)
}

// outside is a message without its places.
func outside(text string) string {
	for {
		before, rest, found := strings.Cut(text, "{{")
		if !found {
			return text
		}
		_, after, _ := strings.Cut(rest, "}}")
		text = before + after
	}
}

// accents are letters that are read as what they were.
var accents = func() map[rune]rune {
	m := map[rune]rune{}
	plain, accented := []rune("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"), []rune("ÅƁÇÐÉƑĜĤÎĴĶĻṀÑÕÞǪŔŠŢÛṼŴẊÝŽåƀçðéƒĝĥîĵķļṁñõþǫŕšţûṽŵẋýž")
	for i, r := range plain {
		m[r] = accented[i]
	}
	return m
}()

// Plain gives the first run of plain words in a text that belong to no message: what
// was written in code. own are words that are no language: names, titles, files,
// values of options.
func Plain(text string, own ...string) string {
	for _, o := range own {
		text = strings.ReplaceAll(text, o, " ")
	}
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && r != '\'' }) {
		ascii := strings.ContainsFunc(word, func(r rune) bool { return r < unicode.MaxASCII && unicode.IsLetter(r) })
		if ascii && len([]rune(word)) > 2 {
			return word
		}
	}
	return ""
}
