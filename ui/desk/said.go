package desk

import (
	"context"
	"errors"

	"endpin/dsp/sound"
	"endpin/piece/words"
)

// sentence makes an error one sentence.
func sentence(err error) string {
	var device *sound.Fault
	switch {
	case errors.Is(err, context.Canceled):
		return words.Say("desk.stopped")
	case errors.As(err, &device):
		return words.Told(device) // a sentence already
	}
	return words.Say("desk.trouble", "err", err)
}

// typed is sentence for what is wrong with something typed, which begins with a word
// of ours and not with the name of a file.
func typed(why string) string {
	return words.Say("desk.trouble", "err", words.Capital(why))
}

// joined sets one sentence behind another.
func joined(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return words.Say("desk.both", "a", a, "b", b)
}
