package finding

import (
	"endpin/dsp"
	"endpin/dsp/robust"
)

// doubt tells where the recording itself leaves doubt. What is then heard in it
// is fair at most.
func (t *take) doubt() {
	unsure, all := 0, 0
	var levels []float64
	for i := t.align.First; i <= t.align.Last; i++ {
		if m := t.match(i); m.Heard >= 0 && !m.Guessed {
			all++
			levels = append(levels, m.Note.Level)
			if m.Note.Trust == dsp.NotSure {
				unsure++
			}
		}
	}
	level, rough := robust.Median(levels), robust.Median(t.aperiodicities)
	var why string
	switch {
	case t.heard.Clipped > 0.02:
		why = "clipped"
	case level < t.heard.Floor+12:
		why = "room-loud"
	case level < -55:
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
	case all > 0 && 4*unsure > all:
		why = "unclear"
	default:
		return
	}
	t.doubtful = true
	t.notSure(why, unsure)
}
