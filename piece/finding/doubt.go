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
		why = "the recording is too loud and clipped: move the microphone away or turn its level down"
	case level < t.heard.Floor+12:
		why = "the room is nearly as loud as the bass: move the microphone nearer or find a quieter room"
	case level < -55:
		why = "the recording is very soft: move the microphone nearer or turn its level up"
	case t.accompanied && t.drowns: // either leaves nothing but pitch and pace
		why = "another sound goes on all through it, an instrument that plays along or a room that rings like a staircase: record the bass alone, in a room with a carpet and curtains"
	case t.accompanied:
		why = "another instrument sounds along, such as a backing track or a second player, so notes, rhythm and lengths are not told: record the bass alone, and hear the track through headphones"
	case !t.plucked && t.noisy && (t.rings || rough > otherSound):
		why = "noise or music runs all through it, and soft beginnings are lost in it: move the microphone nearer or find a quieter room"
	case !t.plucked && rough > otherSound:
		why = "another sound runs all through it, such as noise or music in the room: record the bass alone in a quiet room"
	case t.rings:
		why = "the room rings, and what was let go is still heard under the next note: move the phone nearer, two or three steps from the bass, or find a room with a carpet and curtains"
	case all > 0 && 4*unsure > all:
		why = "many notes were too unclear to judge"
	default:
		return
	}
	t.doubtful = true
	t.notSure(why, unsure)
}
