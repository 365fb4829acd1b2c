package practice

import (
	"math"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/words"
)

// Aim is one thing to be mended, as it was heard.
type Aim struct {
	Kind        finding.Kind
	Measure     string        // where it stands, as printed
	First, Last int           // its notes, as indexes into the piece's line
	Spot        outline.Range // the measures played for it
	Was         float64       // in the kind's unit
	Let         float64       // what is let pass, in that unit
	Level       string        // by which that is
	From        int           // the measure with which the take began in which it was heard …
	QPM         float64       // … and its tempo there, quarter notes a minute; 0 for not known
}

// AimAt makes an aim of what was heard of a piece with a line. What is of the whole take,
// as its tuning, has no place to work at, nor has what is no fault.
func AimAt(line []piece.Expected, h *finding.Hearing, f *finding.Finding) (a Aim, ok bool) {
	row, by := f.Kind.Row(), h.Offset(line)
	if row.About == finding.WholeTake || row.Weight == 0 || f.First < 0 || f.First+by >= len(line) {
		return a, false
	}
	a = Aim{Kind: f.Kind, Measure: f.Measure, First: f.First + by, Last: max(f.First, f.Last) + by, Was: f.Value, Let: f.Tolerance, Level: h.Level}
	if len(f.Places) > 0 || row.About == finding.Hand { // in many places: the first of them is worked on
		a.Last = a.First
	}
	a.Last = min(a.Last, len(line)-1)
	a.From, a.QPM = heardAt(line, h)
	at := line[a.First].Measure
	a.Spot = outline.Range{First: at, Last: max(at, line[a.Last].Measure)}
	if row.About != finding.Measures && row.About != finding.WentBack {
		a.Spot.Last = at // a hand that lay off along some measures came down in one
	}
	if k := a.First - 1; k >= 0 && line[k].Measure == at-1 && (row.About == finding.HandFrame || line[a.First].Beat == 1) {
		a.Spot.First = at - 1 // to come from where it is come from
	}
	for last := line[len(line)-1].Measure; notes(line, a.Spot) < leastNotes; { // fewer are not told from another piece
		switch {
		case a.Spot.First > 0:
			a.Spot.First--
		case a.Spot.Last < last:
			a.Spot.Last++
		default:
			return a, true
		}
	}
	return a, true
}

// leastNotes are those of a round that can be judged: three are not sure, five were.
const leastNotes = 5

// notes is how many there are in some measures.
func notes(line []piece.Expected, r outline.Range) (n int) {
	for i := range line {
		if r.Holds(line[i].Measure) && line[i].Pass <= 1 {
			n++
		}
	}
	return n
}

// heardAt is the measure with which a take began, and the tempo at which it was played there:
// the one asked for where it was kept to.
func heardAt(line []piece.Expected, h *finding.Hearing) (measure int, qpm float64) {
	qpm = h.TempoAsked
	for i := range h.Findings {
		if f := &h.Findings[i]; f.Kind.Row().Unit == finding.QuartersAMinute && f.Kind.Row().About == finding.WholeTake && h.TempoHeard > 0 {
			qpm = h.TempoHeard
		}
	}
	for i := range h.Notes {
		if k := h.Notes[i].Line; k >= 0 {
			return line[k+h.Offset(line)].Measure, qpm
		}
	}
	return 0, qpm
}

// off is how far a value lies off, and let how far it may.
func (a *Aim) off(value float64) (off, let float64) {
	switch a.Kind.Row().Unit {
	case finding.WrittenLengths, finding.PaceShare:
		return math.Abs(1 - value), math.Abs(1 - a.Let)
	case finding.Semitones:
		return math.Abs(value), 0.5
	}
	return math.Abs(value), a.Let
}

// measured reports whether each time can be told how far off it was.
func (a *Aim) measured() bool {
	switch a.Kind.Row().Unit {
	case finding.Cents:
		return a.Kind.Row().About != finding.Hand // which needs a whole take to tell
	case finding.Milliseconds, finding.WrittenLengths, finding.Semitones:
		return true
	}
	return false
}

// in measures it in another take: its value and the standard deviation of that; ok is
// false where a note of it was not heard.
func (a *Aim) in(line []piece.Expected, h *finding.Hearing) (value, sd float64, trust dsp.Trust, ok bool) {
	by := h.Offset(line)
	var all []float64
	trust = dsp.Sure
	for i := range h.Notes {
		n := &h.Notes[i]
		k := n.Line + by
		if n.Line < 0 || k < a.First || k > a.Last || line[k].Measure > a.Spot.Last {
			continue
		}
		if n.State == finding.StateMissing || n.State == finding.StateExtra {
			return 0, 0, dsp.Sure, false
		}
		var x *float64
		switch a.Kind.Row().Unit {
		case finding.Cents:
			if n.Finger == "0" && a.First != a.Last {
				continue
			}
			x = n.Cents
		case finding.Milliseconds:
			x = n.LateMS
		case finding.WrittenLengths:
			x = n.Held
		case finding.Semitones:
			if n.HeardMIDI != nil {
				by := float64(*n.HeardMIDI - n.MIDI)
				x = &by
			}
		}
		if x == nil {
			continue
		}
		if n.Trust != dsp.Sure && trust == dsp.Sure || n.Trust == dsp.NotSure {
			trust = n.Trust
		}
		all = append(all, *x)
	}
	if len(all) == 0 {
		return 0, 0, dsp.NotSure, false
	}
	if a.Kind.Row().Unit == finding.Cents {
		sd = h.HeardASD
	}
	return robust.Median(all), sd, trust, true
}

// What names it: "sharp after shift in measure 5", to a beginner "too high after shift …".
func (a *Aim) What() words.Sentence {
	return words.Of("practice.mend.what", "what", a.Kind.NameAt(a.Level), "measure", a.Measure)
}

// Moved says what one and the same thing was in an earlier take and is now; zero where that is
// the same or has no figures.
func Moved(was, is *finding.Finding, level string) words.Sentence {
	a := Aim{Kind: is.Kind, Was: was.Value, Let: is.Tolerance, Level: level}
	then, now := a.figure(a.Was), a.figure(is.Value)
	if !a.measured() || then.String() == now.String() {
		return words.Sentence{}
	}
	return words.Of("practice.moved", "was", then, "now", now)
}

// CameTo says what it was and what it came to; now is nil where that could not be measured.
func (a *Aim) CameTo(now *float64) words.Sentence {
	if now == nil || !a.measured() {
		return a.What()
	}
	return words.Of("practice.mend.came-to", "what", a.What(), "was", a.figure(a.Was), "now", a.figure(*now))
}

// veryOff is how many times what is let pass is very much, said without figures.
const veryOff = 2

// figure writes a value of the aim: to a beginner in words.
func (a *Aim) figure(value float64) words.Sentence {
	unit, low, high := "", "", ""
	switch a.Kind.Row().Unit {
	case finding.Cents:
		unit, low, high = "cents", "low", "high"
	case finding.Milliseconds:
		unit, low, high = "ms", "early", "late"
	case finding.WrittenLengths:
		return words.Of("practice.mend.figure.length", "value", words.Share(value))
	default:
		if value == 0 {
			return words.Of("practice.mend.figure.note")
		}
		return words.Many("practice.mend.figure.semitones", int(math.Abs(value)), "value", words.Shown(value, 0))
	}
	if a.Level != finding.FirstYear.Name {
		return words.Of("practice.mend.figure."+unit, "value", words.Scale(math.Round(value)))
	}
	off, let := a.off(value)
	key := "practice.mend.figure.in-place." + unit
	if off > let {
		if key = "practice.mend.figure." + low; value > 0 {
			key = "practice.mend.figure." + high
		}
		if off > veryOff*let {
			key += ".very"
		}
	}
	return words.Of(key)
}
