package finding

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece/intonation"
	"endpin/piece/words"
)

// When all is uneven, and no single note. At a standard deviation of so much of what a
// note may be off, one note in ten lies beyond that.
const (
	unevenScatter = 0.6
	unevenSurely  = 0.5   // … and surely so much
	unevenNotes   = 8     // stopped notes that it takes to tell
	unevenBeyond  = 3     // of them that lie beyond what is allowed: fewer are single faults
	inDeviation   = 0.683 // of normal values lie within one standard deviation
	asFar         = 2.5   // of those a note counts at most: a single one farther off scatters no more (Huber's psi; 1.5 to 3 are usual)
	perValue      = 0.71  // of a standard deviation found so is its own, over the root of the number of notes
	inMeasure     = 2     // notes of a measure that make it the worst
)

// uneven tells of stopped notes that lie scattered about the player's own reference all
// over, what their hands explain taken off.
func (t *take) uneven() {
	if t.plucked {
		return // plucks and short strokes press the pitch up and let it sink: no hand does
	}
	var off, doubt []float64
	beyond, byMeasure := 0, map[int][]float64{}
	for _, h := range t.hands {
		for _, i := range h.notes {
			e := math.Abs(t.offHand(h, i))
			off, doubt = append(off, e), append(doubt, t.pitchDoubt(i))
			byMeasure[t.line[i].Measure] = append(byMeasure[t.line[i].Measure], e)
			if e > t.level.Note {
				beyond++
			}
		}
	}
	n := len(off)
	if n < unevenNotes {
		return
	}
	scatter := scatterOf(off)
	own := math.Sqrt(math.Max(0, scatter*scatter-math.Pow(robust.Median(doubt), 2)))
	if own <= unevenScatter*t.level.Note || beyond < unevenBeyond {
		return
	}
	doubted := perValue * own / math.Sqrt(float64(n))
	trust := intonation.TrustIn(intonation.Normal((own - unevenSurely*t.level.Note) / doubted))
	if trust == dsp.NotSure {
		return
	}
	worst, most := -1, 0.0
	for m := range t.piece.Measures {
		if e := robust.Median(byMeasure[m]); len(byMeasure[m]) >= inMeasure && e > most {
			worst, most = m, e
		}
	}
	said := words.Of("finding.uneven", "off", beyond, "all", n, "cents", words.Whole(t.level.Note))
	if worst >= 0 {
		said = words.Of("finding.uneven.worst", "off", beyond, "all", n, "cents", words.Whole(t.level.Note), "measure", t.piece.Measures[worst].Number)
	}
	t.unevenBy = own
	t.whole(Finding{Kind: Uneven, Value: own, Trust: least(t.tuned.Trust, trust), Spread: doubted, Tolerance: t.level.Note, Notes: n, Said: said})
}

// scatterOf is the standard deviation of notes so far off, one way or the other: first as far as
// two of three lie within, then by what each is off, of which none counts more than asFar.
func scatterOf(off []float64) float64 {
	sorted, sum := slices.Sorted(slices.Values(off)), 0.0
	near := sorted[int(math.Round(inDeviation*float64(len(off))-0.5))]
	for _, e := range off {
		sum += sq(math.Min(e, asFar*near))
	}
	return math.Sqrt(sum / float64(len(off)))
}

// offHand is how far a note lies from where its hand was told to lie.
func (t *take) offHand(h *hand, i int) float64 {
	if t.offFrames[h.frame] {
		return t.off(i) - h.at
	}
	return t.off(i)
}
