package finding

import (
	"math"

	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// To a beginner no cents and no milliseconds are told: a beat is what is counted, and a
// finger's width what the hand can move by. The figures stay in what is written for programs,
// and in the closer look.

// inWords reports whether that is so in this take.
func (t *take) inWords() bool { return t.level.Name == FirstYear.Name }

// byTime says how far off a note of the line began: in seconds, or in parts of its beat.
func (t *take) byTime(i int, seconds float64) words.Sentence {
	if !t.inWords() {
		return words.Of("finding.by.seconds", "seconds", words.Fixed(math.Abs(seconds), 2))
	}
	return ofBeat(seconds / t.beatAt(i))
}

// beatAt is how long the beat felt at a note of the line lasts at the player's own pace, s.
func (t *take) beatAt(i int) float64 {
	beat := t.secondsPerBeat(i)
	if rate := t.pace.own; rate > 0 {
		beat *= rate
	}
	return beat
}

// ofBeat says a share of a beat as it is counted.
func ofBeat(share float64) words.Sentence {
	switch share = math.Abs(share); {
	case share < 0.18:
		return words.Of("finding.by.little")
	case share < 0.375:
		return words.Of("finding.by.quarter")
	case share < 0.625:
		return words.Of("finding.by.half")
	case share < 0.875:
		return words.Of("finding.by.three-quarters")
	case share < 1.25:
		return words.Of("finding.by.beat")
	}
	return words.Of("finding.by.more")
}

// A child's finger is some 14 mm wide where it stops a string, and a grown one 18 (from
// memory): a finger's width is said of what lies between half of one and two.
const (
	halfFinger  = 4.0 // mm, from which half a finger's width is said
	oneFinger   = 10.0
	moreFingers = 22.0
)

// tooFarInWords says a displacement of a note in cents as a finger feels it.
func (t *take) tooFarInWords(f fingerboard.Fingered, cents float64) words.Sentence {
	side := upDown(cents, "high", "low")
	if !f.Stopped() {
		return words.Of("finding.off.too-" + side)
	}
	mm := t.board.Displaced(f.Semitones, cents)
	width := "more"
	switch mm := math.Abs(mm); {
	case mm < halfFinger:
		width = "little"
	case mm < oneFinger:
		width = "half"
	case mm < moreFingers:
		width = "finger"
	}
	return words.Of("finding.off.too-"+side+".where", "width", words.Of("finding.off.width."+width), "side", words.Side(mm))
}

// plainly is a finding's mark in words; zero where its mark has no figures, or is not told
// to a beginner.
func (t *take) plainly(f *Finding) words.Sentence {
	if !t.inWords() {
		return words.Sentence{}
	}
	switch row := f.Kind.Row(); {
	case f.Kind == SharpAfterShift || f.Kind == FlatAfterShift || f.Kind == Sharp || f.Kind == Flat:
		return words.Of("finding." + string(f.Kind) + ".plain")
	case f.Kind == Tuning:
		return words.Of("finding.tuning.plain." + upDown(f.Value, "high", "low"))
	case f.Kind == Uneven, row.About == Hand:
		return words.Of("finding." + string(f.Kind) + ".mark-brief")
	case row.Unit == Milliseconds && f.First >= 0:
		return words.Of("finding."+string(f.Kind)+".plain", "by", ofBeat(f.Value/1000/t.beatAt(f.First)))
	}
	return words.Sentence{}
}
