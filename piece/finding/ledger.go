package finding

import "endpin/dsp"

// ledger is what was told so far, and so need not be told again under another
// name. It is all that the passes write to.
type ledger struct {
	findings   []Finding
	extraNotes []Note          // notes heard that nobody wrote, as the hearing lists them
	wrong      map[int]bool    // notes of the line that were other notes
	spanned    map[int]float64 // by note: cents that a narrow or wide hand explains
	unevenBy   float64         // cents that all stopped notes were told to scatter by; 0 for not told
	offFrames  map[int]bool    // hand frames told to lie off their place
	passed     map[int]bool    // notes of the line that the player went past
	said       []string        // how the take was played, where that is no fault
	timeTold   map[int]bool    // notes of the line whose onset or length a finding explains
	unknown    bool            // it may be another piece: nothing told is more than not sure
	doubtful   bool            // the recording itself leaves doubt: nothing told from here on is sure
}

func newLedger() ledger {
	return ledger{findings: []Finding{}, wrong: map[int]bool{}, spanned: map[int]float64{}, offFrames: map[int]bool{}, passed: map[int]bool{}, timeTold: map[int]bool{}}
}

// add files a finding that covers notes first..last of the line.
func (t *take) add(f Finding, first, last int) {
	if last < t.from || first > t.to || f.Kind.Row().Drowned && t.onlyPitch() && (t.drowns || !f.Unplayed) {
		return
	}
	if f.Kind.Row().Unit == Cents && f.Trust == dsp.NotSure {
		return // a guess: it stands under one reading of the take alone
	}
	f.First, f.Last = first, last
	if t.doubtful {
		f.Trust = least(f.Trust, dsp.Fair)
	}
	if t.unknown {
		f.Trust = dsp.NotSure
	}
	a, b := &t.line[first], &t.line[last]
	if f.Measure == "" {
		f.Measure, f.Pass, f.Beat = a.Number, a.Pass, round(a.Beat, 3)
	}
	if f.ToMeasure == "" {
		f.ToMeasure = b.Number
	}
	for i := first; i <= last && f.At == 0; i++ {
		if t.match(i).Heard >= 0 {
			f.At = round(t.match(i).Note.Onset, 3)
		}
	}
	f.Value, f.Spread, f.Tolerance = round(f.Value, 3), round(f.Spread, 2), round(f.Tolerance, 2)
	t.tell(&f)
	t.findings = append(t.findings, f)
}

// whole files a finding of the whole take.
func (t *take) whole(f Finding) {
	t.add(f, max(t.from, t.align.First), min(t.to, t.align.Last))
}

// notSure files why a take leaves doubt.
func (t *take) notSure(why string, notes int) {
	t.whole(Finding{Kind: NotSure, Trust: dsp.NotSure, Notes: notes, Said: NotSure.because(why, t.board.Called())})
}
