package finding

import (
	"math"
	"sort"

	"endpin/dsp"
)

const (
	beatsNear     = 0.2  // how near a whole number of beats a put-off beat must be to be one swallowed or added
	beatsMost     = 2    // beats that can be swallowed or added; more is a stop
	rhythmNear    = 0.10 // of the two notes' time: how near an onset must come to another simple rhythm
	rhythmBetter  = 2.5  // times nearer than to the written one
	bowSpeaks     = 0.09 // s that a bass takes to speak
	hiddenByRing  = 0.20 // s that a soft attack may lie hidden under the ring of the note before …
	hiddenByNoise = 0.15 // s … or in a noisy room, or where hardly a beginning was heard
	plainFresh    = 4.0  // dB of new sound a band that no ring hides
	hiddenForGood = 9.0  // s: a soft beginning in a room that rings tells nothing of being late
	hiddenMost    = 0.35 // s that a ring may hide a beginning …
	scratches     = 24.0 // dB below its level that a bow may scratch before a note sounds
	grown         = 6.0  // dB below its level at which a note has come up
	ringFalls     = 3.0  // … where the sound before it falls by as many dB
	beatTold      = 4    // notes to each side that tell where the beat is
	softBy        = 0.08 // s that a note may have begun before it was heard, for the beat to do without it
	lateMost      = 0.7  // of its own length: later than that it is hardly that note
	unclearPitch  = 0.2  // aperiodicity of a pitch that is none yet
	deepNoise     = 27   // dB that a note must stand above the room for its attack to be heard whole
	plainVoice    = 4    // strength of an onset that no noise hides
	rhythmSway    = 3.2  // times what the onsets sway that another rhythm must be off
	legato        = 0.6  // of a displacement: a gap before the note larger than this is a late entrance, not a rhythm
)

// lateness is how far a note lies from the beat the player keeps, ms.
func (t *take) lateness(i int) float64 {
	m := t.match(i)
	if m.Heard < 0 || m.Guessed || m.Recovered || math.IsNaN(m.Beat) {
		return math.NaN()
	}
	return 1000 * (m.Note.Onset - m.Beat)
}

// sooner is how much before its onset a note may have begun, s: as long as its
// pitch, or sound that has no pitch yet, leads up to it. A slow bow is not late.
func (t *take) sooner(i int) float64 {
	onset := t.match(i).Note.Onset
	frames := t.heard.Frames
	k := sort.Search(len(frames), func(k int) bool { return frames[k].Time >= onset })
	pitch := t.match(i).Note.Pitch + t.referredBy()
	same := i > 0 && t.line[i-1].MIDI == t.line[i].MIDI
	scratch := math.Min(t.heard.Floor+9, math.Max(t.hush+9, t.match(i).Note.Level-scratches))
	from := onset
	for k--; k >= 0; k-- {
		f := frames[k]
		its := f.Voiced && !same && math.Abs(dsp.MIDI(f.Freq)-pitch) < 0.8
		if !its && (f.Voiced && f.Aperiodicity < unclearPitch || f.Level < scratch) {
			break
		}
		from = f.Time
	}
	n := &t.match(i).Note
	hidden := 0.0
	if n.Kind == dsp.PitchChange && !t.line[i].Slurred {
		hidden = hiddenByRing // under what still rang of the note before
	}
	if n.Fresh < plainFresh {
		if t.rings {
			return hiddenForGood
		}
		hidden = math.Max(hidden, onset-t.lowest(i))
	}
	if n.Level < t.heard.Floor+deepNoise && n.Strength < plainVoice || n.Strength < plainOnset {
		hidden = math.Max(hidden, hiddenByNoise)
	}
	return math.Max(onset-from, hidden)
}

// lowest is when the sound before a note was softest, where what rang of the note
// before could still be heard: from there on there was something new in it, s.
func (t *take) lowest(i int) float64 {
	n := &t.match(i).Note
	at, low, high := n.Onset, math.Inf(1), math.Inf(-1)
	fell := false
	for _, f := range t.between(n.Onset-hiddenMost, n.Onset) {
		if f.Level < low {
			at, low = f.Time, f.Level
			fell = high > low+ringFalls
		}
		high = math.Max(high, f.Level)
	}
	if !fell || low < t.heard.Floor+9 {
		return n.Onset
	}
	return at
}

// swell is how long after its onset a note grows, s.
func (t *take) swell(i int) float64 {
	n := &t.match(i).Note
	for _, f := range t.between(n.Onset, n.Offset) {
		if f.Level > n.Level-grown {
			return f.Time - n.Onset
		}
	}
	return 0
}

// softly is how much before their onsets the notes about one may have begun, s: the
// beat, which they tell, may lie as much sooner.
func (t *take) softly(i int) float64 {
	var all []float64
	for k := max(0, i-beatTold); k <= min(len(t.line)-1, i+beatTold); k++ {
		if k != i && !math.IsNaN(t.lateness(k)) {
			all = append(all, math.Min(hiddenByRing, t.sooner(k)))
		}
	}
	if len(all) == 0 {
		return 0
	}
	return median(all)
}

// later is how much after its onset a note may have begun, s: until its pitch is
// heard, less the time that any bow takes to speak. What sounded before may
// have been another note.
func (t *take) later(i int) float64 {
	n := &t.match(i).Note
	pitch := n.Pitch + t.referredBy()
	for _, f := range t.between(n.Onset, n.Offset) {
		if f.Voiced && math.Abs(dsp.MIDI(f.Freq)-pitch) < 0.8 {
			return math.Max(0, f.Time-n.Onset-bowSpeaks)
		}
	}
	return 0
}

// rhythm tells of measures played in another rhythm, then of single notes that
// came late or early.
func (t *take) rhythm() {
	t.sway = t.swayWithout(1, 0)
	room := math.Max(t.level.Onset, beyondScatter*t.sway)
	t.beatWithoutSoft(room)
	before := len(t.hearing.Findings)
	for from := 0; from < len(t.line); {
		to := from
		for to+1 < len(t.line) && t.line[to+1].Measure == t.line[from].Measure && t.line[to+1].Pass == t.line[from].Pass {
			to++
		}
		t.otherRhythm(from, to)
		from = to + 1
	}
	if len(t.hearing.Findings) > before {
		t.align.KeepBeat(t.clock, func(i int) bool { return t.told[i] })
	}
	t.beatsPutOff(room)
	for i := 0; i < len(t.line); i++ {
		l := t.lateness(i)
		if math.IsNaN(l) || t.told[i] || math.Abs(l) <= room || t.onTime(i, l, room) || t.forOther(i, l) {
			continue
		}
		to := i // notes that hang together are one finding
		for to+1 < len(t.line) && !t.told[to+1] && t.lateness(to+1)*l > 0 && math.Abs(t.lateness(to+1)) > room {
			to++
		}
		t.offBeat(i, to, l)
		i = to
	}
}

// onTime tells whether a note that lies so many ms off the beat may yet have begun
// within the room, and not been heard at once.
func (t *take) onTime(i int, ms, room float64) bool {
	if ms > 0 {
		sooner := t.sooner(i)
		if t.rings { // as long as it still grew it may have grown before, unheard
			sooner = math.Max(sooner, t.match(i).Note.Onset-t.lowest(i)+t.swell(i))
		}
		return ms-1000*sooner < room
	}
	return ms+1000*(t.later(i)+t.softly(i)) > -room
}

// beatWithoutSoft finds the beat anew where it steps aside only because a few notes
// in a row may have begun sooner than they were heard.
func (t *take) beatWithoutSoft(room float64) {
	soft := map[int]bool{}
	for i := range t.line {
		ms := 1000 * t.match(i).Step
		if _, _, whole := t.beatsOff(i); whole || ms <= room || !t.onTime(i, ms, room) {
			continue
		}
		for k := i; k < min(len(t.line), i+beatTold) && (k == i || t.match(k).Step == 0) && t.match(k).Heard >= 0 && t.sooner(k) > softBy; k++ {
			soft[k] = true
		}
	}
	if len(soft) > 0 {
		t.align.KeepBeat(t.clock, func(i int) bool { return soft[i] })
		t.sway = t.swayWithout(1, 0)
	}
}

// beatsOff is by how many beats the beat is put off at a note, as told and to the next
// whole one, and whether it is one or two: beats swallowed or added.
func (t *take) beatsOff(i int) (beats, nearest float64, whole bool) {
	m := t.match(i)
	if m.Step == 0 || m.Heard < 0 {
		return 0, 0, false
	}
	beats = m.Step / (m.Rate * t.secondsPerBeat(i))
	nearest = math.Round(beats)
	return beats, nearest, nearest != 0 && math.Abs(nearest) <= beatsMost && math.Abs(beats-nearest) < beatsNear
}

// forOther tells whether a note off the beat may be another's beginning: an early one
// that of the note before, where that was not heard, or a soft one still lies under
// that; and one that comes when the next is due, which is on time, is no late note.
func (t *take) forOther(i int, ms float64) bool {
	if i > 0 && t.match(i-1).Heard < 0 && (ms < 0 || t.match(i).Note.Fresh < plainFresh) {
		return true
	}
	next := i + 1
	if ms < 0 || next >= len(t.line) || math.IsNaN(t.lateness(next)) || math.Abs(t.lateness(next)) > ms/2 {
		return false
	}
	return ms > lateMost*1000*(t.match(next).Beat-t.match(i).Beat)
}

// swayWithout is how far the onsets lie from the beat by chance, ms, those of
// notes from..to of the line left out.
func (t *take) swayWithout(from, to int) float64 {
	var all []float64
	for i := range t.line {
		if l := t.lateness(i); (i < from || i > to) && !math.IsNaN(l) && t.match(i).Step == 0 {
			all = append(all, l)
		}
	}
	return deviation(all, median(all))
}

func (t *take) offBeat(i, to int, ms float64) {
	kind := Late
	if ms < 0 {
		kind = Early
	}
	n := &t.match(i).Note
	trust := dsp.Sure
	if math.Abs(ms) < clearlyMore*t.level.Onset || n.Strength < plainOnset || n.Trust == dsp.NotSure || t.rings {
		trust = dsp.Fair
	}
	t.told[i] = true
	t.add(Finding{Kind: kind, Value: ms, Trust: trust, Spread: t.sway, Tolerance: t.level.Onset, Notes: to - i + 1}, i, to)
}

// beatsPutOff tells of beats swallowed or added, and of stops: from there on
// everything comes earlier or later.
func (t *take) beatsPutOff(room float64) {
	unheard := 0.0 // ms by which notes not heard at once have put it off
	for i := range t.line {
		m := t.match(i)
		if m.Step == 0 || m.Heard < 0 {
			continue
		}
		beats, whole, lost := t.beatsOff(i)
		if i > 0 && (t.line[i-1].Articulation.Fermata || t.line[i-1].Articulation.Breath) {
			t.told[i] = true // the beat waits there as long as the player likes
			continue
		}
		if lost {
			t.told[i] = true
			at := i
			if i > 0 { // the beat was lost in what lies before the note
				at = i - 1
				t.told[at] = true
			}
			trust := dsp.Sure
			if math.Abs(beats-whole) > beatsNear/2 {
				trust = dsp.Fair
			}
			f := Finding{Kind: WrongRhythm, Value: math.Abs(beats), Trust: trust, Notes: 1, Text: t.beatsText(at, i, whole),
				Tolerance: room / 1000 / (m.Rate * t.secondsPerBeat(i))}
			t.add(f, at, i)
			continue
		}
		ms := 1000 * m.Step
		if math.Abs(ms) <= room || t.told[i] {
			continue
		}
		if ms < 0 && ms+unheard > -room || t.onTime(i, ms, room) {
			unheard = math.Max(0, ms)
			continue
		}
		unheard = 0
		t.offBeat(i, i, ms)
	}
}

// split is one way of dividing the time of two notes.
type split struct {
	share float64
	name  string
}

var splits = []split{{1. / 2, "even"}, {3. / 4, "long–short"}, {2. / 3, "long–short"}, {1. / 4, "short–long"}, {1. / 3, "short–long"}}

// otherRhythm compares the notes of one measure, pair by pair, with the other
// simple ways of dividing their time.
func (t *take) otherRhythm(from, to int) {
	sway := t.swayWithout(from, to)
	farthest, changed, gaps, dotted := 0.0, 0, 0, false
	var played, written string
	for i := from; i < to; i++ {
		a, b := &t.line[i], &t.line[i+1]
		la, lb := t.lateness(i), t.lateness(i+1)
		if a.Beat != math.Trunc(a.Beat) || a.RestAfter > 0 || math.IsNaN(la) || math.IsNaN(lb) || t.told[i] || t.told[i+1] || t.match(i).Step != 0 || t.match(i+1).Step != 0 {
			continue
		}
		both := float64(a.Length + b.Length)
		share := float64(a.Length) / both
		ms := 1000 * (a.Length + b.Length).Quarters() * t.secondsPerQuarter(i) * t.match(i).Rate
		if !(math.Abs(la) < 0.1*ms || la*lb < 0 && math.Abs(la) < 0.75*math.Abs(lb-la)) {
			continue // the first of the two must be in its place, or the whole row sways about the beat
		}
		heard := 1000 * (t.match(i+1).Note.Onset - t.match(i).Note.Onset) / ms
		best, own := -1, math.Abs(heard-share)
		for k, s := range splits {
			if s.name != nameOf(share) && (best < 0 || math.Abs(heard-s.share) < math.Abs(heard-splits[best].share)) {
				best = k
			}
		}
		if d := math.Abs(heard - splits[best].share); d > rhythmNear || own < rhythmBetter*d || own*ms < math.Max(80, rhythmSway*sway) {
			continue
		}
		if !simple(share) {
			continue
		}
		if from := heard - 1000*t.sooner(i+1)/ms; from-rhythmNear < share && share < heard {
			continue // it may have begun where it is written, and not been heard at once
		}
		if lb > 0 && t.gapBefore(i+1) > legato*lb/1000 {
			gaps++
		}
		beats := own * both / float64(t.piece.Measures[a.Measure].Time.Beat())
		farthest = math.Max(farthest, beats)
		changed++
		dotted = dotted || math.Abs(share-0.75) < 0.02 || beats > 0.4
		if played == "" {
			played, written = splits[best].name, nameOf(share)
		}
		i++
	}
	if changed == 0 || changed == 1 && (!dotted || gaps == 1) {
		return // a single note out of its place, more so after silence, is late and no rhythm
	}
	trust := dsp.Sure
	if changed == 1 || t.rings {
		trust = dsp.Fair
	}
	for i := from; i <= to; i++ {
		t.told[i] = true
	}
	t.add(Finding{Kind: WrongRhythm, Value: farthest, Trust: trust, Notes: changed, Tolerance: rhythmNear,
		Text: t.rhythmText(from, written, played)}, from, to)
}

func simple(share float64) bool { return nameOf(share) != "" }

func nameOf(share float64) string {
	for _, s := range splits {
		if math.Abs(s.share-share) < 0.02 {
			return s.name
		}
	}
	return ""
}

// gapBefore is the silence before a note, s.
func (t *take) gapBefore(i int) float64 {
	if i == 0 || t.match(i-1).Heard < 0 {
		return 0
	}
	return math.Max(0, t.match(i).Note.Onset-t.match(i-1).Note.Offset)
}

// secondsPerQuarter is the nominal length of a quarter note at a note of the
// line, s.
func (t *take) secondsPerQuarter(i int) float64 {
	for ; i+1 < len(t.line); i++ {
		if q := (t.line[i+1].Onset - t.line[i].Onset).Quarters(); q > 0 {
			return (t.clock[i+1] - t.clock[i]) / q
		}
	}
	if n := len(t.line); n > 1 && t.line[n-1].Onset > t.line[n-2].Onset {
		return (t.clock[n-1] - t.clock[n-2]) / (t.line[n-1].Onset - t.line[n-2].Onset).Quarters()
	}
	return t.quarter
}
