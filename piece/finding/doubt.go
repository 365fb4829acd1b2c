package finding

import (
	"endpin/dsp"
	"endpin/dsp/robust"
)

// What makes a recording hard to hear. Set by ear, no source.
const (
	clippedMost = 0.02  // of the sounding time
	loudRoom    = 12.0  // dB above the level of the room that the notes must stand
	tooSoft     = -55.0 // dB of the notes: below it little but hiss is left
)

// doubt tells where the recording itself leaves doubt. What is then heard in it
// is fair at most.
func (t *take) doubt() {
	unsure := 0
	var levels []float64
	for i := range t.line {
		if m := t.match(i); m.Heard >= 0 && !m.Guessed {
			levels = append(levels, m.Note.Level)
			if m.Note.Trust == dsp.NotSure {
				unsure++
			}
		}
	}
	level, rough := robust.Median(levels), robust.Median(t.aperiodicities)
	var why string
	switch {
	case t.heard.Clipped > clippedMost:
		why = "clipped"
	case level < t.heard.Floor+loudRoom:
		why = "room-loud"
	case level < tooSoft:
		why = "soft"
	case t.accompanied && t.drowns: // either leaves nothing but pitch and pace
		why = "staircase"
	case t.accompanied:
		why = "accompanied"
	case !t.plucked && t.noisy && (t.rings || rough > otherSound):
		why = "noisy"
	case !t.plucked && rough > otherSound:
		why = "other-sound"
	case t.rings:
		why = "rings"
	case 4*unsure > len(levels):
		why = "unclear"
	default:
		return
	}
	t.doubtful = true
	t.notSure(why, unsure)
}
