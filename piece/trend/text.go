package trend

import (
	"math"
	"strings"

	"endpin/piece/words"
)

// Word is the verdict by itself: "closing".
func (v Verdict) Word() words.Sentence {
	return words.Of("trend.verdict." + strings.ReplaceAll(string(v), " ", "-"))
}

// Rest is what is said of the trend where the verdict's word stands already.
func (t *Trend) Rest() words.Sentence { return t.rest }

// say words the verdict, and of a kind where its shifts differ: whole, and without the
// verdict's word where that can go. A tempo that stands beside the word keeps it.
func (t *Trend) say(o Options) {
	whole, rest := t.plainly(o)
	if t.low != nil && t.Verdict != TooFew {
		differ := t.differ(false)
		switch t.Verdict {
		case Closing, Opening:
			whole, rest = words.Of("trend.unlike", "said", whole, "differ", differ), words.Of("trend.unlike", "said", rest, "differ", differ)
		case Scattered:
			whole, rest = words.Of("trend.unlike.scattered", "differ", differ), t.differ(true)
		default:
			key := "trend.unlike.holding"
			if t.Seems() != "" {
				key += ".seems"
			}
			whole = t.atTempo(key, "differ", differ, "seems", t.Seems().Word())
			rest = whole
		}
	}
	t.Text, t.rest = whole.String(), rest
}

// plainly words the verdict as if of one shift.
func (t *Trend) plainly(o Options) (whole, rest words.Sentence) {
	switch t.Verdict {
	case TooFew:
		whole = words.Of("trend.too-few", "landings", words.Many("trend.landings", t.Times), "days", words.Many("trend.days", t.Days),
			"need", o.Days, "span", o.Span)
		return whole, whole
	case Closing, Opening:
		whole = t.atTempo("trend."+string(t.Verdict), "ends", t.fromTo())
	case Scattered:
		whole = words.Of("trend.scattered", "cents", words.Whole(2/math.Sqrt(math.Pi)*t.Spread))
	default:
		whole = t.atTempo(t.held(), "ends", t.fromTo(), "off", Off(t.Last), "cents", words.Whole(worth), "seems", t.Seems().Word())
		if t.tempo() != nil {
			return whole, whole
		}
	}
	rest = whole
	rest.Key += ".rest"
	return whole, rest
}

// held is the message about a shift that holds.
func (t *Trend) held() string {
	wide := t.Spread >= worth
	switch {
	case t.moved && t.crossed:
		return "trend.holding.crossed"
	case t.moved:
		return "trend.holding.little"
	case t.Seems() != "":
		return "trend.holding.seems"
	case math.Abs(t.First-t.Last) > t.Tolerance && t.tempo() != nil:
		return "trend.holding.other"
	case t.still || !wide && math.Abs(t.First-t.Last) < worth:
		return "trend.holding.before"
	case wide:
		return "trend.holding.wide"
	}
	return "trend.holding.unclear"
}

// Differ says of a kind of shift where it lands lowest and where highest, ""
// where its shifts do not differ for certain.
func (t *Trend) Differ() string {
	if t.low == nil {
		return ""
	}
	return t.differ(false).String()
}

func (t *Trend) differ(begins bool) words.Sentence {
	a, b := t.low, t.high
	if math.Abs(a.last) > math.Abs(b.last) {
		a, b = b, a
	}
	same := a.shift.Piece == b.shift.Piece
	beat := same && a.shift.Measure == b.shift.Measure
	here := Off(b.last)
	if begins && here.Key == inTune {
		here.Key += ".begins"
	}
	return words.Of("trend.differ", "here", here, "where", b.shift.where(beat, !same), "there", Off(a.last), "elsewhere", a.shift.where(beat, true))
}

// where names the measure of a shift, and its beat and its piece where they are needed.
func (s Shift) where(beat, piece bool) words.Sentence {
	key := "trend.where"
	if beat {
		key += ".beat"
	}
	if piece && s.Piece != "" {
		key += ".of"
	}
	return words.Of(key, "measure", s.Measure, "beat", words.Significant(s.Beat, 4), "piece", strings.Join(strings.Fields(s.Piece), " "))
}

// fromTo says where it landed at both ends.
func (t *Trend) fromTo() words.Sentence {
	key := "trend.ends"
	if t.Ends() == 1 {
		key += ".one"
	}
	return words.Of(key, "first", Off(t.First), "last", Off(t.Last), "days", t.Ends())
}

const inTune = "trend.off.in-tune"

// Off is a landing in words: "32 cents sharp".
func Off(cents float64) words.Sentence {
	if math.Round(cents) == 0 {
		return words.Of(inTune)
	}
	return words.Off(cents)
}

// atTempo makes the sentence of a key, or where the tempo moved its twin that says so.
func (t *Trend) atTempo(key string, places ...any) words.Sentence {
	tempo := t.tempo()
	if tempo == nil {
		return words.Of(key, places...)
	}
	return words.Of(key+".tempo", append(places, "tempo", *tempo)...)
}

// tempo says how the tempo moved, nil where it did not: "at a fifth faster".
func (t *Trend) tempo() *words.Sentence {
	if t.FirstQPM <= 0 || t.LastQPM <= 0 {
		return nil
	}
	by, key := t.LastQPM/t.FirstQPM-1, "trend.tempo.faster"
	if by < 0 {
		by, key = 1-t.LastQPM/t.FirstQPM, "trend.tempo.slower"
	}
	if by < movedTempo {
		return nil
	}
	for _, f := range parts {
		if math.Abs(by-f.part) <= 0.012+0.1*f.part {
			s := words.Of(key + "." + f.name)
			return &s
		}
	}
	s := words.Of(key, "percent", words.Whole(100*by))
	return &s
}

// parts are shares that are said by name.
var parts = []struct {
	part float64
	name string
}{{0.1, "tenth"}, {0.125, "eighth"}, {0.2, "fifth"}, {0.25, "quarter"}, {1. / 3, "third"}, {0.5, "half"}}
