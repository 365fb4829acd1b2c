// Package said puts what is to be said on the desk into sentences.
package said

import (
	"context"
	"errors"
	"io/fs"
	"os"

	"endpin/dsp/sound"
	"endpin/piece/words"
)

// Sentence makes an error one sentence.
func Sentence(err error) string {
	var device *sound.Fault
	switch {
	case errors.Is(err, context.Canceled):
		return words.Say("desk.stopped")
	case errors.As(err, &device):
		return words.Told(device) // a sentence already
	}
	return words.Say("desk.trouble", "err", err)
}

// Typed is Sentence for what is wrong with something typed, which begins with a word
// of ours and not with the name of a file.
func Typed(why string) string {
	return words.Say("desk.trouble", "err", words.Capital(why))
}

// Joined sets one sentence behind another; either may be empty.
func Joined(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return words.Say("desk.both", "a", a, "b", b)
}

// Remedy is what to do about a microphone, "" where all is well.
func Remedy(s sound.State) string {
	if !s.Wrong() {
		return ""
	}
	return words.Say("sound.mend." + string(s))
}

// Bare is what the system says, without the path that it repeats.
func Bare(err error) error {
	var p *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return p.Err
	case errors.As(err, &l):
		return l.Err
	}
	return err
}
