package finding

import (
	"math"

	"endpin/dsp"
	"endpin/piece/intonation"
	"endpin/piece/words"
)

// Which pitch is another note. Set by ear, no source.
const (
	anotherRarer = 3.0   // times that another note is rarer than one put so far off …
	aloneNote    = 60.0  // … but of one that is all its hand plays all so many cents off is another (design)
	farthestHand = 160.0 // cents that a hand can lie off its place: further, and its notes were others
	halfSemitone = 0.5
)

// restarts tells of going back.
func (t *take) restarts() {
	for _, r := range t.align.Restarts {
		to, from := &t.line[r.To], &t.line[r.From]
		f := Finding{Kind: Restarted, Measure: to.Number, ToMeasure: from.Number, Pass: to.Pass, Beat: round(to.Beat, 3),
			Value: number(to.Number), Trust: dsp.Sure, At: round(r.At, 3)}
		t.add(f, r.To, r.To)
	}
}

// wrongNotes tells of another pitch in a note's place, measured from where its
// hand lies: a hand that landed a semitone off is not a row of wrong notes.
func (t *take) wrongNotes() {
	stopped := map[int]int{} // notes heard, by frame
	for i, f := range t.plan.Notes {
		if !math.IsNaN(t.cents[i]) && f.Stopped() {
			stopped[f.Frame]++
		}
	}
	t.tellAlike()
	already := len(t.findings)
	for i, f := range t.plan.Notes {
		if math.IsNaN(t.cents[i]) || t.wrong[i] {
			continue
		}
		rarer, alone := anotherRarer, f.Stopped() && stopped[f.Frame] == 1
		hand := intonation.OfFrame(f.Frame)
		if alone {
			rarer, hand = 1.0, intonation.Cause{}
		}
		lies := func(r *intonation.Reading) float64 { return t.cents[i] - r.A - t.told(i) - r.Of(hand) }
		off := lies(t.tuned.Likeliest())
		semitones := math.Round((t.cents[i] - t.tuned.A) / 100)
		if alone && math.Abs(off) < aloneNote || semitones == 0 || t.struck[i] && !t.pitched(i) && math.Abs(semitones) < 2 {
			continue
		}
		nearer := t.tuned.Another(f.Stopped(), rarer, t.pitchDoubt(i), lies)
		if nearer == dsp.NotSure {
			continue
		}
		n := &t.match(i).Note
		t.wrong[i] = true
		if t.plucked && t.ringsOn(i) {
			continue
		}
		proved := t.verdicts[i] == another
		trust := least(least(n.Trust, nearer), sureUnless(!proved))
		if h := math.Mod(math.Abs(semitones), 12); h == 0 || h == 7 && math.Abs(semitones) > 12 {
			// A tracker that slips by an octave or a twelfth would say so too, and so
			// would a ring together with what begins under it.
			if !proved {
				continue
			}
			trust = least(trust, dsp.Fair)
		}
		if trust == dsp.NotSure {
			continue
		}
		if (alone || t.struck[i]) && math.Abs(off) < farthestHand { // so far a hand may have landed, and the body pulls at a pluck
			trust = least(trust, dsp.Fair)
		}
		t.add(Finding{Kind: WrongNote, Value: semitones, Trust: trust, Spread: n.Spread, Tolerance: halfSemitone, Notes: 1}, i, i)
	}
	t.findings = append(t.findings[:already], t.inOctaves(t.findings[already:])...)
}

// ringsOn tells whether a note has the pitch of the one before, where another is
// written: a plucked string that rings on.
func (ev *evidence) ringsOn(i int) bool {
	return i > 0 && ev.match(i-1).Heard >= 0 && ev.line[i].MIDI != ev.line[i-1].MIDI && math.Abs(ev.match(i).Note.Pitch-ev.match(i-1).Note.Pitch) < ownPitch
}

// missing tells of notes that were not heard.
func (t *take) missing() {
	first, last := t.align.First, t.align.Last
	gone := func(i int) bool {
		return i <= last && t.match(i).Heard < 0 && !t.passed[i] && t.missed(i, i) != written
	}
	for i := first; i <= last; i++ {
		if !gone(i) {
			continue
		}
		from := i
		for gone(i + 1) {
			i++
		}
		covered := t.soundGoesOn(from, i)
		v := t.missed(from, i)
		doubt := covered || v == unclear && t.sounds(from, i)
		hidden := t.soundComesUp(from, i) || covered && t.noteLevel < t.heard.Floor+deepNoise
		if t.plucked {
			hidden = t.pluckHidden(from, i)
		}
		if v == unclear && (hidden || t.leftOpen(from, i) || t.nextIsNearer(from, i)) {
			continue // under a string that rings, or noise, it may have been there
		}
		n := i - from + 1
		t.add(Finding{Kind: Missing, Trust: sureUnless(doubt), Notes: n, Value: float64(n), At: round(t.match(from-1).Note.Offset, 3)}, from, i)
	}
	t.unplayed(last+1, t.to, t.match(last).Note.Offset)
	t.unplayed(t.from, first-1, t.match(first).Note.Onset)
}

// unplayed tells where a take stops before the end of what was to be played, or begins
// after its beginning. Nothing is said of how the rest is played; and where much was
// heard there that does not fit the page, not even that it was not.
func (t *take) unplayed(from, to int, at float64) {
	n := to - from + 1
	if n <= 0 {
		return
	}
	f := Finding{Kind: Missing, Trust: dsp.Sure, Notes: n, Value: float64(n), At: round(at, 3)}
	f.Unplayed = n > 1 || from > t.align.Last && t.endsHere(t.align.Last)
	begins := from == t.from && from < t.align.First
	if !f.Unplayed && t.missed(from, to) != another && t.sounds(from, to) {
		return // it may have been there
	}
	if !begins && t.repeatedOn(from, to) {
		return // nor are they heard apart
	}
	if !begins && t.goesBack(from, from) == from { // all of the page was played
		t.repeatLeft(from, to)
		return
	}
	heard := 0
	for _, j := range t.outsideTake(begins) {
		if n := &t.heard.Notes[j]; n.Trust != dsp.NotSure && n.Offset-n.Onset > shortestExtra {
			heard++
		}
	}
	switch {
	case !f.Unplayed:
	case 2*heard > n:
		f.Trust = dsp.NotSure
		at, key := from, "finding.missing.strayed"
		if begins {
			at, key = t.align.First, "finding.missing.strayed-before"
		}
		f.Said = words.Of(key, "measure", t.line[at].Number, "beat", words.Beat(t.line[at].Beat))
	case begins: // no fault
		t.remark("finding.begun", "measure", t.line[to+1].Number, "beat", words.Beat(t.line[to+1].Beat))
		return
	default:
		f.Kind, f.Value, f.Said = Stopped, 0, t.stoppedText(to)
		from, to = t.align.Last, t.align.Last
	}
	t.add(f, from, to)
}

// repeatedOn tells whether notes after the last heard only repeat its pitch, and that one
// sounded for as long as all of them take: their beginnings were not heard.
func (ev *evidence) repeatedOn(from, to int) bool {
	last, first := ev.align.Last, ev.align.Last
	for first > 0 && ev.line[first-1].MIDI == ev.line[last].MIDI && ev.match(first-1).Heard >= 0 {
		first--
	}
	due := 0.0
	for i := first; i <= to; i++ {
		if i >= from && ev.line[i].MIDI != ev.line[last].MIDI {
			return false
		}
		due += ev.seconds(i, ev.line[i].Length+ev.line[i].RestAfter, ev.align.Pace)
	}
	return ev.match(last).Note.Offset-ev.match(first).Note.Onset > ev.level.Held*due
}
