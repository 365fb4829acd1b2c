package finding

import (
	"sort"

	"endpin/dsp"
	"endpin/dsp/robust"
)

// sound is how a take sounds on the whole: how it was played, where, and with whom.
type sound struct {
	plucked        bool
	noteLevel      float64   // median level of the notes, dB
	quietest       float64   // level that 99 frames of 100 exceed, dB
	release        float64   // dB that the sound falls as a note is let go; 0 where that is not known
	rings          bool      // what was let go is still heard under what follows
	drowns         bool      // as loud as that
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
	notes := ev.heard.Notes
	ev.release = ev.heard.Release
	if first, last := ev.match(ev.align.First).Note, ev.match(ev.align.Last).Note; notes[0].Onset < first.Onset || notes[len(notes)-1].Onset > last.Offset {
		ev.release = ev.heard.ReleaseWithin(first.Onset, last.Onset) // somebody talks before or after
	}
	ev.rings = !ev.plucked && ev.release > 0 && ev.release < dryRelease
	ev.drowns = ev.rings && ev.release < drownedRelease
	pause := ev.pauses()
	ev.accompanied = ev.isAccompanied(pause)
	ev.noisy = pause.steady && !pause.pitched && pause.level > ev.noteLevel-noiseUnder
}

// onlyPitch reports whether nothing but pitch and pace can be told.
func (s *sound) onlyPitch() bool { return s.drowns || s.accompanied }

// isPlucked tells bow from pluck by the longer notes.
func (ev *evidence) isPlucked() (plucked bool) {
	for _, least := range []float64{longNote, shorterNote} {
		plucks, all := 0, 0
		for i := range ev.line {
			if m := ev.match(i); m.Heard >= 0 && !m.Guessed && !m.Recovered && m.Note.Offset-m.Note.Onset > least {
				all++
				if m.Note.Plucked {
					plucks++
				}
			}
		}
		// A bow swells or sustains; few of its notes die away as a pluck does.
		if plucked = 3*plucks > all; all >= leastLong {
			break
		}
	}
	return plucked
}

// Bow and pluck are told by notes that last so long, s, where there are enough of
// them; else by shorter ones (set by ear, no source).
const (
	longNote    = 0.5
	shorterNote = 0.2
	leastLong   = 4 // notes
)

// otherSound is the aperiodicity, median over the notes of a bowed take, above
// which something else sounds with the bass. Measured on 32 rendered takes alone, in
// eight rooms: at most 0.023, and that in noise 30 dB under full scale; with a second
// player on another line, as loud or half as loud: 0.041 to 0.127. A second player in
// unison does not show.
const otherSound = 0.035

// noiseUnder is how far under the bass noise in the pauses hides how the room rings,
// and beginnings with it, dB.
const noiseUnder = 22.0

// dryRelease is how far the sound must fall within a tenth of a second after a note is
// let go for the next one to begin in the clear, dB. Measured on 24 rendered takes,
// bowed: 22 to 59 as rendered, 22 to 40 in a small room (sox reverb 20 50 30), 16 to 25
// in a larger one (35 60 50), 10 to 19 in a hall (50 50 80).
const dryRelease = 18.0

// drownedRelease is the same where the ring is as loud as what is played: then only
// the pitch of longer notes and the pace can be told. In a staircase (sox reverb
// 80 30 100) the sound fell by 4 to 12 dB.
const drownedRelease = 9.0

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

// twoSounds is the aperiodicity of two sounds at once (set by ear, no source).
const twoSounds = 0.05

// blended tells whether in a room that rings more than one sound was heard: the pitch
// is then neither that of the note nor that of the ring before it.
func (ev *evidence) blended(n *dsp.Note) bool { return ev.rings && n.Aperiodicity > twoSounds }
