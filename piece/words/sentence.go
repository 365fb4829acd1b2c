package words

import (
	"fmt"
	"strconv"
	"unicode"
	"unicode/utf8"
)

// Sayer is whatever is written otherwise in another language. It goes into a place
// of a sentence.
type Sayer interface{ In(w *Words) string }

// Sentence is one message of the catalogue and what stands in its places, not yet
// joined. The zero value says nothing.
type Sentence struct {
	Key    string
	Places map[string]any
	count  any // what the plural goes by; nil for a message without
}

// Of makes a sentence: the key of a message, then the name of each place and what
// stands there. A Sayer says itself, anything else is written as fmt does.
func Of(key string, places ...any) Sentence {
	s := Sentence{Key: key}
	if len(places) > 0 {
		s.Places = make(map[string]any, len(places)/2+1)
	}
	for i := 0; i+1 < len(places); i += 2 {
		s.Places[places[i].(string)] = places[i+1]
	}
	return s
}

// Many makes a sentence whose words go by how many there are: its place n is the
// number.
func Many(key string, n int, places ...any) Sentence {
	s := Of(key, append(places, "n", n)...)
	s.count = n
	return s
}

// ManyOf is Many of a number with decimals, as it is written: "2.5 semitones".
func ManyOf(key string, n Number, places ...any) Sentence {
	s := Of(key, append(places, "n", n)...)
	s.count = n.plain()
	return s
}

// Zero reports whether nothing is said.
func (s Sentence) Zero() bool { return s.Key == "" }

// In joins the sentence in a language.
func (s Sentence) In(w *Words) string {
	if s.Key == "" {
		return ""
	}
	places := make(map[string]any, len(s.Places))
	for name, what := range s.Places {
		places[name] = w.said(what)
	}
	return w.lookup(s.Key, places, s.count)
}

// said is what stands in a place.
func (w *Words) said(what any) string {
	switch s := what.(type) {
	case Sayer:
		return s.In(w)
	case error:
		return w.Told(s)
	}
	return fmt.Sprint(what)
}

// String joins the sentence in the language that the program speaks.
func (s Sentence) String() string { return s.In(Here()) }

// Plain is a text that is the same in every language: a name, a title, what another
// program said.
type Plain string

// In implements Sayer.
func (p Plain) In(*Words) string { return string(p) }

// Capital is a text that comes to stand at the beginning of a sentence: its first
// letter is a capital.
func Capital(text string) Plain {
	first, size := utf8.DecodeRuneInString(text)
	return Plain(string(unicode.ToTitle(first)) + text[size:])
}

// Quoted is what somebody typed, in quotes, with what cannot be seen in it made
// visible.
func Quoted(typed string) Plain { return Plain(strconv.Quote(typed)) }

// QuotedHead is Quoted of so many characters at most.
func QuotedHead(typed string, most int) Plain { return Plain(fmt.Sprintf("%.*q", most, typed)) }

// Fault is an error that a user reads: a sentence of the catalogue; see Of. An error
// that stands in one of its places is found in it by errors.Is and errors.As.
func Fault(key string, places ...any) error { return Of(key, places...).Fault() }

// Fault is the sentence as an error that a user reads.
func (s Sentence) Fault() error {
	f := &fault{said: s}
	for _, what := range s.Places {
		if err, ok := what.(error); ok {
			f.causes = append(f.causes, err)
		}
	}
	return f
}

type fault struct {
	said   Sentence
	causes []error
}

func (f *fault) Error() string { return f.said.String() }

func (f *fault) Unwrap() []error { return f.causes }
