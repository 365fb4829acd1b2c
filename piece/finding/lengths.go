package finding

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece"
	"endpin/piece/intonation"
	"endpin/piece/words"
)

// When a note was let go too soon, or too late. Set by ear, no source.
const (
	leastGap   = 0.14 // s of silence that a bow lifted early leaves; less is a hair
	shortest   = 0.30 // s: shorter notes are not judged for their length
	heldDoubt  = 0.08 // of the written length within which held short is fair
	ringBefore = 0.15 // s before a note's written end that tell how loud it was …
	ringFrom   = 0.1  // … s after it, from which on …
	ringTo     = 0.35 // … and to which …
	ringsDown  = 3.0  // … it has fallen by as many dB where only the string rings on
	leastOver  = 0.2  // s that a note held long must go on
	restToFill = 0.4  // s of rest that it must have run into
	overDoubt  = 0.1  // of the written length within which held long is fair
	endOfTake  = 0.15 // s before the end of the recording: it cuts the note off
	nextOnset  = 0.05 // s after an onset, from which on another note is the next
)

// Notes let go too soon, or held too long, are the manner of the whole take where they are
// so many, and half of those that could be (set by ear, no source).
const mannerNotes = 8

// held are the notes of a take that were let go too soon, or held into a rest.
type held struct {
	told   []Finding
	notes  []int
	alone  []bool    // beyond the player's own lengths, too
	shares []float64 // sounding length over the written one, of all that lie beyond the tolerance
	judged int
}

// lengths tells of notes let go too soon, or held into a rest.
func (t *take) lengths() {
	if t.plucked {
		return
	}
	var short, long held
	usual, scatter := t.usualShare()
	for i := range t.line {
		share := t.heldShare(i)
		if math.IsNaN(share) || t.timeTold[i] || t.wrong[i] || t.writtenFree(i) ||
			t.match(i).Note.Trust == dsp.NotSure || t.broken(i) || t.broadens(i) {
			continue
		}
		m := t.match(i)
		written := t.seconds(i, t.line[i].Length, m.Rate)
		if written < shortest {
			continue
		}
		next := i + 1
		runOver := next < len(t.line) && t.timeTold[next] && t.lateness(next) < 0
		short.judged++
		if share < t.level.Held && !t.cutOff(i) && !runOver && !t.endsHere(i) {
			trust := sureUnless(share > t.level.Held-heldDoubt || m.Note.Trust != dsp.Sure)
			short.add(i, share, (1-share)*written > leastGap, intonation.Normal((usual-share)/scatter) > intonation.Surely, Finding{Kind: HeldShort, Value: share, Trust: trust, Tolerance: t.level.Held, Notes: 1})
		}
		most := 2 - t.level.Held
		rest := t.seconds(i, t.line[i].RestAfter, m.Rate)
		if rest <= restToFill || t.plan.Notes[i].Open {
			continue
		}
		long.judged++
		if share > most && (next >= len(t.line) || !t.timeTold[next]) && !t.ringsOut(i, m.Note.Offset-(share-1)*written) {
			trust := sureUnless(share < most+overDoubt)
			long.add(i, share, (share-1)*written > leastOver, true, Finding{Kind: HeldLong, Value: share, Trust: trust, Tolerance: most, Notes: 1})
		}
	}
	t.tellHeld(&short)
	t.tellHeld(&long)
}

// writtenFree tells whether the page itself has a note sound for another time than its value.
func (ev *evidence) writtenFree(i int) bool {
	a := ev.line[i].Articulation
	return a.Staccato || a.Fermata || a.Breath || a.Pizz || ev.retaken(i)
}

// usualShare is how much of their written length the notes of the take sound, and their
// standard deviation: a player who lifts the bow between strokes holds none of them out.
func (ev *evidence) usualShare() (usual, scatter float64) {
	var shares []float64
	for i := range ev.line {
		if s := ev.heldShare(i); !math.IsNaN(s) && !ev.writtenFree(i) {
			shares = append(shares, math.Min(1, s))
		}
	}
	usual = robust.MedianOf(shares)
	return usual, robust.SpreadAbout(shares, usual)
}

// add files a note beyond the tolerance, with what is told of it, if it is so by as much
// as can be heard, and whether by itself: among others like it, it is not.
func (h *held) add(i int, share float64, heard, alone bool, f Finding) {
	h.shares = append(h.shares, share)
	if heard {
		h.told, h.notes, h.alone = append(h.told, f), append(h.notes, i), append(h.alone, alone)
	}
}

// tellHeld tells of each note, or once of all where it is the manner of the take.
func (t *take) tellHeld(h *held) {
	if len(h.shares) < mannerNotes || 2*len(h.shares) < h.judged || len(h.told) < pausesAsOne {
		for k, f := range h.told {
			if h.alone[k] {
				t.add(f, h.notes[k], h.notes[k])
			}
		}
		return
	}
	f := h.told[0]
	f.Value, f.Notes, f.Trust = robust.Median(h.shares), len(h.shares), dsp.Sure
	f.Said = words.Of("finding."+string(f.Kind)+".manner", "share", words.Whole(100*f.Value))
	t.whole(f)
}

// broken reports whether the recording ends with a note before the piece does.
func (ev *evidence) broken(i int) bool { return i == ev.align.Last && i < ev.to }

// broadens reports whether the take has broadened to its last note: for how long that is
// to be held nobody knows.
func (ev *evidence) broadens(i int) bool {
	all := ev.align.Stretches
	return i == len(ev.line)-1 && (ev.match(i).Step != 0 || len(all) > 0 && all[len(all)-1].From >= i-1)
}

// heldShare is how much of its written length a note sounded. A late note that
// ends on time is late only, so it counts from its beat.
func (ev *evidence) heldShare(i int) float64 {
	m := ev.match(i)
	if m.Heard < 0 || m.Guessed || m.Recovered {
		return math.NaN()
	}
	from := m.Note.Onset
	rate := m.Rate
	if math.IsNaN(rate) {
		rate = ev.align.Pace
	}
	if !math.IsNaN(m.Beat) && m.Step == 0 && m.Note.Onset > m.Beat {
		from = m.Beat
	}
	return (m.Note.Offset - from) / ev.seconds(i, ev.line[i].Length, rate)
}

// ringsOut tells whether what sounds of a note after its written end is the string that
// rings on, under a finger that stays, and no bow any more.
func (ev *evidence) ringsOut(i int, end float64) bool {
	after := ev.framesIn(end+ringFrom, math.Min(end+ringTo, ev.match(i).Note.Offset))
	return levelOf(after) < levelOf(ev.framesIn(end-ringBefore, end))-ringsDown
}

// endsHere tells whether the recording itself cuts the note off.
func (ev *evidence) endsHere(i int) bool {
	return ev.match(i).Note.Offset > ev.heard.Duration-endOfTake
}

// cutOff tells whether the next note, or an extra one, began where this one
// ends: it was not let go but run over, and that is told of the other note. A pitch that
// changed and is no note of the page is what rings on.
func (ev *evidence) cutOff(i int) bool {
	m := ev.match(i)
	for j := m.Heard + 1; j < len(ev.heard.Notes); j++ {
		_, extra := slices.BinarySearch(ev.align.Extras, j)
		if n := &ev.heard.Notes[j]; n.Onset > m.Note.Onset+nextOnset && !(extra && n.Kind == dsp.PitchChange) {
			return n.Onset-m.Note.Offset < leastGap
		}
	}
	return false
}

// retaken tells whether the same bow is written for the note and the one after
// it: the bow is lifted between them.
func (ev *evidence) retaken(i int) bool {
	return i+1 < len(ev.line) && ev.line[i].Marks.Bow != piece.NoBow && ev.line[i].Marks.Bow == ev.line[i+1].Marks.Bow
}
