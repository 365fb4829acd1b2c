// Package attempt is one try at some measures while it goes on.
//
//	Score, Work ─> Timetable ──┐
//	samples ───────────────────┴─> Attempt ──┬─> Live: phase, place, the note that sounds, findings so far
//	                                         ├─> Look ─> Seen: the last measures, judged beside the sound
//	                                         └─> Cued ─> Cueing: what both hands do, who bows silently
//
// It opens no device and keeps no file. Its clock counts samples, so that tests pump it.
// A Look judges the last measures away from the sound; only findings whose measures are
// past are shown, and all of them are provisional. Read Attempt first.
package attempt

import (
	"math"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/ui/desk/score"
	"endpin/ui/desk/timetable"
	"endpin/ui/desk/work"
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
	score *score.Score
	work  work.Work
	table *timetable.Timetable
	rate  int
	count int64 // samples so far

	phase  Phase
	began  float64 // s at which the beat of the timetable begins in this sound
	ear    *dsp.Listener
	heard  bool    // the instrument has sounded
	last   float64 // when it last did, s
	looks  looks
	steps  []float64
	follow *follower

	silences timetable.Silences
}

// Live is what a view needs to know of an attempt going on. It is a value: a
// view may keep it.
type Live struct {
	Phase    Phase
	Time     float64  // s of sound so far
	First    bool     // echo: the desk plays, the player listens
	Count    int      // to be counted aloud; 0 outside the count-in
	Measure  int      // where the beat is, or the player where no beat leads; -1 for nowhere
	Share    float64  // of that measure gone by, at the last beat or note that came
	Note     Sounding // the note of the line that sounds, as far as it can be told
	Sounding bool
	Pitch    float64 // MIDI number with a fraction of what sounds, 0 for none
	Level    float64 // dB re full scale
	Findings []finding.Finding
	Heard    bool // the instrument has been heard in this attempt
}

// News reports whether a view has something to draw that it has not drawn yet: each
// time the whole window is painted. What changes all the time, level and pitch, is none.
func (l *Live) News(before *Live) bool {
	return l.Phase != before.Phase || l.First != before.First || l.Count != before.Count || l.Heard != before.Heard ||
		l.Measure != before.Measure || l.Share != before.Share || l.Note.mark() != before.Note.mark() || !sameSlice(l.Findings, before.Findings)
}

func sameSlice(a, b []finding.Finding) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

// Listening is how to listen to the instrument of a piece.
func Listening(s *score.Score) dsp.Config {
	c := dsp.Bass
	c.Low, c.High = s.On.Sounds(c.Low, c.High)
	return c
}

// New makes an attempt on sound of a rate. lead is when the timetable's
// first click is heard in that sound, s.
func New(s *score.Score, w work.Work, opts finding.Options, rate int, lead float64) (*Attempt, error) {
	ear, err := dsp.NewListener(Listening(s).Live(), rate)
	if err != nil {
		return nil, err
	}
	if !s.Whole(w.First, w.Last) {
		opts.Measures = s.Range(w.First, w.Last)
	}
	opts.QPM, opts.Instrument = w.QPM, &s.On.Instrument
	a := &Attempt{score: s, work: w, table: timetable.New(s, w), rate: rate, began: lead, ear: ear}
	a.looks = looks{opts: opts, reach: -1}
	a.silences = a.table.Silences(s)
	a.follow = newFollower(s, w, a.table, opts)
	a.steps = steps(a.table, a.follow.line)
	if !w.Way.Leads() || w.CountIn == 0 {
		a.phase = Playing
	}
	return a, nil
}

// Lead tells when the timetable's first click is heard in this sound, once that
// is known.
func (a *Attempt) Lead(at float64) { a.began = at }

const (
	tiny        = 1e-6  // s, for what stands exactly on a beat
	patience    = 60.0  // s to wait for a first note
	echoSilence = 1.0   // s after the last measure of an echo
	turnMargin  = 0.25  // s before the player's turn from which an echo is listened to at least,
	turnEarly   = 2     // quarter notes where so many are counted: of an answer that begins early none is lost,
	turnRing    = 0.5   // s after what the desk played: on its way out and in again (0.16 by PortAudio's buffers) it dies away in a room
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
		a.follow.hear(a.ear.Now(), a.beat())
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
	case a.work.Way == work.Echo && a.heard: // it goes round: nobody has to wait
		return now >= end && now-a.last >= min(echoSilence, a.work.Silence)
	case a.work.Way == work.Echo:
		return now >= end+a.work.Silence
	case !a.heard:
		return now > end+patience
	}
	return a.quiet(now) >= a.work.Silence
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
	t := a.table
	before := max(turnMargin, min(turnEarly*60/a.work.QPM, t.Turn-t.End-turnRing))
	return a.work.Way.Hears() && (a.work.Way != work.Echo || a.Time() >= a.began+t.Turn-before)
}

// Time is how much sound there was, s.
func (a *Attempt) Time() float64 { return float64(a.count) / float64(a.rate) }

// Work is what the attempt is to be, and Table when its beats fall.
func (a *Attempt) Work() work.Work             { return a.work }
func (a *Attempt) Table() *timetable.Timetable { return a.table }

// Began is when the timetable's first click is heard in this sound, s, as far as is known.
func (a *Attempt) Began() float64 { return a.began }

// Due is when the player's first note is due, where the desk leads from the beginning
// of the piece; else at once.
func (a *Attempt) Due() float64 {
	if !a.work.Way.Leads() || a.work.First > 0 {
		return 0
	}
	return a.began + a.table.Turn
}

// Heard reports whether the instrument has sounded since the music began.
func (a *Attempt) Heard() bool { return a.heard }

// Phase is how far the attempt has come.
func (a *Attempt) Phase() Phase { return a.phase }

// beat is where the timetable's music stands, s; in the player's turn of an echo it
// goes through the measures again.
func (a *Attempt) beat() float64 {
	at := a.Time() - a.began
	if at >= a.table.Turn {
		at += a.table.Start - a.table.Turn
	}
	return at
}

// Live tells where the attempt is.
func (a *Attempt) Live() Live {
	now := a.Time()
	l := Live{Phase: a.phase, Time: now, Measure: -1, Level: math.Inf(-1), Findings: a.looks.marks, Heard: a.heard}
	if a.work.Way.Leads() {
		at := now - a.began
		l.First = a.work.Way == work.Echo && at < a.table.End
		l.Count = a.table.Count(at)
		if m, _, ok := a.table.Place(at); ok {
			step := last(a.steps, a.beat()) + tiny
			l.Measure = m
			_, l.Share, _ = a.table.Place(step)
		}
	} else if a.follow.shown >= 0 {
		e := &a.score.Line[a.follow.line[a.follow.shown].index]
		l.Measure = e.Measure
		m := &a.score.Piece.Measures[e.Measure]
		l.Share = gone(m, m.Notes[e.Note].Start)
	}
	l.Note = a.follow.told
	if frames := a.ear.Latest(recent); len(frames) > 0 {
		f := frames[len(frames)-1]
		l.Level = f.Level
		if l.Sounding = a.sounds(); l.Sounding && f.Voiced {
			l.Pitch = dsp.MIDI(f.Freq)
		}
	}
	return l
}

// quiet is how long nobody has played though something was to be played, s: where
// the beat leads, from the next note on; else beyond the longest rest of these
// measures.
func (a *Attempt) quiet(now float64) float64 {
	if a.work.Way.Leads() {
		return now - a.began - a.silences.After(a.last-a.began)
	}
	if a.silences.Longest > longRest {
		return now - a.last - a.silences.Longest
	}
	return now - a.last
}

// longRest is a rest that is more than a breath, s.
const longRest = 1.5
