package finding

import (
	"math"

	"endpin/dsp"
)

// Which notes too many are plainly notes. Set by ear, no source.
const (
	shortestExtra = 0.12 // s: an extra note shorter than this is a knock or a scratch
	plainOnset    = 2.2  // strength of an onset that stands for a new stroke
	plainPluck    = 4.0  // and of a pluck, which is never soft
	ringUnder     = 9.0  // dB below a note that its ring in a room lies …
	ringPitch     = 0.6  // semitones … and how near its pitch
	graceNote     = 0.3  // s: a note so short before a grace note is that one
	fairOnset     = 3    // strength of an onset below which an extra note is fair …
	fairUnder     = 15   // dB … as it is where it lies so far below the note before
	fairLength    = 0.2  // s: a fair one that is shorter is left alone
	afterRestart  = 1.5  // s before going on: what sounds there is the stop itself
	restartEarly  = 0.1  // s before the last note begun that the stop may reach
	nextMeasure   = 0.1  // beats before a barline that belong to the measure after it
	manyExtras    = 4    // and one for ten notes written: the room, or somebody else
)

// extra is a note heard that is not on the page.
type extra struct {
	heard  int // index into the notes heard
	before int // the note of the line that sounded last
	trust  dsp.Trust
}

// extras tells of notes heard that are not on the page.
func (t *take) extras() {
	if t.accompanied {
		return // the other's
	}
	found := t.plainExtras()
	if len(found) >= manyExtras && 10*len(found) > len(t.line) {
		t.doubtful = true
		t.notSure("many-extras", len(found))
		return
	}
	for _, x := range found {
		n := &t.heard.Notes[x.heard]
		if x.before >= t.from && x.before <= t.to {
			t.extraNotes = append(t.extraNotes, t.extraNote(x.heard, x.before))
		}
		beat := t.beatOf(n.Onset, x.before)
		e := &t.line[x.before]
		f := Finding{Kind: Extra, Trust: x.trust, Measure: e.Number, Pass: e.Pass, Beat: beat, Value: 1, Notes: 1, At: round(n.Onset, 3)}
		// In the measure that the time falls into, where that is the next one.
		if after := x.before + 1; after < len(t.line) && t.line[after].Measure != e.Measure {
			m := &t.piece.Measures[e.Measure]
			if beats := float64(m.Length) / float64(m.Time.Beat()); beat-1 >= beats-nextMeasure {
				f.Measure, f.Pass = t.line[after].Number, t.line[after].Pass
				f.Beat = round(math.Max(1, beat-beats), 3)
				f.ToMeasure = f.Measure
			}
		}
		t.add(f, x.before, x.before)
	}
}

// plainExtras gives the extra notes that are plainly notes: no knock, no click,
// no ring of the note before, nothing of a stop.
func (ev *evidence) plainExtras() (found []extra) {
	for _, j := range ev.align.Extras {
		n := &ev.heard.Notes[j]
		length := n.Offset - n.Onset
		if n.Trust == dsp.NotSure || length < shortestExtra || n.Strength < plainOnset ||
			ev.plucked && (n.Kind != dsp.Attack || n.Strength < plainPluck) {
			continue // among them the string or the body of a pluck wavering, or a click in the room
		}
		x := extra{heard: j, before: -1}
		for i := range ev.line {
			if m := ev.match(i); m.Heard >= 0 && m.Heard < j && (x.before < 0 || m.Heard > ev.match(x.before).Heard) {
				x.before = i
			}
		}
		if x.before == len(ev.line)-1 && n.Onset > ev.match(x.before).Note.Offset {
			continue // the piece has ended: talk, tuning, the next thing
		}
		if x.before < 0 || ev.atRestart(n.Onset) || x.before+1 < len(ev.line) && ev.line[x.before+1].Grace && length < graceNote {
			continue
		}
		last := &ev.match(x.before).Note
		x.trust = least(n.Trust, sureUnless(n.Strength < fairOnset || n.Level < last.Level-fairUnder))
		rings := math.Abs(n.Pitch-ev.referredBy()-last.Pitch) < ringPitch && n.Level < last.Level-ringUnder
		if began := n.Fresh >= plainFresh; (x.trust == dsp.Sure || !began) && !ev.ownNote(j, x.before) {
			rings, x.trust = rings || !began, dsp.Fair
		}
		if !rings && (x.trust == dsp.Sure || length >= fairLength) {
			found = append(found, x)
		}
	}
	return found
}

// ownNote tells whether the partials bear out that a note too many was one: that neither
// what was played before it nor what comes after explains it as well.
func (ev *evidence) ownNote(j, last int) bool {
	n := &ev.heard.Notes[j]
	var before []float64
	for i := range ev.line[:last+1] {
		if m := ev.match(i); m.Heard >= 0 {
			before = append(before, m.Note.Pitch)
		}
	}
	heard := n.Pitch - ev.referredBy()
	for i := last; i < min(len(ev.line), last+2); i++ {
		page := float64(ev.line[i].MIDI + 12*ev.align.Octave)
		if m := ev.match(i); m.Heard >= 0 {
			page = m.Note.Pitch
		}
		if math.Abs(page-heard) < sameRing {
			continue // a note of the same pitch is told by its beginning alone
		}
		if v, _ := ev.witness(page, heard, n.Onset, n.Offset, before); v == written || v == unclear {
			return false
		}
	}
	return true
}

// atRestart tells whether a moment lies in the stop before going back.
func (ev *evidence) atRestart(at float64) bool {
	for _, r := range ev.align.Restarts {
		if at < r.At && at > r.At-afterRestart-(r.At-ev.match(r.From).Note.Onset) && at > ev.match(r.From).Note.Onset-restartEarly {
			return true
		}
	}
	return false
}
