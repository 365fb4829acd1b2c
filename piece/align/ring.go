package align

import (
	"math"

	"endpin/dsp"
)

// In a room that rings, what sounded before goes on under the next note. A soft
// beginning is then heard at the old pitch first, or at a period that both have in
// common, and becomes another note as the ring dies away. It is one note, and it
// began where the first of the two was heard.

// Set by ear on rendered rooms; no source.
const (
	ringMasks         = 0.35 // s that what rings may hide the pitch of a beginning
	ringLasts         = 1.0  // s after a note that it may still be heard
	ringUnder         = 4.0  // dB that a ring lies below what rang, and below what begins
	ringGap           = 0.08 // s in which neither of two sounds has a pitch
	mixNear           = 3.0  // semitones between two sounds that are heard as one, between them
	mixedAperiodicity = 0.03 // aperiodicity of two sounds at once
	tailUnder         = 9.0  // dB that what only rings on lies below what rang …
	tailFresh         = 3.0  // … and dB of new sound a band that it has at most
	waverSpread       = 25.0 // cents of spread that a finger does not have
	ringPitch         = 0.6  // semitones from a pitch, or its octave, that is that of what rings
	tailPitch         = 0.7  // semitones from what rang that what rings on has
	subharmonicWithin = 0.4  // semitones
	weakGap           = 0.03 // s between a weak beginning and its note …
	weakPitch         = 0.8  // … and semitones
	beatNear          = 0.12 // s from its beat that such a note began
)

// ringMasked tells whether a short note heard is the beginning of the one after it.
func (m *sounds) ringMasked(j int) bool {
	if j+1 >= len(m.heard) {
		return false
	}
	a, b := &m.heard[j], &m.heard[j+1]
	if a.Offset-a.Onset > ringMasks || b.Onset-a.Offset > ringGap || math.Abs(a.Pitch-b.Pitch) < ringPitch {
		return false
	}
	if b.Kind == dsp.PitchChange && subharmonic(a.Pitch, b.Pitch) {
		return true
	}
	if b.Fresh > a.Fresh {
		return false // more comes in with the second: the first is a click, or a knock of the bow
	}
	if a.Level > b.Level-ringUnder && a.Aperiodicity < mixedAperiodicity && !m.ringMasked(j+1) {
		return false
	}
	for k := j - 1; k >= 0 && a.Onset-m.heard[k].Offset < ringLasts; k-- {
		r := &m.heard[k]
		if !(a.Level < r.Level-ringUnder || a.Level < r.Level && a.Aperiodicity > mixedAperiodicity) {
			continue
		}
		between := a.Aperiodicity > mixedAperiodicity && (a.Pitch-r.Pitch)*(b.Pitch-a.Pitch) > 0 && math.Abs(b.Pitch-r.Pitch) < mixNear
		if between || math.Abs(a.Pitch-r.Pitch) < ringPitch || math.Abs(math.Abs(a.Pitch-r.Pitch)-12) < ringPitch {
			return true
		}
	}
	return false
}

// ringsOn tells whether a note heard is only what rings on of one just before: of its
// pitch and far softer, with hardly a new sound in it.
func (m *sounds) ringsOn(j int) bool {
	a := &m.heard[j]
	if a.Fresh > tailFresh {
		return false
	}
	for k := j - 1; k >= 0 && a.Onset-m.heard[k].Offset < ringLasts; k-- {
		if r := &m.heard[k]; math.Abs(a.Pitch-r.Pitch) < tailPitch && a.Level < r.Level-tailUnder {
			return true
		}
	}
	return false
}

// subharmonic tells whether a pitch lies an octave, a twelfth or two octaves below
// another: where two sounds have a period in common, it lies there.
func subharmonic(a, b float64) bool {
	for _, partial := range []float64{12, 19, 24} {
		if math.Abs(b-a-partial) < subharmonicWithin {
			return true
		}
	}
	return false
}

// weakBeginning tells whether a note heard is the weak beginning of the one after it,
// of the same pitch: the ring of an earlier note was still in it.
func weakBeginning(a, b dsp.Note) bool {
	return a.Offset-a.Onset < ringMasks && b.Onset-a.Offset < weakGap && math.Abs(a.Pitch-b.Pitch) < weakPitch &&
		(a.Level < b.Level-ringUnder || a.Aperiodicity > mixedAperiodicity || a.Spread > waverSpread)
}

// begunUnderRing gives notes their beginning back that was heard as another note,
// where the beat has them there.
func (a *Alignment) begunUnderRing(m *model) (found bool) {
	owner := a.owners()
	for k := len(a.Extras) - 1; k >= 0; k-- {
		j := a.Extras[k]
		i, ok := owner[j+1]
		if !ok || !m.ringMasked(j) {
			continue
		}
		a.Extras = append(a.Extras[:k], a.Extras[k+1:]...)
		owner[j] = i // what lies before it may belong to it too
		mt := &a.Matches[i]
		if at := m.heard[j].Onset; (i == 0 || a.Matches[i-1].Heard < 0 || a.Matches[i-1].Note.Onset < at) && (math.IsNaN(mt.Beat) || math.Abs(at-mt.Beat) < math.Min(beatNear, mt.Note.Onset-mt.Beat)) {
			begin(&mt.Note, m.heard[j])
			found = true
		}
	}
	return found
}
