package finding

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece"
)

// When a note may have begun, and where the beat is. Set by ear, no source.
const (
	bowSpeaks      = 0.09 // s that a bass takes to speak
	hiddenByRing   = 0.20 // s that a soft attack may lie hidden under the ring of the note before …
	hiddenByNoise  = 0.15 // s … or in a noisy room, or where hardly a beginning was heard
	hiddenMost     = 0.35 // s that a ring may hide a beginning …
	ringFalls      = 3.0  // … where the sound before it falls by as many dB
	plainFresh     = 4.0  // dB of new sound a band that no ring hides
	plainVoice     = 4    // strength of an onset that no noise hides
	deepNoise      = 27   // dB that a note must stand above the room for its attack to be heard whole
	sounding       = 9.0  // dB above the level of the room at which something sounds
	scratchBelow   = 24.0 // dB below its level that a bow may scratch before a note sounds
	ownPitch       = 0.8  // semitones within which a sound has the pitch of the note
	beatNeighbours = 4    // notes to each side that tell where the beat is
	beatsNear      = 0.2  // how near a whole number of beats a put-off beat must be to be one swallowed or added
	beatsMost      = 2    // beats that can be swallowed or added; more is a pause
	lateMost       = 0.7  // of its own length: later than that it is hardly that note
	onBeat         = 0.5  // of how late a note is, that the next may be off the beat: it is in its place, then
)

// lateness is how far a note lies from the beat the player keeps, ms.
func (ev *evidence) lateness(i int) float64 {
	m := ev.match(i)
	if m.Heard < 0 || m.Guessed || m.Recovered || math.IsNaN(m.Beat) {
		return math.NaN()
	}
	return 1000 * (m.Note.Onset - m.Beat)
}

// hiddenAttack is how much before its onset a note may have begun, s: as long as its
// pitch, or sound that has no pitch yet, leads up to it. A slow bow is not late.
func (ev *evidence) hiddenAttack(i int) float64 {
	n := &ev.match(i).Note
	same := i > 0 && ev.line[i-1].MIDI == ev.line[i].MIDI
	scratch := math.Min(ev.heard.Floor+sounding, math.Max(ev.quietest+sounding, n.Level-scratchBelow))
	from, softest := n.Onset, math.Inf(1)
	for _, f := range slices.Backward(ev.framesIn(math.Inf(-1), n.Onset)) {
		its := !same && ev.pitchOf(n, f)
		if !its && (f.Voiced && f.Aperiodicity < unclearPitch || f.Level < scratch) {
			break
		}
		if its || f.Level < softest { // what only grew softer until then is what rang
			from, softest = f.Time, f.Level
		}
	}
	hidden := 0.0
	if n.Kind == dsp.PitchChange && !ev.line[i].Slurred {
		hidden = hiddenByRing // under what still rang of the note before
	}
	if n.Fresh < plainFresh {
		hidden = math.Max(hidden, n.Onset-ev.valleyBefore(i))
		if ev.rings {
			hidden = math.Max(hidden, hiddenMost)
		}
	}
	if n.Level < ev.heard.Floor+deepNoise && n.Strength < plainVoice || n.Strength < plainOnset {
		hidden = math.Max(hidden, hiddenByNoise)
	}
	return math.Max(n.Onset-from, hidden)
}

// pitchOf tells whether a frame has the pitch of a note.
func (ev *evidence) pitchOf(n *dsp.Note, f dsp.Frame) bool {
	return f.Voiced && math.Abs(dsp.MIDI(f.Freq)-(n.Pitch+ev.referredBy())) < ownPitch
}

// valleyBefore is when the sound before a note was softest, where what rang of the note
// before could still be heard: from there on there was something new in it, s.
func (ev *evidence) valleyBefore(i int) float64 {
	n := &ev.match(i).Note
	at, low, high := n.Onset, math.Inf(1), math.Inf(-1)
	fell := false
	for _, f := range ev.framesIn(n.Onset-hiddenMost, n.Onset) {
		if f.Level < low {
			at, low = f.Time, f.Level
			fell = high > low+ringFalls
		}
		high = math.Max(high, f.Level)
	}
	if !fell || low < ev.heard.Floor+sounding {
		return n.Onset
	}
	return at
}

// hiddenNearby is how much before their onsets the notes about one may have begun, s: the
// beat, which they tell, may lie as much sooner.
func (ev *evidence) hiddenNearby(i int) float64 {
	var all []float64
	for k := max(0, i-beatNeighbours); k <= min(len(ev.line)-1, i+beatNeighbours); k++ {
		if k != i && !math.IsNaN(ev.lateness(k)) {
			all = append(all, math.Min(hiddenByRing, ev.hiddenAttack(k)))
		}
	}
	if len(all) == 0 {
		return 0
	}
	return robust.Median(all)
}

// speechDelay is how much after its onset a note may have begun, s: until its pitch is
// heard for good, less the time that any bow takes to speak. What sounded before may
// have been another note, or its own pitch that rang, and then a bow that scratches.
func (ev *evidence) speechDelay(i int) float64 {
	n := &ev.match(i).Note
	spoke := n.Onset
	for _, f := range ev.framesIn(n.Onset, n.SteadyFrom) {
		if !ev.pitchOf(n, f) {
			spoke = f.Time
		}
	}
	return math.Max(0, spoke-n.Onset-bowSpeaks)
}

// onTime tells whether a note that lies so many ms off the beat may yet have begun
// within what is allowed, and not been heard at once.
func (ev *evidence) onTime(i int, ms, allowed float64) bool {
	if ms > 0 {
		return ms-1000*ev.hiddenAttack(i) < allowed
	}
	// What hides its neighbours hides the note as well.
	return ms+1000*(ev.speechDelay(i)+math.Max(0, ev.hiddenNearby(i)-ev.hiddenAttack(i))) > -allowed
}

// beatsOff is by how many beats the beat is put off at a note, as told and to the next
// whole one, and whether it is one or two: beats swallowed or added.
func (ev *evidence) beatsOff(i int) (beats, nearest float64, whole bool) {
	m := ev.match(i)
	if m.Step == 0 || m.Heard < 0 {
		return 0, 0, false
	}
	beats = m.Step / (m.Rate * ev.secondsPerBeat(i))
	nearest = math.Round(beats)
	return beats, nearest, nearest != 0 && math.Abs(nearest) <= beatsMost && math.Abs(beats-nearest) < beatsNear
}

// mayBeAnothers tells whether a note off the beat may be another's beginning: an early one
// that of the note before, where that was not heard, or a soft one still lies under
// that; and one that comes when the next is due, which is on time, is no late note.
func (ev *evidence) mayBeAnothers(i int, ms float64) bool {
	if i > 0 && ev.match(i-1).Heard < 0 && (ms < 0 || ev.match(i).Note.Fresh < plainFresh) {
		return true
	}
	next := i + 1
	if ms < 0 || next >= len(ev.line) || math.Abs(ev.lateness(next)) > onBeat*ms {
		return false
	}
	return ms > lateMost*1000*(ev.match(next).Beat-ev.match(i).Beat)
}

// jitterWithout is how far the onsets lie from the beat by chance, ms, those of
// notes from..to of the line left out.
func (ev *evidence) jitterWithout(from, to int) float64 {
	var all []float64
	for i := range ev.line {
		if l := ev.lateness(i); (i < from || i > to) && !math.IsNaN(l) && ev.match(i).Step == 0 {
			all = append(all, l)
		}
	}
	return robust.Spread(all)
}

// gapBefore is the silence before a note, s.
func (ev *evidence) gapBefore(i int) float64 {
	if i == 0 || ev.match(i-1).Heard < 0 {
		return 0
	}
	return math.Max(0, ev.match(i).Note.Onset-ev.match(i-1).Note.Offset)
}

// secondsPerQuarter is the nominal length of a quarter note at a note of the
// line, s.
func (ev *evidence) secondsPerQuarter(i int) float64 {
	for ; i+1 < len(ev.line); i++ {
		if q := (ev.line[i+1].Onset - ev.line[i].Onset).Quarters(); q > 0 {
			return (ev.clock[i+1] - ev.clock[i]) / q
		}
	}
	if n := len(ev.line); n > 1 && ev.line[n-1].Onset > ev.line[n-2].Onset {
		return (ev.clock[n-1] - ev.clock[n-2]) / (ev.line[n-1].Onset - ev.line[n-2].Onset).Quarters()
	}
	return 60 / ev.supposed
}

// seconds is how long a written length lasts at a note of the line, at so many
// seconds a nominal second.
func (ev *evidence) seconds(i int, length piece.Ticks, rate float64) float64 {
	return length.Quarters() * ev.secondsPerQuarter(i) * rate
}

// secondsPerBeat is the nominal length of a beat at a note of the line, s.
func (ev *evidence) secondsPerBeat(i int) float64 {
	return ev.piece.Measures[ev.line[i].Measure].Time.Beat().Quarters() * ev.secondsPerQuarter(i)
}

// beatOf gives the beat, in the measure of a note of the line, at a moment after it.
func (ev *evidence) beatOf(at float64, i int) float64 {
	m := ev.match(i)
	from, rate := m.Beat, m.Rate
	if math.IsNaN(from) {
		from, rate = m.Note.Onset, ev.align.Pace
	}
	return round(math.Max(1, ev.line[i].Beat+(at-from)/(rate*ev.secondsPerBeat(i))), 2)
}

// tempoAt is the tempo that the player keeps about a note of the line, quarter
// notes a minute.
func (ev *evidence) tempoAt(i int) float64 {
	rate := ev.match(i).Rate
	if rate <= 0 || math.IsNaN(rate) {
		rate = ev.align.Pace
	}
	return ev.supposed / rate
}
