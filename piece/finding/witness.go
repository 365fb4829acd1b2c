package finding

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece/align"
	"endpin/piece/fingerboard"
)

// A second witness is asked before a note counts as another than the one written: the
// partials that sounded. The track follows one period, and a string that rings on, a body
// that answers, or a fundamental that it does not carry, gives it another; all partials
// together, with those of what sounded before taken along, tell which of the two notes
// explains the sound.
const (
	witnessSkip    = 0.05  // s after the onset that are not asked …
	witnessSkipAll = 0.12  // … of a note that has room for it
	witnessLong    = 0.4   // s: such a note
	witnessMost    = 0.35  // s that are asked: two pitches 5 Hz apart come apart in them
	witnessEnd     = 0.02  // s before the end that are not asked
	witnessReach   = 0.6   // semitones from where it is written that the note may lie
	witnessShare   = 3     // and at most this part of the way to the note that was heard
	witnessGrid    = 0.1   // semitones: the first search …
	witnessFine    = 0.01  // … and what it ends at
	ringing        = 2     // notes that may ring on: the one before, and open strings …
	ringingFrom    = 8     // … among so many before it
	muchBetter     = 30    // of cost, by which another note explains the sound better than the page: short of it neither is told (tuned on the phrases)
	noMore         = 1.04  // of what the page leaves unexplained that its octave, twelfth … may leave: twice what partials too many explain by chance
	mostLeft       = 0.12  // of the sound that may be left of one that is explained
	goesOn         = 0.08  // s between two sounds heard for themselves that are one
	sameRing       = 0.7   // semitones: what rings at the note's own pitch is no other
	clearPeriod    = 0.035 // aperiodicity up to which a track follows a note's own period
)

// verdict is what the partials say of a note.
type verdict int

const (
	notAsked verdict = iota
	written          // the note on the page explains the sound at least as well
	another          // the note that was heard explains it, and the one on the page does not
	unclear          // neither does
)

// askPartials goes through the notes heard as others, and gives those their pitch back
// that the page explains as well. What was heard for itself before or after a note, and is
// that note, it gives back to it.
func (ev *evidence) askPartials() {
	ev.verdicts, ev.pulled = make([]verdict, len(ev.line)), make([]bool, len(ev.line))
	var before []float64
	for i := range ev.line {
		m := ev.match(i)
		if m.Heard < 0 || m.Guessed {
			continue
		}
		ev.takeBeginning(i, before)
		page := float64(ev.line[i].MIDI+12*ev.align.Octave) + ev.ideal(i)/100
		sounded := ev.notBelowIts(page, m, before)
		sounded = ev.comesApart(i, sounded, before)
		if sounded != m.Note.Pitch {
			ev.cents[i] = 100 * (sounded - page)
		}
		off := math.Abs(ev.cents[i])
		if off > 100*halfSemitone {
			v, at := ev.witness(page, sounded, m.Note.Onset, m.Note.Offset, before)
			ev.verdicts[i] = v
			switch {
			case v == written:
				sounded, ev.cents[i] = at, 100*(at-page)
			case v == unclear && off > anotherPitch:
				ev.cents[i] = math.NaN()
			}
		}
		ev.takeEnd(i, sounded)
		before = append(before, sounded)
	}
}

// takeBeginning gives a note its beginning back where that was heard as a note of its own,
// at another pitch that the note itself explains as well: what still rang was in it, or
// the fundamental was not.
func (ev *evidence) takeBeginning(i int, before []float64) {
	m := ev.match(i)
	for j, from := m.Heard-1, m.Heard; j >= 0; j-- {
		k, extra := slices.BinarySearch(ev.align.Extras, j)
		n := &ev.heard.Notes[j]
		if !extra || m.Note.Fresh > plainFresh || ev.heard.Notes[j+1].Onset-n.Offset > goesOn || math.Abs(n.Onset-m.Beat) > math.Abs(m.Note.Onset-m.Beat) {
			return
		}
		heard := n.Pitch - ev.referredBy()
		v, _ := ev.witness(m.Note.Pitch, heard, n.Onset, m.Note.Onset, before)
		if v == notAsked && n.Fresh < plainFresh {
			continue // too short to ask by itself, and nothing began with it
		}
		if v != written && math.Abs(heard-m.Note.Pitch) > sameRing {
			return
		}
		m.Note.Onset, m.Note.Kind, m.Note.Strength, m.Note.Fresh = n.Onset, n.Kind, n.Strength, n.Fresh
		ev.align.Extras, from = slices.Delete(ev.align.Extras, k, k+from-j), j
	}
}

// takeEnd gives a note the rest of it that was heard for itself, at its own pitch and
// with nothing new in it.
func (ev *evidence) takeEnd(i int, pitch float64) {
	m := ev.match(i)
	k, extra := slices.BinarySearch(ev.align.Extras, m.Heard+1)
	if !extra {
		return
	}
	if n := &ev.heard.Notes[m.Heard+1]; n.Fresh < plainFresh && n.Onset-m.Note.Offset < goesOn && math.Abs(n.Pitch-ev.referredBy()-pitch) < sameRing {
		m.Note.Offset = n.Offset
		ev.align.Extras = slices.Delete(ev.align.Extras, k, k+1)
	}
}

// notBelowIts is the pitch of a note heard where a period of several of its own puts it:
// an octave, twelfth … below about where it is written. It sounds there only if the
// partials that are not its own say so.
func (ev *evidence) notBelowIts(page float64, m *align.Match, before []float64) float64 {
	heard := m.Note.Pitch
	k := math.Round(math.Exp2((page - heard) / 12))
	own := heard + 12*math.Log2(k)
	if k < 2 || math.Abs(own-page) > anotherPitch/100 {
		return heard
	}
	w := ev.stretchOf(m.Note.Onset, m.Note.Offset, before, own, heard)
	costOwn, _, _ := w.fit(own, witnessGrid)
	costHeard, _, _ := w.fit(heard, witnessGrid)
	if costOwn-costHeard < muchBetter {
		return own
	}
	return heard
}

// comesApart is the pitch of a note whose period is lost in that of what rings: their
// partials come apart where the track wavers between the two. Of a plucked note they are
// asked in any case: it is as its partials say, or the body pulls at it.
func (ev *evidence) comesApart(i int, sounded float64, before []float64) float64 {
	n := &ev.match(i).Note
	clear := n.Trust == dsp.Sure && n.Aperiodicity <= clearPeriod
	if clear && !ev.struck[i] {
		return sounded
	}
	w := ev.stretchOf(n.Onset, n.Offset, before, sounded)
	if w.sound == nil { // it was not kept, as while one plays, or is too short to ask
		ev.pulled[i] = ev.struck[i] && n.Aperiodicity > clearPeriod
		return sounded
	}
	cost, left, at := w.fit(sounded, witnessReach)
	without := 0.0
	if len(w.rings) > 0 {
		without, _ = w.sound.Explained(ev.absolute(w.rings...)...)
	}
	higher, _ := w.sound.Explained(ev.absolute(append([]float64{at + witnessGrid}, w.rings...)...)...)
	lower, _ := w.sound.Explained(ev.absolute(append([]float64{at - witnessGrid}, w.rings...)...)...)
	bend := higher + lower - 2*cost // none where it is as well explained farther off
	if !(cost+muchBetter < without) || left > mostLeft || !(bend > 0) {
		ev.pulled[i] = ev.struck[i]
		return sounded
	}
	if clear {
		return sounded
	}
	if n.Trust == dsp.NotSure {
		n.Trust = dsp.Fair
	}
	n.Aperiodicity, n.Spread = left, 100*witnessGrid/math.Sqrt(bend)
	return at
}

// asked is a stretch of sound that partials are asked of, and what may ring on in it.
type asked struct {
	ev    *evidence
	sound *dsp.Stretch
	rings []float64
}

// stretchOf is what is asked of a note, which may be any of some pitches, with those of
// before that may ring on. Pitches are semitones at the reference asked for.
func (ev *evidence) stretchOf(onset, offset float64, before []float64, pitches ...float64) asked {
	from := onset + witnessSkip
	if offset-onset > witnessLong {
		from = onset + witnessSkipAll
	}
	return asked{ev, ev.heard.Stretch(from, math.Min(offset-witnessEnd, from+witnessMost)), ev.ringsOf(before, pitches...)}
}

// ringsOf is what may ring on of the notes before, but for some pitches.
func (ev *evidence) ringsOf(before []float64, but ...float64) (rings []float64) {
	for k := len(before) - 1; k >= max(0, len(before)-ringingFrom) && len(rings) < ringing; k-- {
		same := func(p float64) bool { return math.Abs(before[k]-p) < sameRing }
		open := slices.ContainsFunc(ev.board.Strings, func(s fingerboard.String) bool { return same(float64(s.MIDI)) })
		if (open || k == len(before)-1) && !slices.ContainsFunc(but, same) && !slices.ContainsFunc(rings, same) {
			rings = append(rings, before[k])
		}
	}
	return rings
}

// fit finds where a pitch explains the stretch best, with what rings: its cost, the share
// of the sound that it leaves unexplained, and where it lies.
func (w *asked) fit(about, reach float64) (cost, left, at float64) {
	cost = math.Inf(1)
	try := func(p float64) {
		if c, l := w.sound.Explained(w.ev.absolute(append([]float64{p}, w.rings...)...)...); c < cost {
			cost, left, at = c, l, p
		}
	}
	for d := -reach; d <= reach+1e-9; d += witnessGrid {
		try(about + d)
	}
	for step := witnessGrid / 2; step > witnessFine/2 && !math.IsInf(cost, 1); step /= 2 {
		middle := at
		try(middle - step)
		try(middle + step)
	}
	return cost, left, at
}

// witness asks which of two notes explains the sound of one, and where the written one
// then lies. The one that was heard may have sounded before, and only ring on.
func (ev *evidence) witness(page, heard, onset, offset float64, before []float64) (verdict, float64) {
	w, rung := ev.stretchOf(onset, offset, before, page, heard), ev.stretchOf(onset, offset, before, page)
	costPage, leftPage, at := rung.fit(page, math.Min(witnessReach, math.Abs(heard-page)/witnessShare))
	costHeard, leftHeard, _ := w.fit(heard, witnessGrid)
	unproved := costPage-costHeard < muchBetter
	if harmonicOf(heard - page) {
		unproved = leftHeard > noMore*leftPage
	}
	switch {
	case math.IsInf(costPage, 1) || math.IsInf(costHeard, 1):
		return notAsked, at
	case costPage <= costHeard:
		return written, at
	case unproved:
		return unclear, at
	}
	return another, at
}

// missed is what the partials say of notes that were not heard: written where one of them
// sounded all the same, another where those of the notes before explain what sounds and
// theirs add nothing to it, unclear otherwise.
func (ev *evidence) missed(from, to int) verdict {
	var before []float64
	for k := max(0, from-ringingFrom); k < from; k++ {
		if m := ev.match(k); m.Heard >= 0 {
			before = append(before, m.Note.Pitch)
		}
	}
	rings := ev.ringsOf(before)
	v := another
	for i := from; i <= to; i++ {
		page := float64(ev.line[i].MIDI+12*ev.align.Octave) + ev.ideal(i)/100
		begin, end := ev.due(i)
		begin += witnessSkip
		end = math.Min(end-witnessEnd, begin+witnessMost)
		if to+1 < len(ev.line) && ev.match(to+1).Heard >= 0 {
			end = math.Min(end, ev.match(to+1).Note.Onset-witnessEnd)
		}
		if math.IsNaN(begin+end) || slices.ContainsFunc(rings, func(r float64) bool { return math.Abs(r-page) < sameRing || harmonicOf(page-r) }) {
			return unclear // its partials are among those that ring
		}
		sound := ev.heard.Stretch(begin, end)
		costRings, left := 0.0, 1.0
		if len(rings) > 0 {
			costRings, left = sound.Explained(ev.absolute(rings...)...)
		}
		costPage := math.Inf(1)
		for d := -witnessReach; d <= witnessReach; d += witnessGrid {
			c, _ := sound.Explained(ev.absolute(append([]float64{page + d}, rings...)...)...)
			costPage = math.Min(costPage, c)
		}
		switch {
		case costPage < costRings-muchBetter && ev.sounds(i, i):
			return written
		case !(costRings <= costPage) || left > 2*mostLeft:
			v = unclear
		}
	}
	return v
}

// due is when a note not heard should have sounded: by the beat, or outside of what was
// heard by the pace.
func (ev *evidence) due(i int) (begin, end float64) {
	m := ev.match(i)
	begin, rate := m.Beat, m.Rate
	if near := min(max(i, ev.align.First), ev.align.Last); near != i && math.IsNaN(begin) {
		heard := ev.match(near)
		begin, rate = heard.Note.Onset+ev.align.Pace*(ev.clock[i]-ev.clock[near]), ev.align.Pace
		if !math.IsNaN(heard.Beat) {
			begin += heard.Beat - heard.Note.Onset
		}
	}
	return begin, begin + ev.seconds(i, ev.line[i].Length, rate)
}

// absolute gives pitches at the reference asked for as they sound.
func (ev *evidence) absolute(pitches ...float64) []float64 {
	all := slices.Clone(pitches)
	for k := range all {
		all[k] += ev.referredBy()
	}
	return all
}

// harmonicOf tells whether a note so many semitones above another has partials of the
// other alone: its octave, twelfth, double octave …
func harmonicOf(semitones float64) bool {
	k := math.Round(math.Exp2(semitones / 12))
	return k > 1 && math.Abs(12*math.Log2(k)-semitones) < witnessReach
}
