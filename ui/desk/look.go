package desk

import (
	"slices"
	"time"

	"endpin/dsp"
	"endpin/piece/finding"
)

// Look is a copy of what was heard so far, to be judged away from the sound.
type Look struct {
	heard *dsp.Heard
	opts  finding.Options
	score *Score
	time  float64
}

// Seen is what judging a Look came to.
type Seen struct {
	findings []finding.Finding
	reach    int // index of the measure last begun, -1 for none
	heard    int
}

const (
	lookEvery = 0.3 // s at least between two looks
	enough    = 4   // notes before a look can tell anything
)

// Look gives the take so far where something new can be told of it: a note has
// come to its end since the last time. It is nil otherwise. The next look comes
// no sooner than every says, in seconds of sound.
func (a *Attempt) Look(every float64) *Look {
	now := a.Time()
	if a.phase == Ended || !a.heard || now < a.looks.next {
		return nil
	}
	a.looks.next = now + max(lookEvery, every)
	heard := a.ear.Provisional().Heard
	heard.Notes, heard.Onsets, heard.Faint = slices.Clone(heard.Notes), slices.Clone(heard.Onsets), slices.Clone(heard.Faint)
	settled := len(heard.Notes)
	if settled < enough || settled == a.looks.notes {
		return nil
	}
	a.looks.notes = settled
	return &Look{heard: &heard, opts: a.looks.opts, score: a.score, time: now}
}

// Judge judges the take so far as the end will judge the whole, and keeps what
// can be told already: findings whose measures are fully past.
func (l *Look) Judge() Seen {
	seen := Seen{reach: -1}
	h, err := finding.Judge(l.score.Piece, l.heard, l.opts)
	if err != nil {
		return seen // nothing of the piece so far
	}
	last := -1
	for i := range h.Notes {
		if n := &h.Notes[i]; n.Onset != nil && n.Line > last {
			last = n.Line
		}
		if h.Notes[i].Onset != nil {
			seen.heard++
		}
	}
	line := l.score.Line
	offset := lineOffset(l.score, h)
	last += offset
	if last < 0 || last >= len(line) {
		return seen
	}
	seen.reach = line[last].Measure
	begun := last // the first note of the measure that is being played
	for begun > 0 && line[begun-1].Measure == line[last].Measure && line[begun-1].Pass == line[last].Pass {
		begun--
	}
	for _, f := range h.Findings {
		if f.First >= 0 && f.Last+offset < begun && !wholeTake(f.Kind) {
			seen.findings = append(seen.findings, f)
		}
	}
	return seen
}

// lineOffset is how far the indexes of a hearing stand from those of the whole
// line: a range may be judged as a line of its own.
func lineOffset(s *Score, h *finding.Hearing) int {
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.Line < 0 {
			continue
		}
		for k := range s.Line {
			if e := &s.Line[k]; e.Number == n.Measure && e.Pass == n.Pass && near(e.Beat, n.Beat) {
				return k - n.Line
			}
		}
	}
	return 0
}

func near(a, b float64) bool { return a-b < 0.002 && b-a < 0.002 }

// wholeTake reports whether a kind is told of a take, not of a measure: only
// the end can.
func wholeTake(k finding.Kind) bool {
	return k == finding.Tempo || k == finding.Tuning || k == finding.NotSure
}

// See takes in what a look came to.
func (a *Attempt) See(s Seen) {
	if s.reach < 0 {
		return
	}
	a.looks.marks, a.looks.reach, a.looks.before = s.findings, s.reach, s.heard
}

// looked is what a look came to and how long it took, s.
type looked struct {
	Seen
	took float64
}

func (l *Look) timed(now func() time.Time) looked {
	began := now()
	s := l.Judge()
	return looked{s, now().Sub(began).Seconds()}
}
