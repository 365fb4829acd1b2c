package desk

import (
	"math"

	"endpin/dsp"
	"endpin/piece/finding"
)

// Phase is how far an attempt has come.
type Phase int

// The phases.
const (
	Counting Phase = iota // the count-in
	Playing
	Ended
)

// Attempt is one try at some measures as a state machine that sound drives: its
// clock counts samples, so that it goes as fast as samples are pushed. One
// goroutine pushes.
type Attempt struct {
	score *Score
	work  Work
	table Timetable
	rate  int
	count int64 // samples so far

	phase Phase
	began float64 // s at which the beat of the timetable begins in this sound
	ear   *dsp.Listener
	heard bool    // the instrument has sounded
	last  float64 // when it last did, s
	looks looks
}

// looks is how the take so far is judged while it goes on.
type looks struct {
	opts   finding.Options
	next   float64 // no new look before this time, s
	notes  int     // that the last look saw settled
	marks  []finding.Finding
	reach  int // the measure that the player has come to, an index; -1 for not known
	before int // notes of the line heard
}

// Live is what a view needs to know of an attempt going on. It is a value: a
// view may keep it.
type Live struct {
	Phase    Phase
	Time     float64 // s of sound so far
	First    bool    // echo: the desk plays, the player listens
	Count    int     // to be counted aloud; 0 outside the count-in
	Measure  int     // where the beat is, or the player where no beat leads; -1 for nowhere
	Share    float64 // of that measure gone by
	Sounding bool
	Pitch    float64 // MIDI number with a fraction of what sounds, 0 for none
	Level    float64 // dB re full scale
	Findings []finding.Finding
	Heard    bool // the instrument has been heard in this attempt
}

// NewAttempt makes an attempt on sound of a rate. lead is when the timetable's
// first click is heard in that sound, s.
func NewAttempt(s *Score, w Work, opts finding.Options, rate int, lead float64) (*Attempt, error) {
	ear, err := dsp.NewListener(dsp.Bass.Live(), rate)
	if err != nil {
		return nil, err
	}
	if !s.Whole(w.First, w.Last) {
		opts.Measures = s.Range(w.First, w.Last)
	}
	opts.QPM = w.QPM
	a := &Attempt{score: s, work: w, table: s.Timetable(w), rate: rate, began: lead, ear: ear}
	a.looks = looks{opts: opts, reach: -1}
	if !w.Way.Leads() || w.CountIn == 0 {
		a.phase = Playing
	}
	return a, nil
}

// Lead tells when the timetable's first click is heard in this sound, once that
// is known.
func (a *Attempt) Lead(at float64) { a.began = at }

const (
	patience    = 60.0  // s to wait for a first note
	echoSilence = 1.0   // s after the last measure of an echo
	turnMargin  = 0.25  // s before the player's turn from which an echo is listened to
	soundLevel  = -58.0 // dB re full scale below which nothing counts as playing
	soundPure   = 0.25  // aperiodicity above which nothing does
	recent      = 12    // frames that tell whether the instrument sounds now
)

// Push takes the next samples.
func (a *Attempt) Push(block []float32) {
	if a.phase == Ended {
		return
	}
	a.count += int64(len(block))
	if a.Wanted() {
		a.ear.Push(block)
	}
	now := a.Time()
	if a.sounds() {
		a.heard, a.last = true, now
	}
	if a.phase == Counting && now >= a.began+a.table.Start {
		a.phase, a.heard = Playing, false // a spoken count is nobody's playing
	}
	if a.over(now) {
		a.phase = Ended
	}
}

// over reports whether the attempt ends by itself: with the last measure where
// nobody listens, else by a silence.
func (a *Attempt) over(now float64) bool {
	end := a.began + a.table.Over()
	switch {
	case a.phase == Counting:
		return false
	case !a.work.Way.Hears():
		return now >= end
	case a.work.Way == Echo && a.heard: // it goes round: nobody has to wait
		return now >= end && now-a.last >= min(echoSilence, a.work.Silence)
	case a.work.Way == Echo:
		return now >= end+a.work.Silence
	case !a.heard:
		return now > end+patience
	}
	return now-a.last >= a.work.Silence
}

// sounds reports whether the instrument sounds now.
func (a *Attempt) sounds() bool {
	n := 0
	for _, f := range a.ear.Latest(recent) {
		if f.Voiced && f.Level > soundLevel && f.Aperiodicity < soundPure {
			n++
		}
	}
	return n > recent/2
}

// Stop ends the attempt.
func (a *Attempt) Stop() { a.phase = Ended }

// Wanted reports whether the sound now belongs to the take: in echo the desk
// plays first, and what it plays is nobody's playing.
func (a *Attempt) Wanted() bool {
	return a.work.Way.Hears() && (a.work.Way != Echo || a.Time() >= a.began+a.table.Turn-turnMargin)
}

// Time is how much sound there was, s.
func (a *Attempt) Time() float64 { return float64(a.count) / float64(a.rate) }

// Phase is how far the attempt has come.
func (a *Attempt) Phase() Phase { return a.phase }

// Live tells where the attempt is.
func (a *Attempt) Live() Live {
	now := a.Time()
	l := Live{Phase: a.phase, Time: now, Measure: -1, Level: math.Inf(-1), Findings: a.looks.marks, Heard: a.heard}
	if a.work.Way.Leads() {
		at := now - a.began
		l.First = a.work.Way == Echo && at < a.table.End
		l.Count = a.table.Count(at)
		if m, share, ok := a.table.Place(at); ok {
			l.Measure, l.Share = m, share
		}
	} else if a.looks.reach >= 0 {
		l.Measure, l.Share = a.looks.reach, 0
	}
	if frames := a.ear.Latest(recent); len(frames) > 0 {
		f := frames[len(frames)-1]
		l.Level = f.Level
		if l.Sounding = a.sounds(); l.Sounding && f.Voiced {
			l.Pitch = dsp.MIDI(f.Freq)
		}
	}
	return l
}
