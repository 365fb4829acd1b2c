package sitting

import (
	"math"
	"time"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece/finding"
	"endpin/piece/tuning"
	"endpin/piece/words"
)

// Sitting is what is known since it began. The zero value knows nothing.
type Sitting struct {
	reference finding.Reference
	opened    finding.Reference // of a take from before, or from elsewhere
	working   time.Time         // since the last rest; zero for not yet
	mended    []words.Sentence
}

const (
	enoughStrings = 2   // that a check must have heard, to tell what the bass is tuned to
	leastSD       = 1.0 // cents: no check is surer
)

// Checked takes in what the strings are tuned to. What was not heard surely, and fewer
// strings than two, tell nothing.
func (s *Sitting) Checked(o tuning.Outcome) {
	var off []float64
	for _, r := range o.Strings {
		if r.Trust == dsp.Sure {
			off = append(off, r.Cents)
		}
	}
	if len(off) < enoughStrings {
		return
	}
	sd := math.Max(leastSD, robust.Spread(off)/math.Sqrt(float64(len(off))))
	s.reference = finding.Reference{A4: o.A4, SD: sd, From: words.Say("desk.reference.check")}
}

// Heard takes in a take of the whole piece that was played at a time, as far as its own
// A could be told, and Opened one from before or from elsewhere.
func (s *Sitting) Heard(h *finding.Hearing, at time.Time) {
	if tells(h) {
		s.reference = finding.Reference{A4: h.HeardA, SD: h.HeardASD, From: words.Say("desk.reference.take", "when", words.Hour(at))}
	}
}
func (s *Sitting) Opened(h *finding.Hearing, name string) {
	if tells(h) {
		s.opened = finding.Reference{A4: h.HeardA, SD: h.HeardASD, From: words.Say("desk.reference.opened", "take", name)}
	}
}

func tells(h *finding.Hearing) bool {
	return h.HeardA > 0 && (h.HeardATrust == dsp.Sure || h.HeardATrust == dsp.Fair)
}

// Reference is what a few measures are judged by: the last check or whole take, else one
// opened, else the A that is set, which whoever tuned to it met within the tolerance of the level.
func (s *Sitting) Reference(a4 float64, l finding.Level) finding.Reference {
	if s.reference.A4 > 0 {
		return s.reference
	}
	if s.opened.A4 > 0 {
		return s.opened
	}
	return finding.Reference{A4: a4, SD: l.Tuning, From: words.Say("desk.reference.set", "hz", words.Significant(a4, 4)), Supposed: true}
}

// By says what a few measures were judged by, and where nobody heard that, what would
// tell it; "" where the take tells its own.
func By(given finding.Reference, h *finding.Hearing) string {
	switch {
	case given.A4 == 0 || h.AFrom == "":
		return ""
	case given.Supposed:
		return words.Say("desk.reference.supposed", "from", given.From)
	}
	return words.Say("desk.reference.by", "from", given.From)
}
