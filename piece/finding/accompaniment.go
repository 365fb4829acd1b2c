package finding

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece/fingerboard"
)

// Whoever plays with a backing track, a second player or a teacher is heard together
// with them, and what they play is no fault of his. They show in two ways. Between
// the player's own notes they play on, at a level that does not fall as a ring does,
// and with a pitch, which noise has not. And in his notes two sounds at once are less
// periodic than one string.
//
// Measured on 100 rendered takes of three tunes, sampled and recorded bows. Alone, in
// dry rooms, halls and talk, half of the notes are less aperiodic than 0.003, and a
// pause falls by 15 dB or lies 40 dB under the bass; noise keeps its level and has no
// pitch. With piano or strings 20, 15, 12 and 9 dB under the bass: 0.003 to 0.08,
// and pauses that fall by at most 7 dB, 2 to 25 dB under the bass. A second player on
// another line, in the same rhythm, leaves the pauses silent, but makes some notes
// forty times as aperiodic as others; noise makes them so by less than four times.
//
// A telephone's codec and a long room make notes rough and fill pauses, too. So nothing
// is said to sound along that a second pitch does not prove: in some notes one must sound
// at the same time that is neither the player's own, then or ringing on, nor a partial of
// those. It was heard in 0 to 8 notes of a hundred alone, and in 0 to 2 of 17 to 48 where
// the signs above were seen falsely (AMR of 4.75 kbit/s, a room of 1.4 s); in 3 to 26 and
// more with cellos or a plucked bass 20 to 12 dB under. Where notes are rough and
// nothing else shows, a third of them must have one: alone it was up to a fifth, with
// vibrato. Tuned on rendered takes of seven tunes; figures on others are in testdata/figures/accompaniment.md.
const (
	pauseLeast        = 0.12  // s that a pause must hold
	pauseFrom         = 0.15  // s after a note let go, and …
	pauseTo           = 0.06  // … before the next, which the pause leaves out
	sustains          = 9.0   // dB that what goes on falls by at most in a pause
	sustainsUnder     = 28.0  // dB under the bass at which it still matters
	ownUnwritten      = 2     // notes too many that may be the player's own
	besideTrack       = 0.003 // median aperiodicity of notes with something under them
	besidePlayer      = 0.035 // that of a quarter of them where a second player has no pauses of his own …
	besidePlayerTimes = 8.0   // … and by how many times it is that of another quarter
	ringNotes         = 2     // notes before the last that may still ring
	ringPartials      = 4     // of a string, by whose pitch it may be heard
	ringWithin        = 0.6   // semitones
	pauseFrames       = 3     // frames: fewer have no beginning, middle and end (this and what follows: no source)
	leastBowed        = 4     // notes that tell whether somebody plays along
	provedBy          = 10.0  // by how much a second pitch lessens the cost of explaining a note
	provedNotes       = 3     // notes that it must be heard in …
	provedShare       = 0.05  // … and of those asked …
	provedAlone       = 0.33  // … of which so many prove it where the notes are rough and nothing else shows …
	provedAsked       = 120   // … which are so many at most, evenly over the take
	provedLeast       = 0.2   // s of a steady part that is asked …
	provedMost        = 0.5   // … and no more of it
	provedRings       = 5     // notes before that may ring on
	provedLow         = 40.0  // MIDI: the lowest second pitch looked for, E2: below it partials lie too close …
	provedHigh        = 76.0  // … and the highest, E5
	purest            = 0.001 // aperiodicity below which one note is as pure as another
)

// pauseSound is what sounds in the pauses of the player's own.
type pauseSound struct {
	steady  bool    // it goes on in most of the time of the pauses
	pitched bool    // and has a pitch here and there, which noise has nowhere
	level   float64 // its median, dB
}

// pauses looks at what sounds where the player paused within one try.
func (ev *evidence) pauses() (b pauseSound) {
	unwritten := ev.unwritten()
	few := len(unwritten) <= ownUnwritten
	frames, on, voiced := 0, 0, 0
	var levels []float64
	for i := ev.align.First; i < ev.align.Last; i++ {
		m, next := ev.match(i), ev.match(i+1)
		if m.Heard < 0 || next.Heard < 0 || m.Guessed || next.Guessed || m.Phrase != next.Phrase {
			continue
		}
		if few && slices.ContainsFunc(unwritten, func(j int) bool { return j > m.Heard && j < next.Heard }) {
			continue // a note too many of the player's own, it may be
		}
		pause := ev.framesIn(m.Note.Offset+pauseFrom, next.Note.Onset-pauseTo)
		if len(pause) < pauseFrames || pause[len(pause)-1].Time-pause[0].Time < pauseLeast {
			continue
		}
		frames += len(pause)
		third := len(pause) / 3
		begins, ends := levelOf(pause[:third]), levelOf(pause[len(pause)-third:])
		if ends < ev.noteLevel-sustainsUnder || begins-ends > sustains {
			continue
		}
		on += len(pause)
		levels = append(levels, ends)
		for _, f := range pause {
			if f.Voiced && !ev.ofAString(i, dsp.MIDI(f.Freq)-ev.referredBy()) {
				voiced++
			}
		}
	}
	if 2*on <= frames {
		return pauseSound{}
	}
	return pauseSound{steady: true, pitched: 4*voiced > on, level: robust.Median(levels)}
}

// ofAString tells whether a pitch is that of a string that goes on by itself after note i:
// one of the last, or an open one that answers, or a partial of theirs.
func (ev *evidence) ofAString(i int, pitch float64) bool {
	near := func(string float64) bool {
		k := math.Round(math.Exp2((pitch - string) / 12))
		return k >= 1 && k <= ringPartials && math.Abs(pitch-string-12*math.Log2(k)) < ringWithin
	}
	for k := max(0, i-ringNotes); k <= i; k++ {
		if m := ev.match(k); m.Heard >= 0 && near(m.Note.Pitch) {
			return true
		}
	}
	return slices.ContainsFunc(ev.board.Strings, func(s fingerboard.String) bool { return near(float64(s.MIDI)) })
}

func levelOf(frames []dsp.Frame) float64 {
	var all []float64
	for _, f := range frames {
		all = append(all, f.Level)
	}
	return robust.Median(all)
}

// isAccompanied reports whether another instrument sounds along with a bow.
func (ev *evidence) isAccompanied(b pauseSound) bool {
	rough := ev.aperiodicities
	switch {
	case ev.plucked || len(rough) < leastBowed:
		return false // a plucked string is not so periodic by itself
	case ev.soundsAlong(b):
		share := ev.secondPitch()
		return math.IsNaN(share) || share >= provedShare
	}
	return rough[len(rough)-1-len(rough)/4] > besidePlayer && ev.secondPitch() >= provedAlone
}

// secondPitch is in which share of the notes a pitch sounds that is none of the player's:
// none where they are too few, NaN where the sound was not kept to be asked.
func (ev *evidence) secondPitch() float64 {
	var own []float64 // pitches heard so far
	every := (ev.align.Last-ev.align.First)/provedAsked + 1
	asked, mute, proved := 0, 0, 0
	for i := ev.align.First; i <= ev.align.Last; i++ {
		m := ev.match(i)
		if m.Heard < 0 || m.Guessed {
			continue
		}
		own = append(own, m.Note.Pitch+ev.referredBy())
		from, to := m.Note.SteadyFrom, math.Min(m.Note.SteadyTo, m.Note.SteadyFrom+provedMost)
		if i%every != 0 || to-from < provedLeast {
			continue
		}
		_, gain := ev.heard.Beside(from, to, provedLow, provedHigh, own[max(0, len(own)-1-provedRings):]...)
		switch {
		case math.IsNaN(gain):
			mute++
			continue
		case gain > provedBy:
			proved++
		}
		asked++
	}
	switch {
	case mute > asked:
		return math.NaN()
	case proved < provedNotes:
		return 0
	}
	return float64(proved) / float64(asked)
}

// soundsAlong reports whether the pauses, or how rough the notes are, look like it.
func (ev *evidence) soundsAlong(b pauseSound) bool {
	rough := ev.aperiodicities
	quarter := len(rough) / 4
	low, middle, high := rough[quarter], rough[len(rough)/2], rough[len(rough)-1-quarter]
	switch {
	case b.steady && b.pitched:
		return middle > besideTrack
	case b.steady: // noise, which makes all notes rough, or a chord too dense to have a pitch
		n := len(ev.unwritten())
		return n >= manyExtras && 10*n > ev.align.Last-ev.align.First
	}
	return high > besidePlayer && high > besidePlayerTimes*math.Max(low, purest)
}

// unwritten are the notes heard within the take that are not on the page.
func (ev *evidence) unwritten() (all []int) {
	first, last := ev.match(ev.align.First).Note.Onset, ev.match(ev.align.Last).Note.Onset
	for _, j := range ev.align.Extras {
		if at := ev.heard.Notes[j].Onset; at > first && at < last {
			all = append(all, j)
		}
	}
	return all
}
