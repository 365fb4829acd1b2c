package work

import (
	"slices"

	"endpin/piece/words"
)

// Sound is what the desk sounds while somebody plays along.
type Sound string

// The sounds.
const (
	SoundClick Sound = "click"
	SoundDrone Sound = "drone"
	SoundLine  Sound = "line"
)

// AllSounds are all of them, in the order in which a key goes through them.
var AllSounds = []Sound{SoundClick, SoundDrone, SoundLine}

// Name is what the desk calls it.
func (s Sound) Name() string { return words.Say("desk.sound." + s.Named("")) }

// Sounds are those to choose from in a way to work; none where nothing sounds.
func (w Way) Sounds() []Sound {
	switch w {
	case PlayAlone:
		return nil
	case BowSilently:
		return []Sound{SoundClick, SoundLine}
	}
	return AllSounds
}

// Sound is what sounds in a way to work, where a sound is chosen; empty for nothing.
func (w Way) Sound(chosen Sound) Sound {
	all := w.Sounds()
	switch {
	case len(all) == 0:
		return ""
	case slices.Contains(all, chosen):
		return chosen
	}
	return all[0]
}

// NextSound is the sound to choose after the one chosen.
func (w Way) NextSound(chosen Sound) Sound {
	all := w.Sounds()
	if len(all) == 0 {
		return chosen
	}
	return all[(slices.Index(all, w.Sound(chosen))+1)%len(all)]
}

// NameIn is what the desk calls it in a way to work: in an echo the line is the
// desk's turn, and nothing sounds in the player's.
func (s Sound) NameIn(w Way) string { return words.Say("desk.sound." + s.Named(w)) }

// Named is what of the catalogue names it.
func (s Sound) Named(w Way) string {
	switch {
	case w == Echo && s == SoundLine:
		return "nothing"
	case slices.Contains(AllSounds, s):
		return string(s)
	}
	return string(SoundClick)
}

// With is what sounds in a way to work, where a sound is chosen. In an echo it
// is for the player's turn, where the line would say before. Bowing silently one
// may have the line with the click, since nobody listens.
func (w Way) With(chosen Sound) (click, drone, line bool) {
	switch w {
	case PlayAlone:
		return false, false, false
	case Echo:
		return chosen == SoundClick, chosen == SoundDrone, true
	case BowSilently:
		return true, false, chosen == SoundLine
	}
	return chosen == SoundClick, chosen == SoundDrone, chosen == SoundLine
}
