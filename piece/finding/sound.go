package finding

import (
	"sort"

	"endpin/dsp"
	"endpin/dsp/robust"
)

// sound is how a take sounds on the whole: how it was played, where, and with whom.
type sound struct {
	plucked        bool      // its notes die away, as plucked ones do and short strokes of the bow
	struck         []bool    // by note of the line: a finger plucked it, and no bow did
	noteLevel      float64   // median level of the notes, dB
	quietest       float64   // level that 99 frames of 100 exceed, dB
	rings          bool      // what was let go still hides a soft beginning
	drowns         bool      // what was let go is still heard as loud as what follows
	accompanied    bool      // another instrument sounds along
	noisy          bool      // noise or music in the pauses hides soft beginnings
	aperiodicities []float64 // aperiodicity of each note heard by itself, in order of size
}

// listen hears how the take sounds.
func (ev *evidence) listen() {
	ev.plucked = ev.isPlucked()
	var levels []float64
	for i := range ev.line {
		m := ev.match(i)
		if m.Heard < 0 {
			continue
		}
		levels = append(levels, m.Note.Level)
		if !m.Guessed {
			ev.aperiodicities = append(ev.aperiodicities, m.Note.Aperiodicity)
		}
	}
	ev.noteLevel = robust.Median(levels)
	sort.Float64s(ev.aperiodicities)
	ev.quietest = softest(ev.heard.Frames)
	if !ev.plucked {
		notes, release := ev.heard.Notes, ev.heard.Release
		if first, last := ev.match(ev.align.First).Note, ev.match(ev.align.Last).Note; notes[0].Onset < first.Onset || notes[len(notes)-1].Onset > last.Offset {
			release = ev.heard.ReleaseWithin(first.Onset, last.Onset) // somebody talks before or after
		}
		ev.rings = release.Level > 0 && release.Level < dryRelease
		ev.drowns = release.Level > 0 && release.Level+release.Bands < drownedRelease
	}
	pause := ev.pauses()
	ev.accompanied = ev.isAccompanied(pause)
	ev.noisy = pause.steady && !pause.pitched && pause.level > ev.noteLevel-noiseUnder
	ev.struck = ev.whichStruck()
}

// onlyPitch reports whether nothing but pitch and pace can be told.
func (s *sound) onlyPitch() bool { return s.drowns || s.accompanied }

// otherSound is the aperiodicity, median over the notes of a bowed take, above
// which something else sounds with the bass. Measured on 32 rendered takes alone, in
// eight rooms: at most 0.023, and that in noise 30 dB under full scale; with a second
// player on another line, as loud or half as loud: 0.041 to 0.127. A second player in
// unison does not show.
const otherSound = 0.035

// noiseUnder is how far under the bass noise in the pauses hides how the room rings,
// and beginnings with it, dB.
const noiseUnder = 22.0

// dryRelease is how far the level must fall within a tenth of a second after a note is let
// go for a soft beginning to be heard in the clear, dB. Measured on 24 rendered takes,
// bowed: 22 to 59 as rendered, 22 to 40 in a small room (sox reverb 20 50 30), 16 to 25
// in a larger one (35 60 50), 10 to 19 in a hall (50 50 80).
const dryRelease = 18.0

// drownedRelease is how far the level and the bands must fall together for more than the pitch
// of longer notes and the pace to be told, dB: noise keeps the bands up, a string that rings
// the level, and a phone's level control both, a little. In a staircase (sox reverb 80 30 100)
// it is 14 to 17, under modelled strings that ring 19 and more, by a phone 24, in rooms 25.
const drownedRelease = 18.0

// deadLevel is one that no room is as soft as, dB: a gate or an editor put it there.
const deadLevel = -110.0

// softest is the level that one frame in a hundred lies below, digital silence left
// out, dB. Where hardly a pause is played it lies under the level of the room that is
// known from the frames between notes.
func softest(frames []dsp.Frame) float64 {
	var levels []float64
	for _, f := range frames {
		if f.Level > deadLevel {
			levels = append(levels, f.Level)
		}
	}
	if len(levels) == 0 {
		return 0
	}
	sort.Float64s(levels)
	return levels[len(levels)/100]
}
