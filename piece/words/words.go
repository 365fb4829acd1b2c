package words

import (
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync/atomic"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"golang.org/x/text/language"
)

// Words is one language.
type Words struct {
	tag       string
	localizer *i18n.Localizer
}

//go:embed catalogue
var catalogue embed.FS

// Source is the language that every key is written in first.
const Source = "en"

// here is the language of the program: set once as it starts.
var here atomic.Pointer[Words]

func init() { here.Store(must(In(Source))) }

// Here is the language that the program speaks.
func Here() *Words { return here.Load() }

// Speak makes the program speak a language from now on, and returns the one it spoke
// before. A page that goes home in another language takes its Words by hand.
func Speak(w *Words) (before *Words) { return here.Swap(w) }

// In gives the catalogue of a language, by its BCP 47 tag. The error says that there
// is none.
func In(tag string) (*Words, error) {
	files, err := fs.Glob(catalogue, "catalogue/*."+tag+".json")
	if err != nil || len(files) == 0 {
		return nil, fmt.Errorf("language %q: no words of it are here", tag)
	}
	read := map[string][]byte{}
	for _, f := range files {
		if read[path.Base(f)], err = catalogue.ReadFile(f); err != nil {
			return nil, err
		}
	}
	return New(tag, read)
}

// New makes the words of a language from files, the text of each by its name
// (ROOM.LANGUAGE.json). The error names the file that cannot be read.
func New(tag string, files map[string][]byte) (*Words, error) {
	t, err := language.Parse(tag)
	if err != nil {
		return nil, fmt.Errorf("language %q: %w", tag, err)
	}
	bundle := i18n.NewBundle(t)
	bundle.RegisterUnmarshalFunc("json", json.Unmarshal)
	for name, text := range files {
		if _, err := bundle.ParseMessageFileBytes(text, name); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	return &Words{tag, i18n.NewLocalizer(bundle, tag)}, nil
}

// Tag is the language's BCP 47 tag: "en".
func (w *Words) Tag() string { return w.tag }

// Messages are the messages of a language as they stand in its files, by key: the
// text, or the text of each plural.
func Messages(tag string) (map[string]map[string]string, error) {
	files, err := fs.Glob(catalogue, "catalogue/*."+tag+".json")
	if err != nil {
		return nil, err
	}
	all := map[string]map[string]string{}
	for _, f := range files {
		text, err := catalogue.ReadFile(f)
		if err != nil {
			return nil, err
		}
		var room map[string]any
		if err := json.Unmarshal(text, &room); err != nil {
			return nil, fmt.Errorf("%s: %w", path.Base(f), err)
		}
		for key, message := range room {
			switch m := message.(type) {
			case string:
				all[key] = map[string]string{"other": m}
			case map[string]any:
				all[key] = map[string]string{}
				for plural, text := range m {
					all[key][plural] = fmt.Sprint(text)
				}
			}
		}
	}
	return all, nil
}

// Say joins a sentence in this language; see Of.
func (w *Words) Say(key string, places ...any) string { return Of(key, places...).In(w) }

// Say joins a sentence in the language that the program speaks; see Of.
func Say(key string, places ...any) string { return Of(key, places...).String() }

// Has reports whether there is a message of that key.
func (w *Words) Has(key string) bool {
	_, err := w.localizer.Localize(&i18n.LocalizeConfig{MessageID: key, TemplateData: map[string]any{}, PluralCount: 2})
	_, missing := err.(*i18n.MessageNotFoundErr)
	return !missing
}

// lookup joins a message. Where there is none the key is what is read, so that
// something stands there; a test holds that every key has one.
func (w *Words) lookup(key string, places map[string]any, count any) string {
	said, err := w.localizer.Localize(&i18n.LocalizeConfig{MessageID: key, TemplateData: places, PluralCount: count})
	if err != nil && said == "" {
		return "[" + key + "]"
	}
	return said
}

func must(w *Words, err error) *Words {
	if err != nil {
		panic("piece/words: " + err.Error()) // a file of this package that cannot be read: its tests fail
	}
	return w
}

// Languages are the tags of those that are here whole, a file for each room, English
// first: those that a user is offered.
func Languages() []string {
	of := map[string]int{}
	files, _ := fs.Glob(catalogue, "catalogue/*.json")
	for _, f := range files {
		_, tag, _ := strings.Cut(strings.TrimSuffix(path.Base(f), ".json"), ".")
		of[tag]++
	}
	whole := []string{Source}
	for _, tag := range slices.Sorted(maps.Keys(of)) {
		if tag != Source && of[tag] == of[Source] {
			whole = append(whole, tag)
		}
	}
	return whole
}

// Best gives the words of the language, of those that are here whole, that serves best
// somebody who reads these, the best first: for "de-AT" German. Where none of them does it
// is English. asked is whether the language itself was among them.
func Best(tags ...string) (w *Words, asked bool) {
	var offered, wanted []language.Tag
	all := Languages()
	for _, tag := range all {
		offered = append(offered, language.Make(tag))
	}
	for _, tag := range tags {
		if t, err := language.Parse(tag); err == nil {
			wanted = append(wanted, t)
		}
	}
	_, at, _ := language.NewMatcher(offered).Match(wanted...)
	is, _ := offered[at].Base()
	return must(In(all[at])), slices.ContainsFunc(wanted, func(t language.Tag) bool { base, _ := t.Base(); return base == is })
}

// Rooms are the files of the catalogue, without language and end.
func Rooms() []string {
	var rooms []string
	files, _ := fs.Glob(catalogue, "catalogue/*."+Source+".json")
	for _, f := range files {
		rooms = append(rooms, strings.TrimSuffix(path.Base(f), "."+Source+".json"))
	}
	return rooms
}
