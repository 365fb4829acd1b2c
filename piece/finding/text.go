package finding

import (
	"math"
	"strings"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/words"
)

// Every finding reads as one sentence that a twelve-year-old understands: where,
// what, by how much, and where it helps what to do. Distances on the string
// before cents: a hand acts on them.

// tell gives a finding its sentence, where it has none of its own, and its mark, and
// writes both down.
func (t *take) tell(f *Finding) {
	if f.Said.Zero() {
		f.Said, f.Located = t.sentence(f)
	}
	if (f.Kind == HeldShort || f.Kind == HeldLong) && f.Notes == 1 { // a manner has no one length
		f.Beats = t.beatsOf(f.First)
	}
	if key := f.Said.Key + ".in-words"; t.inWords() && words.Here().Has(key) {
		f.Said.Key = key
	}
	if f.Trust == dsp.Fair && words.Here().Has(f.Said.Key+string(Perhaps)) {
		f.Hedge = Perhaps
	}
	f.Plain = t.plainly(f)
	f.Text, f.Short = f.Sentence().String(), f.Mark(PlainMark).String()
}

// Told is how a finding reads in one language: its sentence, and its mark.
type Told struct{ Text, Short string }

// Told are the findings of a take that was judged just now as they read in a language.
func (h *Hearing) Told(w *words.Words) []Told {
	var all []Told
	for i := range h.Findings {
		f := &h.Findings[i]
		all = append(all, Told{f.Sentence().In(w), f.Mark(PlainMark).In(w)})
	}
	return all
}

// Tell has the findings read so.
func (h *Hearing) Tell(all []Told) {
	for i := range h.Findings[:min(len(h.Findings), len(all))] {
		h.Findings[i].Text, h.Findings[i].Short = all[i].Text, all[i].Short
	}
}

// Sentence is what is said of the finding, hedged as it must be. One that was read
// from a file says what stands there.
func (f *Finding) Sentence() words.Sentence {
	if f.Said.Zero() {
		return words.Of("finding.as-written", "text", f.Text)
	}
	s := f.Said
	s.Key += string(f.Hedge)
	return s
}

// sentence is what is said of a kind that needs to know nothing more than what every
// finding carries, and whether it begins with where that is.
func (t *take) sentence(f *Finding) (s words.Sentence, located bool) {
	here := func(key string, places ...any) (words.Sentence, bool) {
		return words.Of(key, append(places, "measure", f.Measure, "beat", words.Beat(f.Beat), "note", t.noteName(f.First))...), true
	}
	switch f.Kind {
	case Sharp, Flat:
		return here("finding."+string(f.Kind), "off", t.tooFar(f.First, f.Value))
	case NarrowHand, WideHand:
		return words.Of("finding."+string(f.Kind), "cents", words.Whole(math.Abs(f.Value)), "instrument", t.board.Called()), false
	case Late, Early:
		return here("finding."+string(f.Kind), "by", t.byTime(f.First, f.Value/1000))
	case HeldShort:
		return here("finding.held_short", "value", t.valueName(f.First), "share", words.Share(f.Value))
	case HeldLong:
		return here("finding.held_long", "value", t.valueName(f.First), "times", words.Fixed(f.Value, 1))
	case WrongNote:
		if octave := int(math.Round(f.Value)); octave == piece.Octave || octave == -piece.Octave {
			return here("finding.wrong_note.octave-" + upDown(f.Value, "higher", "lower"))
		}
		return words.Many("finding.wrong_note."+upDown(f.Value, "higher", "lower"), int(math.Round(math.Abs(f.Value))),
			"measure", f.Measure, "beat", words.Beat(f.Beat), "note", t.noteName(f.First)), true
	case Missing:
		if f.First == f.Last {
			return here("finding.missing")
		}
		return words.Of("finding.missing.run", "n", f.Last-f.First+1, "measure", f.Measure, "beat", words.Beat(f.Beat), "to", f.ToMeasure), false
	case LeftOut:
		return words.Of("finding.left_out"+one(f.Measure == f.ToMeasure), "measure", f.Measure, "to", f.ToMeasure), true
	case Extra:
		return words.Of("finding.extra", "measure", f.Measure, "beat", words.Beat(math.Round(f.Beat*2)/2)), true
	case Paused:
		return here("finding.paused", "seconds", words.Fixed(f.Value, 1))
	case Restarted:
		if f.Measure == f.ToMeasure {
			return words.Of("finding.restarted.here", "measure", f.Measure), false
		}
		return words.Of("finding.restarted", "measure", f.Measure, "to", f.ToMeasure), false
	}
	return words.Of("finding.tuning."+upDown(f.Value, "high", "low"), "cents", words.Whole(math.Abs(f.Value)),
		"hz", words.Fixed(t.askedA4*dsp.Cents(f.Value), 1), "instrument", t.board.Called()), false
}

func upDown(x float64, up, down string) string {
	if x < 0 {
		return down
	}
	return up
}

// MarkForm is in how many words a mark says what it says.
type MarkForm string

// The forms of a mark.
const (
	PlainMark MarkForm = "plain"      // "-28 cents after shift"
	FullMark  MarkForm = "mark"       // the same with the sign for a minus: "−28 cents after shift"
	PageMark  MarkForm = "mark-page"  // under a measure on a page: "+28 after shift"
	BriefMark MarkForm = "mark-brief" // where its shape says the rest: "+28"
)

// Mark is what stands beside a finding's shape.
func (f *Finding) Mark(form MarkForm) words.Sentence {
	if !f.Plain.Zero() && (form == PageMark || form == BriefMark) {
		return f.Plain
	}
	signed := words.Shown(f.Value, 0)
	if form == PlainMark {
		form, signed = FullMark, words.Signed(f.Value, 0)
	}
	say := func(places ...any) words.Sentence { return f.Kind.says(string(form), places...) }
	switch r := f.Kind.Row(); {
	case r.About == Hand:
		return say("cents", words.Whole(math.Abs(f.Value)))
	case f.Kind == Uneven:
		return say("cents", words.Whole(f.Value))
	case r.Unit == Cents:
		return say("cents", signed)
	case r.Unit == Milliseconds:
		return say("ms", words.Whole(math.Abs(f.Value)))
	case r.Unit == WrittenLengths && f.Beats > 0:
		held, written := words.Beats(f.Value*f.Beats), words.Beats(f.Beats)
		if f.Kind == HeldLong {
			return say("held", held.Long(), "written", written)
		}
		return say("held", held, "written", written.Long())
	case r.Unit == WrittenLengths:
		return f.Kind.Name()
	case r.Unit == BeatsOff:
		return say("beats", words.Significant(f.Value, 2))
	case r.Unit == Semitones && math.Abs(math.Round(f.Value)) == piece.Octave:
		return words.Of("finding.wrong_note." + upDown(f.Value, "high", "low") + ".octave." + string(form))
	case r.Unit == Semitones:
		return words.Many("finding.wrong_note."+upDown(f.Value, "high", "low")+"."+string(form), int(math.Round(math.Abs(f.Value))))
	case r.Unit == PaceShare:
		return say("share", words.Whole(100*f.Value))
	case r.Unit == Seconds && len(f.Places) > 0: // the longest is of one of them
		return words.Of("finding.paused.often." + string(form))
	case r.Unit == Seconds:
		return say("seconds", words.Fixed(f.Value, 1))
	case r.Unit == QuartersAMinute && f.FromQPM > 0:
		return words.Of("finding.tempo.drifts."+string(form), "from", words.Whole(f.FromQPM), "to", words.Whole(f.ToQPM))
	case r.Unit == QuartersAMinute:
		return say("qpm", words.Whole(f.Value))
	}
	return say()
}

// nearSemitone is the displacement from which a hand is said to lie a semitone off, cents
// (common practice, no source).
const nearSemitone = 70.0

// frameText tells of a displaced hand, and whether it begins with where that is.
func (t *take) frameText(h *hand, last int) (s words.Sentence, located bool) {
	first := h.all[0]
	until := words.Of("finding.until.note", "note", t.noteName(last), "measure", t.line[last].Number)
	if last == first {
		until = words.Of("finding.until.itself")
	} else if t.line[last].Number == t.line[first].Number {
		until = words.Of("finding.until.position")
	}
	off := t.tooFar(first, h.at)
	if math.Abs(h.at) > nearSemitone {
		off = words.Of("finding.off.semitone-"+upDown(h.at, "high", "low"), "off", off)
	}
	if h.shift == nil {
		return words.Of("finding.frame.opening", "measure", t.line[first].Number, "off", off, "until", until), true
	}
	key := "finding.frame.shifted"
	if !h.shift.Marked || h.shift.Alternative {
		key = "finding.frame.if-shifted"
	}
	return words.Of(key, "from", words.Position(h.shift.From), "to", words.Position(h.shift.To), "measure", t.line[first].Number,
		"string", words.Of("music.string", "letter", t.stringLetter(h.shift.String)), "off", off, "until", until), false
}

func (t *take) correctedText(i int, landing, settle float64) words.Sentence {
	return words.Of("finding.corrected", "measure", t.line[i].Number, "beat", words.Beat(t.line[i].Beat),
		"off", t.tooFar(i, landing), "seconds", words.Fixed(settle, 1))
}

// tooFar says a displacement of a note in cents, as a distance on its string.
func (t *take) tooFar(i int, cents float64) words.Sentence {
	key, by := "finding.off."+upDown(cents, "sharp", "flat"), words.Whole(math.Abs(cents))
	f := t.plan.Notes[i]
	if t.inWords() {
		return t.tooFarInWords(f, cents)
	}
	if !f.Stopped() {
		return words.Of(key, "cents", by)
	}
	mm := t.board.Displaced(f.Semitones, cents)
	return words.Of(key+".where", "cents", by, "distance", words.Distance(mm), "side", words.Side(mm))
}

func (t *take) stringText(s int, off float64) words.Sentence {
	return words.Of("finding.tuning.string."+upDown(off, "sharp", "flat"), "string", t.stringLetter(s), "cents", words.Whole(math.Abs(off)))
}

func (t *take) rhythmText(i int, written, played string) words.Sentence {
	key := "finding.wrong_rhythm.other"
	if written == "even" {
		key = "finding.wrong_rhythm.uneven"
	}
	return words.Of(key, "measure", t.line[i].Number, "written", words.Of("finding.rhythm."+written), "played", words.Of("finding.rhythm."+played))
}

func (t *take) beatsText(from, to int, beats float64) words.Sentence {
	key := "finding.wrong_rhythm.beat-"
	if math.Abs(beats) > 1 {
		key = "finding.wrong_rhythm.beats-"
	}
	return words.Of(key+upDown(beats, "added", "left"), "n", words.Whole(math.Abs(beats)), "measure", t.line[from].Number,
		"beat", words.Beat(t.line[to].Beat), "to", t.line[to].Number)
}

func (t *take) tempoText(qpm float64) words.Sentence {
	p := &t.pace
	if !p.drifts {
		return words.Of("finding.tempo."+upDown(qpm-t.asked, "faster", "slower"), "qpm", words.Whole(qpm), "asked", words.Whole(t.asked))
	}
	return words.Of("finding.tempo."+upDown(p.from-p.to, "faster-and-faster", "slower-and-slower"),
		"from", words.Whole(t.supposed/p.from), "first", t.line[t.align.First].Number, "to", words.Whole(t.supposed/p.to), "last", t.line[t.align.Last].Number)
}

func (t *take) passageText(q *passage, share float64) words.Sentence {
	key := "finding." + string(either(share-1, FasterPassage, SlowerPassage))
	from, to := t.line[q.first].Number, t.line[q.last].Number
	if from == to {
		key += ".one"
	}
	return words.Of(key, "measure", from, "to", to, "qpm", words.Whole(t.supposed/q.rate), "own", words.Whole(t.supposed/t.pace.own))
}

// alikeText tells that notes written alike were another, and why where the key says so.
func (t *take) alikeText(a *alike) words.Sentence {
	n, name, measure := len(a.notes), t.noteName(a.notes[0]), t.line[a.notes[0]].Number
	key := t.piece.Measures[t.line[a.notes[0]].Measure].Key
	if by := key.Of(name.Step); by != 0 && by == name.Alter && a.semitones == -by {
		return words.Of("finding.wrong_note.key-"+upDown(float64(by), "sharp", "flat"), "n", n, "note", name, "letter", words.Note{Step: name.Step}, "measure", measure)
	}
	return words.Many("finding.wrong_note.often."+upDown(float64(a.semitones), "higher", "lower"), int(math.Abs(float64(a.semitones))), "times", n, "note", name, "measure", measure)
}

// stoppedText tells where the recording ends, and which measures up to that of a note were
// therefore not heard.
func (t *take) stoppedText(to int) words.Sentence {
	last := t.align.Last
	next := last + 1
	for next <= to && t.line[next].Measure == t.line[last].Measure && t.line[next].Pass == t.line[last].Pass {
		next++
	}
	key := "finding.stopped"
	if next > to {
		return words.Of(key, "measure", t.line[last].Number)
	}
	key += ".more"
	if t.line[next].Number == t.line[to].Number {
		key = "finding.stopped.one"
	}
	return words.Of(key, "measure", t.line[last].Number, "from", t.line[next].Number, "to", t.line[to].Number)
}

// remarks are sentences about the piece and how it was read.
func (t *take) remarks() []string {
	remarks := append([]string{}, t.said...)
	if t.piece.TransposedBy != "" {
		remarks = append(remarks, t.piece.TransposedBy)
	}
	if said := t.elsewhereText(); said != "" {
		remarks = append(remarks, said)
	}
	if t.heard.Hum != 0 {
		remarks = append(remarks, words.Say("finding.hum", "hz", t.heard.Hum))
	}
	remarks = append(remarks, t.piece.NotPlayed...)
	return append(remarks, t.plan.Remarks()...)
}

// noteName names a note as it is written.
func (ev *evidence) noteName(i int) words.Note {
	e := &ev.line[i]
	n := &ev.piece.Measures[e.Measure].Notes[e.Note]
	if n.Step == "" {
		return words.PitchClass(e.MIDI)
	}
	return words.Note{Step: n.Step, Alter: n.Alter}
}

// valueName names a note by its value and its letter: "half note G".
func (t *take) valueName(i int) words.Value {
	n := &t.piece.Measures[t.line[i].Measure].Notes[t.line[i].Note]
	v := words.Value{Dots: n.Dots, Note: t.noteName(i)}
	if !n.TieToNext {
		v.Type = n.Value
	}
	return v
}

func (t *take) stringLetter(s int) words.Note { return words.PitchClass(t.board.Strings[s-1].MIDI) }

// beatsOf is the written length of a note in the beats of its measure.
func (ev *evidence) beatsOf(i int) float64 {
	e := &ev.line[i]
	return float64(e.Length) / float64(ev.piece.Measures[e.Measure].Time.Beat())
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
			names = append(names, words.PitchClass(best).String())
		}
		long[best] = 0
	}
	return strings.Join(names, ", ")
}
