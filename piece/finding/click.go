package finding

import (
	"math"
	"sort"

	"endpin/piece/words"
)

// ClickOffset is how far the player stood from a click, on the whole. Findings go by
// the beat that the player keeps, so that the sound card's delay is nothing to
// them; this one figure is against the click itself and needs it.
type ClickOffset struct {
	Seconds  float64 // after the click; before it where negative
	Measured bool    // the delay of the two devices was; else it is fair at most
	Known    bool
	InWords  bool // it is told to a beginner
}

// When it is told, and how near is with it. Set by ear, no source.
const (
	leastOnsets  = 6    // notes
	offsetSpread = 0.12 // s, of the middle half, above which nobody stood anywhere
	withClick    = 0.04 // s, nearer than which one is with it: a bow takes as long to speak
)

// ClickOffset tells it of a take that a click led at a tempo in quarter notes a
// minute. due gives when a note was due by the click, s from the start of the
// recording; measured says whether the delay of the sound card is in that.
func (h *Hearing) ClickOffset(due func(n *Note) (s float64, ok bool), qpm float64, measured bool) (b ClickOffset) {
	var late []float64
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.Onset == nil || n.State != StatePlayed {
			continue
		}
		if at, ok := due(n); ok {
			late = append(late, *n.Onset-at)
		}
	}
	if len(late) < leastOnsets {
		return b
	}
	sort.Float64s(late)
	q := func(share float64) float64 { return late[int(share*float64(len(late)-1)+0.5)] }
	if q(0.75)-q(0.25) > offsetSpread || math.Abs(q(0.5)) > 30/qpm {
		return b // not at the click's tempo, or at another beat
	}
	return ClickOffset{Seconds: q(0.5), Measured: measured, Known: true, InWords: h.Level == FirstYear.Name}
}

// Say is the one sentence, empty where nothing is known.
func (b ClickOffset) Say() string {
	if !b.Known {
		return ""
	}
	key := "finding.click." + upDown(b.Seconds, "behind", "ahead")
	with := math.Abs(b.Seconds) < withClick
	if with {
		key = "finding.click.with"
	}
	switch {
	case b.InWords && !with:
		key += ".in-words"
	case !b.Measured:
		key += ".sound-card"
	}
	return words.Say(key, "ms", words.Whole(10*math.Round(100*math.Abs(b.Seconds))))
}
