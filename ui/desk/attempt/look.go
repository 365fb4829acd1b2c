package attempt

import (
	"math"
	"slices"
	"sort"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/ui/desk/score"
)

// looks is how the take so far is judged while it goes on. A look judges the last
// measures only, so that it costs no more after an hour than after a minute; what
// earlier looks found before them stays.
type looks struct {
	opts  finding.Options
	next  float64           // no new look before this time, s
	notes int               // that the last look knew of
	bar   int               // measures that the beat had passed
	marks []finding.Finding // by the whole line's notes
	reach int               // the measure that the player has come to, an index; -1 for not known
	begun []entered         // measures played, in order
	lost  bool              // the last look did not find the player where he should be
}

// entered is the beginning of a measure as it was played.
type entered struct {
	line int     // its first note, an index into the whole line
	at   float64 // s
}

// Look is a copy of what was heard lately, to be judged away from the sound.
type Look struct {
	heard dsp.Heard
	opts  finding.Options
	score *score.Score
	shift float64 // s that the copy begins after the take
	from  int     // the note of the line before which earlier findings stand
	whole bool    // all the piece is looked through, not only where the player should be
}

// Seen is what judging a Look came to.
type Seen struct {
	findings []finding.Finding // by the whole line's notes
	reach    int               // index of the measure last begun, -1 for none
	line     int               // the note last heard, an index into the whole line
	at       float64           // when it began, s
	offset   float64           // the player's reference from the one asked for, cents
	from     int
	begun    []entered
	heard    int // notes of the line
	beyond   int // notes heard after the last that was one of the line
	whole    bool
}

const (
	lookEvery    = 0.3  // s at least between two looks
	enough       = 4    // notes before a look can tell anything
	afterBar     = 0.35 // s after a measure's end that the next one's first note is known
	lookMeasures = 12   // measures that a look goes back, at least,
	lookNotes    = 48   // and notes
	lookLead     = 2    // measures of them that are there for what follows
	lookOver     = 2    // measures that a player may be before the beat
	lookFurther  = 8    // and, where no beat leads, beyond what the last look saw
	lookLost     = 4    // notes after the last of the line: the player is elsewhere
	lookBefore   = 0.5  // s of sound before the first note
)

// Look gives what is to be judged where something new can be told: where the beat
// leads a measure has passed, else notes have come to their end since the last
// time. It is nil otherwise. The next look comes no sooner than every says, in
// seconds of sound.
func (a *Attempt) Look(every float64) *Look {
	now := a.Time()
	if a.phase == Ended || !a.heard || now < a.looks.next {
		return nil
	}
	bar := 0
	if a.work.Way.Leads() {
		if bar = a.table.Passed(a.beat() - afterBar); bar == a.looks.bar {
			return nil
		}
	}
	a.looks.next = now + max(lookEvery, every)
	p := a.ear.Provisional()
	if len(p.Notes) < enough || len(p.Notes) == a.looks.notes {
		return nil
	}
	a.looks.notes, a.looks.bar = len(p.Notes), bar
	a.follow.revise(p.Notes)
	return a.lately(&p.Heard)
}

// lately takes the last measures out of what was heard, and chooses the measures of
// the piece that they may be.
func (a *Attempt) lately(h *dsp.Heard) *Look {
	s := a.score
	l := &Look{opts: a.looks.opts, score: s, whole: true}
	first, end := a.work.First, a.work.Last
	switch {
	case a.looks.lost:
	case a.work.Way.Leads():
		if m, _, ok := a.table.Place(a.Time() - a.began); ok {
			end = min(end, m+lookOver)
		}
	case a.looks.reach >= 0:
		end = min(end, a.looks.reach+lookFurther)
	}
	begin := 0.0
	if k := len(a.looks.begun) - lookMeasures; k > 0 {
		all := a.looks.begun
		for k > 0 && all[len(all)-1].line-all[k].line < lookNotes {
			k--
		}
		onward := slices.IsSortedFunc(all[k:], func(a, b entered) int { return a.line - b.line })
		if b := all[k]; k > 0 && onward && alone(s, s.Line[b.line].Measure, end) {
			first, begin = s.Line[b.line].Measure, b.at-lookBefore
			l.from = a.looks.begun[k+lookLead].line
		}
	}
	if !a.work.Way.Leads() && !alone(s, first, end) { // of a range each measure is played once
		end = a.work.Last
	}
	if l.whole = first == a.work.First && end == a.work.Last; !l.whole {
		l.opts.Measures = s.Range(first, end)
	}
	l.heard = since(h, begin)
	l.shift = h.Duration - l.heard.Duration
	return l
}

// alone reports whether the measures first..end are played once each, so that their
// numbers say which time it is.
func alone(s *score.Score, first, end int) bool {
	n := 0
	for _, p := range s.Played {
		if p.Measure >= first && p.Measure <= end {
			n++
		}
	}
	return n == end-first+1
}

// since copies what was heard from a time on; its times begin there.
func since(h *dsp.Heard, begin float64) dsp.Heard {
	out := *h
	k := sort.Search(len(h.Frames), func(k int) bool { return h.Frames[k].Time >= begin })
	if k == 0 || k == len(h.Frames) {
		out.Notes, out.Onsets, out.Faint = slices.Clone(h.Notes), slices.Clone(h.Onsets), slices.Clone(h.Faint)
		return out
	}
	shift := h.Frames[k].Time
	out.Duration -= shift
	out.Frames = slices.Clone(h.Frames[k:])
	for i := range out.Frames {
		out.Frames[i].Time -= shift
	}
	onsets := func(all []dsp.Onset) (kept []dsp.Onset) {
		for _, o := range all {
			if o.Time -= shift; o.Time >= 0 {
				kept = append(kept, o)
			}
		}
		return kept
	}
	out.Onsets, out.Faint, out.Notes = onsets(h.Onsets), onsets(h.Faint), nil
	for _, n := range h.Notes {
		if n.Onset >= shift {
			n.Onset, n.Offset, n.SteadyFrom, n.SteadyTo = n.Onset-shift, n.Offset-shift, n.SteadyFrom-shift, n.SteadyTo-shift
			out.Notes = append(out.Notes, n)
		}
	}
	return out
}

// Judge judges it as the end will judge the whole take, and keeps what can be told
// already: findings whose measures are fully past.
func (l *Look) Judge() Seen {
	seen := Seen{reach: -1, line: -1, from: l.from, whole: l.whole}
	h, err := finding.Judge(l.score.Piece, &l.heard, l.opts)
	if err != nil {
		return seen // nothing of the piece so far
	}
	offset := h.Offset(l.score.Line)
	line := l.score.Line
	heard := map[int]float64{} // when a note of the line began, s
	for i := range h.Notes {
		if n := &h.Notes[i]; n.Onset != nil && n.Line >= 0 && n.Line+offset >= 0 && n.Line+offset < len(line) {
			heard[n.Line+offset] = *n.Onset + l.shift
		}
	}
	if seen.heard = len(heard); seen.heard == 0 {
		return seen
	}
	for k, at := range heard {
		if at > seen.at || seen.line < 0 {
			seen.line, seen.at = k, at
		}
		if k == 0 || line[k-1].Measure != line[k].Measure || line[k-1].Pass != line[k].Pass {
			seen.begun = append(seen.begun, entered{k, at})
		}
	}
	sort.Slice(seen.begun, func(i, k int) bool { return seen.begun[i].at < seen.begun[k].at })
	seen.reach = line[seen.line].Measure
	seen.offset = 1200 * math.Log2(h.HeardA/h.ReferenceA)
	for _, n := range l.heard.Notes {
		if n.Onset+l.shift > seen.at+0.05 {
			seen.beyond++
		}
	}
	now := func(k int) bool { return line[k].Measure == seen.reach && line[k].Pass == line[seen.line].Pass }
	for _, f := range h.Findings {
		if f.First < 0 || f.Kind.Row().About == finding.WholeTake || f.Kind == finding.Stopped { // of that only the end can tell
			continue
		}
		f.First, f.Last, f.At = f.First+offset, f.Last+offset, f.At+l.shift
		_, played := heard[f.Last]
		if past := f.Last < seen.line || played; past && !now(f.Last) && f.First >= l.from {
			seen.findings = append(seen.findings, f)
		}
	}
	return seen
}

// See takes in what a look came to. Where the player was not where he was looked
// for, the next look goes through everything.
func (a *Attempt) See(s Seen) {
	v := &a.looks
	if lost := s.reach < 0 || s.beyond > lookLost || s.from > 0 && s.heard < lookNotes/2; lost && !s.whole {
		v.begun, v.notes, v.reach, v.lost = nil, 0, -1, true
		return
	}
	if v.lost = false; s.reach < 0 {
		return
	}
	var marks []finding.Finding
	for _, f := range v.marks {
		if f.First < s.from {
			marks = append(marks, f)
		}
	}
	v.marks = append(marks, s.findings...)
	var played []entered
	for _, b := range v.begun {
		if len(s.begun) > 0 && b.at < s.begun[0].at-lookBefore {
			played = append(played, b)
		}
	}
	v.begun = append(played, s.begun...)
	v.reach = s.reach
	a.follow.offset = s.offset
}
