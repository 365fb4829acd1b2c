package gist

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// How much there must be of what is praised (common practice, no source).
const (
	leastClear  = 4  // notes in a run of measures
	leastSteady = 12 // notes that tell a pace

	leastStretches = 3  // from measure to measure, that it must be seen over
	fewOff         = 10 // one note in so many may lie off the beat
)

// Praise says what went well, each for certain; at most three sentences. Where nothing can be
// praised, it says that the end was reached, or nothing.
func Praise(p *piece.Piece, h *finding.Hearing) []string {
	t := read(p, h)
	var all []words.Sentence
	if !h.Doubted() {
		for _, said := range []words.Sentence{t.clear(), t.landed(), t.steady()} {
			if !said.Zero() {
				all = append(all, said)
			}
		}
	}
	if end := t.toTheEnd(); len(all) == 0 && !end.Zero() {
		all = append(all, end)
	}
	var said []string
	for _, s := range all {
		said = append(said, s.String())
	}
	return said
}

// Steady reports whether a take kept its pace: from measure to measure never off its own
// by more than the level's tolerance, and nothing told against it.
func Steady(p *piece.Piece, h *finding.Hearing) bool { return !read(p, h).steady().Zero() }

// take is a hearing beside what is written.
type take struct {
	*finding.Hearing
	piece   *piece.Piece
	level   finding.Level
	ends    int  // notes behind the last one heard are none of the take's: it stops there
	drifts  bool // it grows slower or faster all along, and nothing in it is said to be in time
	written map[spot]*piece.Expected
	told    []bool // by note: a finding is about it
}

type spot struct {
	measure string
	pass    int
	beat    int // thousandths
}

func read(p *piece.Piece, h *finding.Hearing) *take {
	t := &take{Hearing: h, piece: p, ends: len(h.Notes), written: map[spot]*piece.Expected{}, told: make([]bool, len(h.Notes))}
	var err error
	if t.level, err = finding.LevelByName(h.Level); err != nil {
		t.level = finding.Intermediate
	}
	line, _ := p.Line()
	for i := range line {
		e := &line[i]
		t.written[spot{e.Number, e.Pass, int(math.Round(1000 * e.Beat))}] = e
	}
	for i := range h.Findings {
		f := &h.Findings[i]
		t.drifts = t.drifts || f.FromQPM > 0
		for f.Kind == finding.Stopped && t.ends > 0 && h.Notes[t.ends-1].Onset == nil {
			t.ends--
		}
		if h.Throughout(f) || f.Kind.Row().Weight == 0 {
			continue // how all was played says nothing of one note: each lies within, or does not
		}
		for _, k := range h.NotesOf(f) {
			t.told[k] = true
		}
	}
	return t
}

func (t *take) expected(n *finding.Note) *piece.Expected {
	return t.written[spot{n.Measure, n.Pass, int(math.Round(1000 * n.Beat))}]
}

// lies reports whether a note was heard and lies within.
func (t *take) lies(k int) bool {
	n := &t.Notes[k]
	return n.Trust != dsp.NotSure && !t.OnlyPitch && t.Within(n, t.expected(n))
}

// counted is a measure by its printed number.
type counted struct {
	notes, stopped int
	clean          bool // every note was heard for certain and lies within, and nothing is told of it
	fine           bool // or not for certain
}

// measures counts the notes of each measure, whichever time round.
func (t *take) measures() map[string]*counted {
	all := map[string]*counted{}
	for k := range t.Notes {
		n := &t.Notes[k]
		m := all[n.Measure]
		if m == nil {
			m = &counted{clean: true, fine: true}
			all[n.Measure] = m
		}
		fine := !t.told[k] && t.lies(k) // an extra note lies nowhere
		m.fine, m.clean = m.fine && fine, m.clean && fine && n.Trust == dsp.Sure
		m.notes++
		if n.Finger != "" && n.Finger != "0" {
			m.stopped++
		}
	}
	return all
}

// fineMeasures counts the measures of a take of which all are fine; else 0.
func fineMeasures(p *piece.Piece, h *finding.Hearing) int {
	all := read(p, h).measures()
	for _, m := range all {
		if !m.fine {
			return 0
		}
	}
	return len(all)
}

// clear names the longest run of clean measures.
func (t *take) clear() words.Sentence {
	var first, last string
	var best counted
	from, run := "", counted{}
	counts := t.measures()
	seen := map[string]bool{}
	for i := range t.piece.Measures {
		number := t.piece.Measures[i].Number
		c := counts[number]
		if c == nil || !c.clean || seen[number] {
			from, run = "", counted{}
			continue
		}
		seen[number] = true
		if from == "" {
			from = number
		}
		run.notes, run.stopped = run.notes+c.notes, run.stopped+c.stopped
		if run.notes > best.notes {
			first, last, best = from, number, run
		}
	}
	if best.notes < leastClear || t.drifts && best.stopped == 0 {
		return words.Sentence{}
	}
	key := "gist.well.measure"
	if last != first {
		key = "gist.well.measures"
	}
	switch {
	case t.drifts:
		key += ".pitch"
	case best.stopped > 0:
		key += ".in-tune"
	}
	return words.Of(key, "from", first, "to", last, "notes", best.notes, "stopped", best.stopped)
}

// landed says how many shifts landed where they should, in pitch and whenever they came,
// where half of all did for certain; of those that could not be heard so it says that. Where
// the page marks no shift it may have been none.
func (t *take) landed() words.Sentence {
	all, near, clear := 0, 0, 0
	key := "gist.well.shifts"
	for k := range t.Notes[:t.ends] {
		n := &t.Notes[k]
		if !n.AfterShift || n.State == finding.StateExtra {
			continue
		}
		all++
		l := slices.IndexFunc(t.Landings, func(l finding.Landing) bool {
			return l.Measure == n.Measure && l.Pass == n.Pass && math.Abs(l.Beat-n.Beat) < 0.002
		})
		if l < 0 || t.Landings[l].Trust != dsp.Sure {
			continue
		}
		clear++
		if math.Abs(t.Landings[l].Cents) <= t.level.Frame && t.inTune(n) && !t.offPitch(k) {
			near++
		}
		if !t.Landings[l].Marked || t.Landings[l].Other {
			key = "gist.well.shifts.supposed"
		}
	}
	switch {
	case near == 0 || 2*near < all:
		return words.Sentence{}
	case near == all:
		return words.Many(key+".all", all)
	case clear < all:
		return words.Many(key+".unheard", all-clear, "near", near, "all", all)
	}
	return words.Of(key, "near", near, "all", all)
}

// inTune reports whether a note was heard for certain and lies within in pitch.
func (t *take) inTune(n *finding.Note) bool {
	return n.State == finding.StatePlayed && n.Trust == dsp.Sure && n.Cents != nil && math.Abs(*n.Cents) <= t.level.Note
}

// offPitch reports whether a finding of pitch is about a note.
func (t *take) offPitch(k int) bool {
	return slices.ContainsFunc(t.Findings, func(f finding.Finding) bool {
		row := f.Kind.Row()
		return (row.Unit == finding.Cents && row.About != finding.WholeTake || f.Kind == finding.WrongNote) && slices.Contains(t.NotesOf(&f), k)
	})
}

// steady says that the pace was kept, where it was: the beat went at it from each measure
// that begins with a note to the next, few notes lay off that beat or are not known, and
// nothing else is told of the pulse.
func (t *take) steady() words.Sentence {
	var last *piece.Expected
	var at float64
	notes, off, stretches := 0, 0, 0
	for _, f := range t.Findings {
		if row := f.Kind.Row(); row.InTime() && row.Weight > 0 && row.Unit != finding.Milliseconds && row.Unit != finding.WrittenLengths {
			return words.Sentence{} // more than when one note came, or how long it sounded
		}
	}
	for k := range t.Notes {
		n := &t.Notes[k]
		e := t.expected(n)
		if n.State == finding.StateExtra || e == nil {
			continue
		}
		notes++
		known := n.Onset != nil && n.LateMS != nil && n.Trust != dsp.NotSure
		if !known || math.Abs(*n.LateMS) > t.level.Onset {
			off++
		}
		if math.Abs(e.Beat-1) > 0.001 {
			continue
		}
		if !known {
			return words.Sentence{}
		}
		beat := *n.Onset - *n.LateMS/1000
		if last != nil {
			qpm := (e.Onset - last.Onset).Quarters() / (beat - at) * 60
			if beat <= at || math.Abs(qpm/t.TempoHeard-1) > t.level.Tempo/100 {
				return words.Sentence{}
			}
			stretches++
		}
		last, at = e, beat
	}
	if notes < leastSteady || fewOff*off > notes || stretches < leastStretches || t.TempoHeard <= 0 {
		return words.Sentence{}
	}
	return words.Of("gist.well.tempo", "qpm", words.Whole(t.TempoHeard))
}

// toTheEnd says that the last note was reached.
func (t *take) toTheEnd() words.Sentence {
	for k := len(t.Notes) - 1; k >= 0; k-- {
		if n := &t.Notes[k]; n.State != finding.StateExtra {
			if n.State == finding.StatePlayed && n.Trust != dsp.NotSure {
				return words.Of("gist.well.end")
			}
			break
		}
	}
	return words.Sentence{}
}
