package finding

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece/pace"
	"endpin/piece/words"
)

// How another rhythm is told from one played unevenly. Set by ear, no source.
const (
	beyondScatter = 3.3           // standard deviations by which an onset is off, and a note: sixty of a take pass three by chance once in a few takes
	rhythmNear    = 0.10          // of the two notes' time: how near an onset must come to another simple rhythm
	rhythmBetter  = 2.5           // times nearer than to the written one
	rhythmJitter  = 3.2           // times the jitter of the onsets that another rhythm must be off …
	rhythmLeast   = 80.0          // ms … and at least so much
	firstInPlace  = 0.1           // of the two notes' time that the first may lie off the beat …
	swayTogether  = 0.75          // … or of what lies between the two, where the whole row sways about the beat
	sameShare     = 0.02          // of the two notes' time: two ways of dividing it are the same
	dottedShare   = 0.75          // of the two notes' time that a dotted note takes
	dottedOff     = 0.4           // beats that a note must be off for one pair alone to tell of a rhythm
	legato        = 0.6           // of a displacement: a gap before the note larger than this is a late entrance, not a rhythm
	leastJitter   = 10.0          // ms that onsets scatter at least (piece/pace)
	clearlyMore   = 1.3           // times what is let pass of onsets and paces: sure, where the rest is
	lostSurely    = beatsNear / 2 // from a whole number of beats, to be sure of one swallowed or added
)

// beat is how near the onsets are held to the beat that the player keeps.
type beat struct {
	jitter    float64 // of onsets about it by chance, ms
	tolerance float64 // what is let pass, ms
}

// otherRhythms tells of measures played in another rhythm.
func (t *take) otherRhythms() {
	for from := 0; from < len(t.line); {
		to := from
		for to+1 < len(t.line) && t.line[to+1].Measure == t.line[from].Measure && t.line[to+1].Pass == t.line[from].Pass {
			to++
		}
		t.otherRhythm(from, to)
		from = to + 1
	}
}

// comesOff is by how many ms a note came off the beat, where it did by more than is allowed and
// is itself to blame; and the last of the notes after it that hang together with it.
func (t *take) comesOff(i int) (ms float64, to int, off bool) {
	ms, allowed := t.lateness(i), t.beat.tolerance+t.turning(i)
	if math.IsNaN(ms) || t.timeTold[i] || t.line[i].Free || math.Abs(ms) <= allowed || t.broadened(i, ms) || t.onTime(i, ms, allowed) || t.mayBeAnothers(i, ms) {
		return 0, i, false
	}
	for to = i; to+1 < len(t.line) && !t.timeTold[to+1] && t.lateness(to+1)*ms > 0 && math.Abs(t.lateness(to+1)) > allowed; {
		to++
	}
	return ms, to, true
}

// offBeats tells of single notes that came late or early, or once of all where it is the
// manner of the whole take: half of the notes are.
func (t *take) offBeats() {
	for i := 0; i < len(t.line); i++ {
		if ms, to, off := t.comesOff(i); off {
			t.offBeat(i, to, ms)
			i = to
		}
	}
	for _, kind := range []Kind{Late, Early} {
		var ms []float64
		notes, judged := 0, 0
		for _, f := range t.findings {
			if f.Kind == kind {
				ms, notes = append(ms, f.Value), notes+f.Notes
			}
		}
		for i := range t.line {
			if !math.IsNaN(t.lateness(i)) {
				judged++
			}
		}
		if notes < mannerNotes || 2*notes < judged {
			continue
		}
		t.findings = slices.DeleteFunc(t.findings, func(f Finding) bool { return f.Kind == kind })
		t.offBeatAllThrough(kind, ms, words.Of("finding."+string(kind)+".manner", "n", notes, "by", t.offBy(ms)), notes)
	}
}

// offBeatAfterShifts tells once of notes late or early where most shifts make their note so,
// and few others are.
func (t *take) offBeatAfterShifts() {
	shifts := map[int]bool{}
	for _, s := range t.plan.Shifts {
		shifts[s.Note] = !math.IsNaN(t.lateness(s.Note))
	}
	for _, kind := range []Kind{Late, Early} {
		var ms []float64
		var after [][2]int
		moved, all, notes := 0, 0, 0
		for i := 0; i < len(t.line); i++ {
			if shifts[i] {
				moved++
			}
			l, to, off := t.comesOff(i)
			if !off || either(l, Late, Early) != kind || t.match(i).Step != 0 { // a beat put off is a wait
				continue
			}
			all++
			if shifts[i] {
				ms, after, notes = append(ms, l), append(after, [2]int{i, to}), notes+to-i+1
				i = to
			}
		}
		if n := len(after); n < pausesAsOne || 2*n <= moved || 2*n <= all {
			continue
		}
		for _, a := range after {
			for i := a[0]; i <= a[1]; i++ {
				t.timeTold[i] = true
			}
		}
		t.offBeatAllThrough(kind, ms, words.Of("finding."+string(kind)+".shifts", "n", len(after), "all", moved, "by", t.offBy(ms)), notes)
	}
}

// offBeatAllThrough tells once of so many notes that came so many ms late, or early.
func (t *take) offBeatAllThrough(kind Kind, ms []float64, said words.Sentence, notes int) {
	t.whole(Finding{Kind: kind, Value: robust.Median(ms), Trust: dsp.Sure, Spread: t.beat.jitter, Tolerance: t.level.Onset, Notes: notes, Said: said})
}

// offBy tells how far off they are.
func (t *take) offBy(ms []float64) words.Sentence {
	by := t.byTime(t.align.First, robust.Median(ms)/1000)
	if by.Key == "finding.by.little" {
		by = words.Of("finding.by.eighth") // "by about a little" says nothing
	}
	return by
}

// beatKept is how near the beat the onsets lie.
func (t *take) beatKept() beat {
	jitter := t.jitterWithout(1, 0)
	return beat{jitter, math.Max(t.level.Onset, beyondScatter*jitter)}
}

// offBeat tells of a note so many ms off the beat, and those after it that hang together;
// by how much is not sure where the pace turns.
func (t *take) offBeat(i, to int, ms float64) {
	n := &t.match(i).Note
	trust := sureUnless(math.Abs(ms) < clearlyMore*t.level.Onset || t.turning(i) > 0 || n.Strength < plainOnset || n.Trust == dsp.NotSure)
	t.timeTold[i] = true
	t.add(Finding{Kind: either(ms, Late, Early), Value: ms, Trust: trust, Spread: t.beat.jitter, Tolerance: t.level.Onset, Notes: to - i + 1}, i, to)
}

// beatsPutOff tells of beats swallowed or added, and of stops: from there on
// everything comes earlier or later.
func (t *take) beatsPutOff() {
	allowed, unheard := t.beat.tolerance, 0.0 // ms by which notes not heard at once have put it off
	var pauses []int
	waits := t.waits()
	for i := range t.line {
		m := t.match(i)
		if m.Step == 0 || m.Heard < 0 {
			continue
		}
		beats, whole, lost := t.beatsOff(i)
		lost = lost && (beats < 0 || t.countable(i) && t.miscounted(i, beats-whole, waits))
		if lost && beats < 0 && i > 0 && t.match(i-1).Heard < 0 {
			t.timeTold[i] = true // the time of a note that is missing: that is told
			continue
		}
		if t.mayWait(i) {
			t.timeTold[i] = true // the beat waits there as long as the player likes
			continue
		}
		if lost {
			t.timeTold[i] = true
			at := i
			if i > 0 { // the beat was lost in what lies before the note
				at = i - 1
				t.timeTold[at] = true
			}
			trust := sureUnless(math.Abs(beats-whole) > lostSurely)
			f := Finding{Kind: WrongRhythm, Value: math.Abs(beats), Trust: trust, Notes: 1, Said: t.beatsText(at, i, whole), Located: true,
				Tolerance: allowed / 1000 / (m.Rate * t.secondsPerBeat(i))}
			t.add(f, at, i)
			continue
		}
		if m.Step >= t.leastPause(i) && i < t.align.Last {
			if t.match(i+1).Heard < 0 {
				continue // what was not heard may have been played in that time, and this be the next
			}
			pauses = append(pauses, i)
			t.timeTold[i-1], t.timeTold[i] = true, true
			continue
		}
		ms := 1000 * m.Step
		if math.Abs(ms) <= allowed || t.timeTold[i] || t.broadened(i, ms) {
			continue
		}
		if ms < 0 && ms+unheard > -allowed || t.onTime(i, ms, allowed) {
			unheard = math.Max(0, ms)
			continue
		}
		unheard = 0
		t.offBeat(i, i, ms)
	}
	t.paused(pauses)
}

// split is one way of dividing the time of two notes.
type split struct {
	share float64
	name  string
}

var splits = []split{{1. / 2, "even"}, {3. / 4, "long-short"}, {2. / 3, "long-short"}, {1. / 4, "short-long"}, {1. / 3, "short-long"}}

// otherRhythm tells of a measure whose notes were played, pair by pair, in another
// simple rhythm.
func (t *take) otherRhythm(from, to int) {
	jitter := t.jitterWithout(from, to)
	var changed []regrouped
	farthest, gaps, alone := 0.0, 0, false
	for i := from; i < to; i++ {
		r, ok := t.regrouped(i, jitter)
		if !ok {
			continue
		}
		changed = append(changed, r)
		farthest = math.Max(farthest, r.beats)
		alone = alone || r.alone
		if r.gap {
			gaps++
		}
		i++
	}
	n := len(changed)
	if n == 0 || n == 1 && (!alone || gaps == 1) {
		return // a single note out of its place, more so after silence, is late and no rhythm
	}
	for i := from; i <= to; i++ {
		t.timeTold[i] = true
	}
	t.add(Finding{Kind: WrongRhythm, Value: farthest, Trust: sureUnless(n == 1), Notes: n, Tolerance: rhythmNear,
		Said: t.rhythmText(from, changed[0].written, changed[0].played), Located: true}, from, to)
}

// regrouped is a pair of notes played in another rhythm.
type regrouped struct {
	written, played string
	beats           float64 // that the second was off
	alone           bool    // dotted, or so far off, and so near the other rhythm: that alone tells of it
	gap             bool    // the bow had left the string before the second: it may be late and no more
}

// regrouped compares a note and the next with the other simple ways of dividing
// their time.
func (t *take) regrouped(i int, jitter float64) (r regrouped, ok bool) {
	a, b := &t.line[i], &t.line[i+1]
	la, lb := t.lateness(i), t.lateness(i+1)
	if a.Beat != math.Trunc(a.Beat) || a.RestAfter > 0 || math.IsNaN(la) || math.IsNaN(lb) || t.timeTold[i] || t.timeTold[i+1] || t.match(i).Step != 0 || t.match(i+1).Step != 0 {
		return r, false
	}
	whole, beat := a.Length+b.Length, t.piece.Measures[a.Measure].Time.Beat()
	if whole > beat && 2*whole%beat != 0 {
		return r, false // a note, and the first of a group that divides the next beat
	}
	both := float64(whole)
	share := float64(a.Length) / both
	written := nameOf(share)
	ms := 1000 * (a.Length + b.Length).Quarters() * t.secondsPerQuarter(i) * t.match(i).Rate
	if written == "" || !(math.Abs(la) < firstInPlace*ms || la*lb < 0 && math.Abs(la) < swayTogether*math.Abs(lb-la)) {
		return r, false // the first of the two must be in its place, or the whole row sways about the beat
	}
	heard := 1000 * (t.match(i+1).Note.Onset - t.match(i).Note.Onset) / ms
	best, own := -1, math.Abs(heard-share)
	for k, s := range splits {
		if s.name != written && (best < 0 || math.Abs(heard-s.share) < math.Abs(heard-splits[best].share)) {
			best = k
		}
	}
	d := math.Abs(heard - splits[best].share)
	if d > rhythmNear || own < rhythmBetter*d || own*ms < math.Max(rhythmLeast, rhythmJitter*jitter)+2*t.turning(i+1) {
		return r, false
	}
	if from := heard - 1000*t.hiddenAttack(i+1)/ms; from < share && share < heard {
		return r, false // it may have begun where it is written, and not been heard at once
	}
	beats := own * both / float64(beat)
	alone := (math.Abs(share-dottedShare) < sameShare || beats > dottedOff) && d*ms < rhythmOrAstray(own*ms, jitter)
	return regrouped{written, splits[best].name, beats, alone,
		lb > 0 && !t.struck[i] && t.gapBefore(i+1) > legato*lb/1000}, true
}

// rhythmOrAstray is how far from where another rhythm has it a note may lie that is so many ms
// off, for that rhythm to be likelier than a note off the beat by itself: the onsets of a
// rhythm scatter as all do, and one off by itself as piece/pace has it.
func rhythmOrAstray(off, jitter float64) float64 {
	scatter, astray := math.Sqrt2*math.Max(jitter, leastJitter), 1000*pace.Astray
	return scatter * math.Sqrt(2*math.Log(math.Max(1, astray/scatter))+sq(off/astray))
}

// nameOf names a way of dividing the time of two notes; empty where it is none of
// the simple ones.
func nameOf(share float64) string {
	for _, s := range splits {
		if math.Abs(s.share-share) < sameShare {
			return s.name
		}
	}
	return ""
}
