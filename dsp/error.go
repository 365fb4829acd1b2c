package dsp

import (
	"fmt"
	"strings"
)

// Error says what is wrong with sound, or with what gives it, by a word of ours and
// the values that belong to it. It is no sentence: whoever tells a user has that, with
// a place for each value, under the same word.
type Error struct {
	File   string // that it is about, as it was named; "" for none
	What   string // "recording.cut-short"
	Values []any  // a name, its value, and so on; a float64 is in seconds
}

// Fault makes an error: its word, then the name of each value and the value. An error
// among the values is found in it by errors.Is and errors.As.
func Fault(what string, values ...any) *Error { return &Error{What: what, Values: values} }

// Of is the same error, about a file.
func (e *Error) Of(file string) *Error { return &Error{file, e.What, e.Values} }

// Error implements error, for whoever writes programs: "take.wav: recording.cut-short,
// promised 2.0, held 1.0".
func (e *Error) Error() string {
	var b strings.Builder
	if e.File != "" {
		b.WriteString(e.File + ": ")
	}
	b.WriteString(e.What)
	for i := 0; i+1 < len(e.Values); i += 2 {
		form := ", %s %v"
		if _, ok := e.Values[i+1].(float64); ok {
			form = ", %s %.1f"
		}
		fmt.Fprintf(&b, form, e.Values[i], e.Values[i+1])
	}
	return b.String()
}

// Unwrap gives the errors among the values.
func (e *Error) Unwrap() (causes []error) {
	for _, v := range e.Values {
		if err, ok := v.(error); ok {
			causes = append(causes, err)
		}
	}
	return causes
}

// Message is the key of the message that says it, and what stands in its places.
func (e *Error) Message() (key string, places []any) {
	if e.File != "" {
		return "recording.file", []any{"file", e.File, "reason", e.Of("")}
	}
	return e.What, e.Values
}
