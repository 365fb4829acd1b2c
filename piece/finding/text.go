package finding

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"endpin/dsp"
	"endpin/piece/fingerboard"
)

// Every finding reads as one sentence that a twelve-year-old understands: where,
// what, by how much, and where it helps what to do. Distances on the string
// before cents: a hand acts on them.

// tell writes a finding's sentence, where it has none of its own, and its mark.
func (t *take) tell(f *Finding) {
	if f.Text == "" {
		f.Text = t.sentence(f)
	}
	f.Short = t.short(f)
	if f.Trust == dsp.Fair && !strings.HasPrefix(f.Text, "If ") && f.Kind != NotSure && f.Kind != Missing {
		f.Text = "Perhaps: " + lowerFirst(f.Text)
	}
}

func (t *take) sentence(f *Finding) string {
	where := "In measure " + f.Measure + ", " + beatName(f.Beat) + ","
	switch f.Kind {
	case Sharp, Flat:
		return fmt.Sprintf("%s the %s was %s.", where, t.noteName(f.First), t.tooFar(f.First, f.Value))
	case NarrowHand:
		return fmt.Sprintf("Your fourth finger comes down %.0f cents too near your first: open the hand to a whole tone between them.", math.Abs(f.Value))
	case WideHand:
		return fmt.Sprintf("Your fourth finger comes down %.0f cents too far from your first: the hand reaches wider than a whole tone.", math.Abs(f.Value))
	case Late:
		return fmt.Sprintf("%s the %s came %s late.", where, t.noteName(f.First), seconds(f.Value))
	case Early:
		return fmt.Sprintf("%s the %s came %s early.", where, t.noteName(f.First), seconds(f.Value))
	case HeldShort:
		return fmt.Sprintf("%s the %s stopped sounding after %s of its length: let the bow carry it to the end.", where, t.valueName(f.First), share(f.Value))
	case HeldLong:
		return fmt.Sprintf("%s the %s went on sounding into the rest, %.1f times its length.", where, t.valueName(f.First), f.Value)
	case WrongNote:
		return fmt.Sprintf("%s %s sounded %s.", where, t.noteName(f.First), t.insteadOf(f.First, f.Value))
	case Missing:
		if f.First == f.Last {
			return fmt.Sprintf("%s the %s was not heard.", where, t.noteName(f.First))
		}
		return fmt.Sprintf("%d notes were not heard, from measure %s, %s, to measure %s.", f.Last-f.First+1, f.Measure, beatName(f.Beat), f.ToMeasure)
	case Extra:
		return fmt.Sprintf("In measure %s, about %s, there was a note that is not on the page.", f.Measure, beatName(math.Round(f.Beat*2)/2))
	case Restarted:
		if f.Measure == f.ToMeasure {
			return fmt.Sprintf("You stopped in measure %s and began it again.", f.Measure)
		}
		return fmt.Sprintf("You stopped in measure %s and went back to measure %s.", f.ToMeasure, f.Measure)
	case Tuning:
		return fmt.Sprintf("The whole bass is tuned %.0f cents %s (A = %.1f Hz).", math.Abs(f.Value), lowHigh(f.Value), t.opts.A4*dsp.Cents(f.Value))
	}
	return string(f.Kind)
}

// short is the mark under a measure.
func (t *take) short(f *Finding) string {
	switch f.Kind {
	case SharpAfterShift, FlatAfterShift:
		return fmt.Sprintf("%+.0f cents after shift", f.Value)
	case Sharp, Flat:
		return fmt.Sprintf("%+.0f cents", f.Value)
	case NarrowHand:
		return fmt.Sprintf("hand narrow by %.0f", math.Abs(f.Value))
	case WideHand:
		return fmt.Sprintf("hand wide by %.0f", math.Abs(f.Value))
	case Late:
		return fmt.Sprintf("%.0f ms late", f.Value)
	case Early:
		return fmt.Sprintf("%.0f ms early", -f.Value)
	case HeldShort:
		beats := t.beatsOf(f.First)
		return "held " + Beats(f.Value*beats) + " of " + beatsLong(beats)
	case HeldLong:
		beats := t.beatsOf(f.First)
		return "held " + beatsLong(f.Value*beats) + ", not " + Beats(beats)
	case WrongRhythm:
		return fmt.Sprintf("rhythm, by %.2g beat", f.Value)
	case WrongNote:
		return fmt.Sprintf("%s too %s", plural(math.Abs(f.Value), "semitone"), lowHigh(f.Value))
	case Missing:
		if f.Unplayed && f.Trust != dsp.NotSure {
			return "not played"
		}
		return "not heard"
	case Extra:
		return "one note too many"
	case Restarted:
		return "began again"
	case Tempo:
		return fmt.Sprintf("♩ = %.0f", f.Value)
	case Tuning:
		return fmt.Sprintf("tuning %+.0f cents", f.Value)
	case NotSure:
		return "not sure"
	}
	return string(f.Kind)
}

// frameText tells of a displaced hand.
func (t *take) frameText(h *hand, last int) string {
	first := h.all[0]
	until := fmt.Sprintf("until the %s in measure %s", t.noteName(last), t.line[last].Number)
	if last == first {
		until = "for that one note"
	} else if t.line[last].Number == t.line[first].Number {
		until = "for the rest of that hand position"
	}
	how := t.tooFar(first, h.at)
	if math.Abs(h.at) > 70 {
		how = fmt.Sprintf("about a semitone %s", map[bool]string{true: "high", false: "low"}[h.at > 0]) + ", " + how
	}
	if h.shift == nil {
		return fmt.Sprintf("From measure %s your hand lay %s, %s.", t.line[first].Number, how, until)
	}
	s := h.shift
	if !s.Marked || s.Alternative {
		return fmt.Sprintf("If you shifted from %s to %s in measure %s, %s, your hand landed %s and stayed there %s.",
			PositionName(s.From), PositionName(s.To), t.line[first].Number, t.stringName(s.String), how, until)
	}
	return fmt.Sprintf("After the shift from %s to %s in measure %s, %s, your hand landed %s and stayed there %s.",
		PositionName(s.From), PositionName(s.To), t.line[first].Number, t.stringName(s.String), how, until)
}

func (t *take) correctedText(i int, landing, settle float64) string {
	return fmt.Sprintf("In measure %s, %s, you landed %s after the shift and corrected it within %.1f seconds.",
		t.line[i].Number, beatName(t.line[i].Beat), t.tooFar(i, landing), settle)
}

// tooFar says a displacement of a note in cents, as a distance on its string.
func (t *take) tooFar(i int, cents float64) string {
	word := "sharp"
	if cents < 0 {
		word = "flat"
	}
	s := fmt.Sprintf("%.0f cents %s", math.Abs(cents), word)
	if f := t.plan.Notes[i]; f.Stopped() {
		mm := t.board.Displaced(f.Semitones, cents)
		s += fmt.Sprintf(", %s too far %s", fingerboard.Distance(math.Abs(mm)), fingerboard.Side(mm))
	}
	return s
}

func (t *take) stringText(s int, off float64) string {
	word := "sharp"
	if off < 0 {
		word = "flat"
	}
	return fmt.Sprintf("The open %s string is %.0f cents %s against the others: tune it before you judge your hand by it.", t.stringLetter(s), math.Abs(off), word)
}

func (t *take) rhythmText(i int, written, played string) string {
	if written == "even" {
		return fmt.Sprintf("In measure %s you played %s where the page has even notes.", t.line[i].Number, played)
	}
	return fmt.Sprintf("In measure %s you played %s notes where the page has %s.", t.line[i].Number, played, written)
}

func (t *take) beatsText(from, to int, beats float64) string {
	what := "a beat was left out"
	switch {
	case beats == 1:
		what = "there was a beat too many"
	case beats > 1:
		what = fmt.Sprintf("there were %.0f beats too many", beats)
	case beats < -1:
		what = fmt.Sprintf("%.0f beats were left out", -beats)
	}
	return fmt.Sprintf("In measure %s, before %s of measure %s, %s.", t.line[from].Number, beatName(t.line[to].Beat), t.line[to].Number, what)
}

func (t *take) tempoText(qpm, drift float64, drifts, differs bool) string {
	switch {
	case drifts && drift > 0:
		return fmt.Sprintf("You sped up as you went: about %.0f quarter notes a minute in all, and a good deal faster at the end than at the start.", qpm)
	case drifts:
		return fmt.Sprintf("You slowed down as you went: about %.0f quarter notes a minute in all, and a good deal slower at the end than at the start.", qpm)
	case qpm < t.asked:
		return fmt.Sprintf("You played at %.0f quarter notes a minute, steadily slower than the %.0f asked for.", qpm, t.asked)
	}
	return fmt.Sprintf("You played at %.0f quarter notes a minute, steadily faster than the %.0f asked for.", qpm, t.asked)
}

func (t *take) stoppedText(from int) string {
	return fmt.Sprintf("The take stops before measure %s, %s: from there on it cannot be judged.", t.line[from].Number, beatName(t.line[from].Beat))
}

func (t *take) begunText(first int) string {
	return fmt.Sprintf("The take begins at measure %s, %s: what comes before cannot be judged.", t.line[first].Number, beatName(t.line[first].Beat))
}

func (t *take) strayedText(from int, begins bool) string {
	if begins {
		return fmt.Sprintf("What was played before measure %s, %s, does not fit the page: not sure of it.", t.line[t.align.First].Number, beatName(t.line[t.align.First].Beat))
	}
	return fmt.Sprintf("What was played from measure %s, %s, on does not fit the page: not sure of it.", t.line[from].Number, beatName(t.line[from].Beat))
}

func (t *take) insteadOf(i int, semitones float64) string {
	return fmt.Sprintf("%s %s than written", plural(math.Abs(semitones), "semitone"), map[bool]string{true: "higher", false: "lower"}[semitones > 0])
}

// remarks are sentences about the piece and how it was read.
func (t *take) remarks() []string {
	remarks := []string{}
	if t.piece.TransposedBy != "" {
		remarks = append(remarks, t.piece.TransposedBy)
	}
	switch t.align.Octave {
	case 1:
		remarks = append(remarks, "The whole take sounds an octave above what is written: the piece may be written as it sounds.")
	case -1:
		remarks = append(remarks, "The whole take sounds an octave below what is written: the piece may be written an octave too high for the bass.")
	}
	remarks = append(remarks, t.piece.NotPlayed...)
	remarks = append(remarks, t.plan.Outside...)
	return append(remarks, t.plan.Contradictions...)
}

var letters = [12]string{"C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B"}

// noteName names a note as it is written.
func (t *take) noteName(i int) string {
	e := &t.line[i]
	n := &t.piece.Measures[e.Measure].Notes[e.Note]
	if n.Step == "" {
		return letters[((e.MIDI%12)+12)%12]
	}
	return n.Step + map[int]string{-2: "𝄫", -1: "♭", 1: "♯", 2: "𝄪"}[n.Alter]
}

// valueName names a note by its value and its letter: "half note G".
func (t *take) valueName(i int) string {
	n := &t.piece.Measures[t.line[i].Measure].Notes[t.line[i].Note]
	if n.Value == "" || n.TieToNext {
		return t.noteName(i)
	}
	dotted := ""
	if n.Dots > 0 {
		dotted = "dotted "
	}
	return dotted + n.Value + " note " + t.noteName(i)
}

func (t *take) stringLetter(s int) string {
	return letters[((t.board.Strings[s-1].MIDI%12)+12)%12]
}

func (t *take) stringName(s int) string { return "on the " + t.stringLetter(s) + " string" }

var ordinals = map[string]string{"1": "first position", "2": "second position", "3": "third position", "4": "fourth position",
	"5": "fifth position", "6": "sixth position", "7": "seventh position", "half": "half position", "thumb": "thumb position"}

// PositionName says a position in words: "third position".
func PositionName(token string) string {
	if name, ok := ordinals[token]; ok {
		return name
	}
	return "position " + strings.ReplaceAll(token, "-", "–")
}

func beatName(b float64) string {
	if b == math.Trunc(b) {
		return fmt.Sprintf("beat %.0f", b)
	}
	return fmt.Sprintf("beat %.3g", b)
}

// beatsOf is the written length of a note in the beats of its measure.
func (t *take) beatsOf(i int) float64 {
	e := &t.line[i]
	return float64(e.Length) / float64(t.piece.Measures[e.Measure].Time.Beat())
}

// Beats writes a number of beats as a player counts them: "2", "2½", "⅓".
func Beats(x float64) string {
	whole := math.Floor(x + 0.02)
	for _, f := range []struct {
		at   float64
		sign string
	}{{0, ""}, {1. / 2, "½"}, {1. / 3, "⅓"}, {2. / 3, "⅔"}, {1. / 4, "¼"}, {3. / 4, "¾"}} {
		if math.Abs(x-whole-f.at) < 0.02 {
			if whole == 0 && f.sign != "" {
				return f.sign
			}
			return strconv.FormatFloat(whole, 'f', 0, 64) + f.sign
		}
	}
	return strings.TrimSuffix(strconv.FormatFloat(x, 'f', 1, 64), ".0")
}

// beatsLong is a length in beats: "½ beat", "2⅓ beats".
func beatsLong(x float64) string {
	if x > 1.02 {
		return Beats(x) + " beats"
	}
	return Beats(x) + " beat"
}

func seconds(ms float64) string {
	return fmt.Sprintf("%.2f seconds", math.Abs(ms)/1000)
}

// share says a fraction in words that children use.
func share(x float64) string {
	names := []struct {
		at   float64
		name string
	}{{0.1, "a tenth"}, {0.25, "a quarter"}, {1. / 3, "a third"}, {0.5, "half"}, {2. / 3, "two thirds"}, {0.75, "three quarters"}}
	best := names[0]
	for _, n := range names {
		if math.Abs(x-n.at) < math.Abs(x-best.at) {
			best = n
		}
	}
	return "about " + best.name
}

func plural(n float64, unit string) string {
	if n == 1 {
		return "a " + unit
	}
	return fmt.Sprintf("%.0f %ss", n, unit)
}

func lowHigh(x float64) string {
	if x < 0 {
		return "low"
	}
	return "high"
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// MostHeard names the three pitches heard longest, for a take of another piece.
func MostHeard(notes []dsp.Note) string {
	var long [12]float64
	for _, n := range notes {
		long[((int(math.Round(n.Pitch))%12)+12)%12] += n.Offset - n.Onset
	}
	var names []string
	for range 3 {
		best := 0
		for k, v := range long {
			if v > long[best] {
				best = k
			}
		}
		if long[best] > 0 {
			names = append(names, letters[best])
		}
		long[best] = 0
	}
	return strings.Join(names, ", ")
}
