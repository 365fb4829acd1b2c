package report

import (
	"fmt"
	"strconv"

	"endpin/piece/finding"
)

// shapes are the drawings that stand for the kinds of finding; page.gohtml
// draws each under this name. Up is sharp, down is flat, right is late.
var shapes = map[finding.Kind]string{
	finding.SharpAfterShift: "up",
	finding.FlatAfterShift:  "down",
	finding.Sharp:           "up",
	finding.Flat:            "down",
	finding.NarrowHand:      "narrow",
	finding.WideHand:        "wide",
	finding.Late:            "right",
	finding.Early:           "left",
	finding.HeldShort:       "short",
	finding.HeldLong:        "long",
	finding.WrongRhythm:     "rhythm",
	finding.WrongNote:       "diamond",
	finding.Missing:         "ring",
	finding.Extra:           "plus",
	finding.Restarted:       "back",
	finding.Tempo:           "tempo",
	finding.Tuning:          "fork",
	finding.NotSure:         "unsure",
}

func shape(k finding.Kind) string {
	if s, ok := shapes[k]; ok {
		return s
	}
	return "unsure"
}

// brief is the word and number that stand beside a shape: the finding's own,
// or where it has none its kind and value.
func (m *music) brief(f *finding.Finding, h *finding.Hearing) string {
	if f.Short != "" {
		return clean(f.Short)
	}
	words := map[finding.Kind]string{
		finding.SharpAfterShift: "sharp after shift", finding.FlatAfterShift: "flat after shift",
		finding.NarrowHand: "hand narrow", finding.WideHand: "hand wide",
		finding.HeldShort: "held short", finding.HeldLong: "held long",
		finding.WrongRhythm: "other rhythm", finding.WrongNote: "other note",
		finding.Restarted: "went back here", finding.NotSure: "not sure", finding.Extra: "extra note",
	}
	word, ok := words[f.Kind]
	if !ok {
		word = string(f.Kind)
	}
	if amount := m.howMuch(f, h); amount != "" {
		return word + " " + amount
	}
	return word
}

// evidence says what a finding rests on.
func (m *music) evidence(f *finding.Finding, h *finding.Hearing) []string {
	var said []string
	add := func(format string, args ...any) { said = append(said, fmt.Sprintf(format, args...)) }
	if amount := m.howMuch(f, h); amount != "" {
		add("measured %s", amount)
	}
	unit, digits := unitOf(f.Kind)
	value := func(x float64) string {
		if x < 1 && digits == 0 {
			return strconv.FormatFloat(x, 'f', 1, 64) + unit
		}
		return strconv.FormatFloat(x, 'f', digits, 64) + unit
	}
	if f.Spread > 0 && unit != "" {
		add("spread %s", value(f.Spread))
	}
	if f.Tolerance > 0 && unit != "" {
		add("tolerance %s", value(f.Tolerance))
	}
	if f.Notes > 0 {
		add("from %s", counted(strconv.Itoa(f.Notes), "note"))
	}
	if f.At > 0 {
		add("at %s in the recording", minutes(f.At))
	}
	return said
}

// unitOf is the unit of a kind's spread and tolerance, and the decimals that mean
// something.
func unitOf(k finding.Kind) (unit string, digits int) {
	switch k {
	case finding.SharpAfterShift, finding.FlatAfterShift, finding.Sharp, finding.Flat,
		finding.NarrowHand, finding.WideHand, finding.Tuning:
		return " cents", 0
	case finding.Late, finding.Early:
		return " ms", 0
	case finding.HeldShort, finding.HeldLong:
		return " of its length", 2
	case finding.WrongRhythm:
		return " beats", 2
	}
	return "", 0
}
