package trend

import (
	"math"
	"time"

	"endpin/dsp"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// Landing is one time that a hand came down after a shift.
type Landing struct {
	When      time.Time // of the take; its calendar day is read in its own location
	Take      string    // any name of the take, to count takes by
	Cents     float64   // first steady 100 ms against the player's own reference
	Tolerance float64   // cents let pass when the take was judged
	SettleMS  float64   // how long the pitch moved before it stayed; NaN where unknown
	QPM       float64   // the player's tempo there, quarter notes a minute; 0 where unknown
	Semitones int       // that the first finger travels; negative toward the scroll
	CarriedBy fingerboard.Carrier
	Plucked   bool
	Trust     dsp.Trust // landings that the listening is not sure of are left out
}

// counts says whether a landing is reckoned with.
func (l *Landing) counts() bool {
	return l.Trust != dsp.NotSure && !math.IsNaN(l.Cents) && !math.IsInf(l.Cents, 0)
}

// Shift names one shift of one piece. A kind of shift, over all pieces, has no
// piece, measure and beat.
type Shift struct {
	Piece   string  `json:"piece,omitempty"`
	Measure string  `json:"measure,omitempty"`
	Beat    float64 `json:"beat,omitempty"`
	String  int     `json:"string"` // 1 is the highest
	From    string  `json:"from"`   // position tokens
	To      string  `json:"to"`
}

// Verdict is the sober word for how a shift goes.
type Verdict string

// The verdicts.
const (
	Closing   Verdict = "closing"   // the landing comes nearer
	Holding   Verdict = "holding"   // no change that the evidence carries
	Opening   Verdict = "opening"   // the landing goes farther off
	Scattered Verdict = "scattered" // neither sharp nor flat, but wide
	TooFew    Verdict = "too few"   // not enough to say
)

// Trend is how the landings of a shift go. Cents are sharp above and flat below
// nothing. What cannot be told is null.
type Trend struct {
	Times     int         `json:"times"`                // landings counted
	First     float64     `json:"first_median_cents"`   // of the first days with landings (Ends) …
	Last      float64     `json:"last_median_cents"`    // … and of the last
	Spread    float64     `json:"spread_cents"`         // robust standard deviation about the trend, on the last days; of a kind, with what its shifts differ by
	Slope     *float64    `json:"trend_cents_per_week"` // Theil–Sen over the days' centres
	Interval  *[2]float64 `json:"trend_interval"`       // of it, 95 %
	SettleMS  *float64    `json:"settle_ms"`            // median
	Within    float64     `json:"within_tolerance"`     // fraction of the landings
	Verdict   Verdict     `json:"verdict"`
	Text      string      `json:"text"` // one sentence for a player
	Days      int         `json:"days"` // with landings
	Takes     int         `json:"takes"`
	Unsure    int         `json:"not_counted"`         // landings that the listening is not sure of
	FirstSD   float64     `json:"first_spread_cents"`  // as Spread, on the first days
	FirstQPM  float64     `json:"first_tempo_qpm"`     // median; 0 where unknown
	LastQPM   float64     `json:"last_tempo_qpm"`      //
	Tolerance float64     `json:"tolerance_cents"`     // of the last landing
	Like      *float64    `json:"like_tempo_per_week"` // the slope with the tempo's part taken out, where the tempo moved
	P         float64     `json:"p"`                   // how often chance alone would move so much; 1 where not tested

	change  float64 // in distance from nothing over the span, cents: the fitted line's; negative is closing
	level   bool    // the median of all is near nothing
	crossed bool    // the fitted line went from one side to the other
	moved   bool    // for certain, and yet neither nearer nor farther off
	apart   bool    // the interval of the slope leaves no change out, the tempo's part taken out
	still   bool    // the interval of the slope leaves out all change that is worth telling

	rest      words.Sentence // Text without the verdict's word
	low, high *place         // the shifts of a kind that land lowest and highest, where they differ for certain; else nil
}

// Seems is closing or opening where a shift is told to hold and yet, taken by
// itself, it seems to move: too little evidence among the shifts it is shown with.
// Else it is empty.
func (t *Trend) Seems() Verdict {
	switch {
	case t.Verdict != Holding || !t.apart || t.change == 0:
		return ""
	case t.change < 0:
		return Closing
	}
	return Opening
}

// Line is one shift or kind of shift and how it goes.
type Line struct {
	Shift
	Trend
}

// Group is one shift and its landings.
type Group struct {
	Shift    Shift
	Landings []Landing
}

// Options say what evidence is asked for. The zero value serves.
type Options struct {
	Days  int     // fewest days with landings for a verdict; 0 for 6
	Span  int     // fewest days from the first to the last; 0 for 10
	Alarm float64 // how often a family of shifts without change may give a false verdict; 0 for 0.025
}

func (o Options) filled() Options {
	if o.Days == 0 {
		o.Days = 6
	}
	if o.Span == 0 {
		o.Span = 10
	}
	if o.Alarm == 0 {
		o.Alarm = 0.025
	}
	return o
}
