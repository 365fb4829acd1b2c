package words_test

import (
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/words"
	"endpin/piece/words/pseudo"
)

// plurals are the forms of CLDR 48 that a language needs for numbers below a million:
// https://www.unicode.org/cldr/charts/48/supplemental/language_plural_rules.html. French
// and Spanish have "many" from a million on, which nobody plays.
var plurals = map[string][]string{"de": {"one", "other"}, "fr": {"one", "other"}, "es": {"one", "other"}}

// quotes are how a language quotes. "\"" stays where English has it: in what is typed.
var quotes = map[string]struct{ are, never string }{
	"de": {"„…“", "”«»"}, "fr": {"« … »", "„"}, "es": {"«…»", "„"},
}

var (
	aPlace = regexp.MustCompile(`{{\s*\.(\w+)\s*}}`)
	// French sets no-break spaces there; the narrow one is missing in fonts.
	loose = regexp.MustCompile(`[ \x{202f}][;:!?»]|« `)
)

// alike are words that no language here writes otherwise: units, and names.
var alike = []string{"s", "ms", "min", "mm", "cm", "kB", "MB", "GB", "Hz", "kHz", "dB", "Endpin", "MusicXML", "ABC", "MIDI", "WAV", "JSON", "CSV", "PDF", "HTML"}

// more are places that the code fills and English does not use.
var more = map[string][]string{"music.pitch": {"below"}, "gist.says.perhaps": {"Fault"}, "gist.says.steady.perhaps": {"Fault"}}

// offered are those that were whole once, and stay so.
var offered = []string{"de", "es", "fr"}

// TestTranslation reads each file of another language beside the English one. What may
// be otherwise than these rules want stands in testdata/LANGUAGE.txt, a line each: a word
// that is the same in both languages; a key whose message is the same; or a key, a space,
// and the place that the language leaves out. "#" begins a remark.
func TestTranslation(t *testing.T) {
	for _, tag := range []string{"de", "fr", "es"} {
		t.Run(tag, func(t *testing.T) {
			excused, used := excuses(t, tag), map[string]bool{}
			for _, room := range words.Rooms() {
				name := filepath.Join("catalogue", room+"."+tag+".json")
				if _, err := os.Stat(name); err != nil {
					assert.False(t, slices.Contains(offered, tag), "%s: without it the language is no longer offered: see words.Languages", name)
					continue
				}
				source, there := messages(t, filepath.Join("catalogue", room+"."+words.Source+".json")), messages(t, name)
				wrong := func(key, form string, more ...any) {
					t.Helper()
					t.Errorf("%s: %q: "+form, append([]any{filepath.Base(name), key}, more...)...)
				}
				for _, key := range slices.Sorted(maps.Keys(there)) {
					if source[key] == nil {
						wrong(key, "English has no such key")
					}
				}
				for _, key := range slices.Sorted(maps.Keys(source)) {
					if there[key] == nil {
						wrong(key, "it is missing")
						continue
					}
					held(tag, key, source[key], there[key], wrong, func(what string) bool {
						used[what] = true
						return excused[what]
					})
				}
				for what := range excused {
					if key, _, _ := strings.Cut(what, " "); strings.HasPrefix(key, room+".") && !used[what] {
						t.Errorf("testdata/%s.txt: %q needs no excuse", tag, what)
					}
				}
			}
		})
	}
}

// held holds one message, its text by plural, to the English one. excused tells what is
// listed, and is asked only where there is something to excuse.
func held(tag, key string, english, said map[string]string, wrong func(key, form string, more ...any), excused func(string) bool) {
	byNumber := len(english) > 1
	for _, form := range plurals[tag] {
		if _, ok := said[form]; byNumber && !ok {
			wrong(key, "the plural %q is missing", form)
		}
	}
	for form := range said {
		if form != "other" && !(byNumber && (form == "many" || slices.Contains(plurals[tag], form))) {
			wrong(key, "there is no form %q here", form)
		}
	}
	there, places := placesOf(english, "one", "other"), placesOf(said, "other")
	for _, p := range more[key] {
		there[p] = true
	}
	for p := range placesOf(said, "one", "many", "other") {
		if !there[p] {
			wrong(key, "English has no place {{.%s}}", p)
		}
	}
	for p := range placesOf(english, "other") {
		if !places[p] && !excused(key+" "+p) {
			wrong(key, "the place {{.%s}} is left out", p)
		}
	}
	for form, text := range said {
		e := english[form]
		if e == "" {
			e = english["other"]
		}
		several := strings.Contains(e, "\n")
		switch {
		case strings.TrimSpace(text) == "":
			wrong(key, "it says nothing")
		case strings.Count(text, "{{") != len(aPlace.FindAllString(text, -1)):
			wrong(key, "a place is {{.name}}: %s", text)
		case text == e && pseudo.Translated(key, text) && !sameWords(text, excused) && !excused(key):
			wrong(key, "it is English still: %s", text)
		case strings.Count(text, `"`) > strings.Count(e, `"`), strings.ContainsAny(text, quotes[tag].never):
			wrong(key, "quotes are %s: %s", quotes[tag].are, text)
		case several != strings.Contains(text, "\n"):
			wrong(key, "one line or several, as English has it: %s", text)
		case strings.HasPrefix(e, " ") != strings.HasPrefix(text, " "), strings.HasSuffix(e, " ") != strings.HasSuffix(text, " "):
			wrong(key, "a space at its end, as English has it: %q", text)
		case tag == "fr" && loose.MatchString(text):
			wrong(key, "a no-break space (U+00A0) stands before ; : ! ? and inside « »: %s", text)
		case tag == "es" && (strings.Count(text, "?") != strings.Count(text, "¿") || strings.Count(text, "!") != strings.Count(text, "¡")):
			wrong(key, "¿ …?, ¡ …!: %s", text)
		}
		for line := range strings.Lines(text) {
			if several && utf8.RuneCountInString(strings.TrimSuffix(line, "\n")) > 100 {
				wrong(key, "a line has 100 letters at most: %s", line)
			}
		}
	}
}

// sameWords reports whether all words of a message are alike in every language, or listed
// for this one.
func sameWords(text string, excused func(string) bool) bool {
	for _, w := range strings.FieldsFunc(aPlace.ReplaceAllString(text, " "), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if !slices.Contains(alike, w) && !excused(w) {
			return false
		}
	}
	return true
}

// messages are those of one file: the text of each by plural, "other" where it has none.
func messages(t *testing.T, name string) map[string]map[string]string {
	t.Helper()
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	var room map[string]any
	require.NoError(t, json.Unmarshal(text, &room), name)
	keys := regexp.MustCompile(`(?m)^  "([^"]+)":`).FindAllStringSubmatch(string(text), -1)
	assert.Len(t, keys, len(room), "%s: a key stands there twice, or a line does not begin with its key", name)
	all := map[string]map[string]string{}
	for key, message := range room {
		all[key] = map[string]string{}
		switch m := message.(type) {
		case string:
			all[key]["other"] = m
		case map[string]any:
			for form, text := range m {
				s, ok := text.(string)
				require.True(t, ok, "%s: %q", name, key)
				all[key][form] = s
			}
		default:
			require.Fail(t, "neither a text nor plurals", "%s: %q", name, key)
		}
	}
	return all
}

func placesOf(message map[string]string, forms ...string) map[string]bool {
	all := map[string]bool{}
	for _, form := range forms {
		for _, m := range aPlace.FindAllStringSubmatch(message[form], -1) {
			all[m[1]] = true
		}
	}
	return all
}

// excuses are the lines of testdata/LANGUAGE.txt.
func excuses(t *testing.T, tag string) map[string]bool {
	t.Helper()
	all := map[string]bool{}
	text, err := os.ReadFile(filepath.Join("testdata", tag+".txt"))
	if os.IsNotExist(err) {
		return all
	}
	require.NoError(t, err)
	for line := range strings.Lines(string(text)) {
		line, _, _ = strings.Cut(line, "#")
		if line = strings.Join(strings.Fields(line), " "); line != "" {
			all[line] = true
		}
	}
	return all
}
