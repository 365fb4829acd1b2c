package attempt

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/finding"
	"endpin/ui/desk/score"
	"endpin/ui/desk/timetable"
	"endpin/ui/desk/work"
)

// Sounding is the note of the line that sounds now, as far as it can be told while
// it does. It is provisional: what is kept is judged at the take's end.
type Sounding struct {
	Line    int     // index into Score.Line; -1 for none that is known
	Measure int     // index into Piece.Measures
	Note    int     // index into that measure's Notes
	Cents   float64 // how far it lies from where it belongs, 0 for near enough
}

// nowhere is that nothing of the line sounds.
var nowhere = Sounding{Line: -1, Measure: -1, Note: -1}

// mark is what is to be seen of it: of a note that lies near enough, nothing.
func (s Sounding) mark() Sounding {
	if s.Cents == 0 {
		return nowhere
	}
	return s
}

// follower finds the note that sounds in the line: by the beat where the desk leads,
// else by what was played before.
type follower struct {
	score  *score.Score
	line   []lined // the notes that are to be played, in their order
	opts   finding.Options
	offset float64 // of the player's own reference from the one asked for, cents

	way   *align.Follower // nil where the desk leads
	at    int             // of line, the note sounding or sounded last; -1 for not known
	shown int             // of line, where the cursor stands

	began   float64 // of the note that sounds, as the listening tells
	pitch   float64 // at which the way heard it, 0 for not yet
	sure    bool    // at is what sounds
	cents   []float64
	told    Sounding
	renewed float64 // when told last changed its number, s
}

// lined is a note of the line and when the timetable has it, s.
type lined struct {
	index   int
	at, end float64
}

const (
	sameNote  = 0.9   // semitones from a note of the line: farther off is another note
	offBeat   = 0.45  // s that a note may begin before or after its time and still be it
	leapCost  = 0.4   // semitones that a note is less likely for each beat that it is off
	newPitch  = 0.5   // semitones from which the way hears a note's pitch anew
	leftOut   = 3     // notes that one may lie ahead of the last and be no leap
	lag       = 4     // notes behind a leap before the cursor follows it
	fewest    = 4     // moments of 10 ms that must agree before a pitch is told
	agreeing  = 14.0  // cents, in which their middle half must lie
	lately    = 25    // moments that a note's pitch is the middle of
	unsettled = 15.0  // cents that a beginning may lie off by itself,
	settles   = 10    // and the moments in which it comes right
	letGo     = 4.0   // cents: a mark goes where the note comes so much nearer than the tolerance
	renewal   = 0.25  // s between two numbers of one mark
	mostTold  = 120.0 // cents
)

func newFollower(s *score.Score, w work.Work, t *timetable.Timetable, opts finding.Options) *follower {
	f := &follower{score: s, opts: opts, at: -1, shown: -1, began: -1, told: nowhere}
	if f.opts.Level.Name == "" {
		f.opts.Level = finding.Intermediate
	}
	if w.Way.Leads() {
		f.line = linedUp(s, t)
		return f
	}
	var line []piece.Expected
	for k, e := range s.Line {
		if e.Measure >= w.First && e.Measure <= w.Last {
			f.line, line = append(f.line, lined{index: k}), append(line, e)
		}
	}
	f.way = align.Follow(line, align.Clock(s.Piece, line, w.QPM))
	return f
}

// linedUp are the notes of the line in the timetable's measures, the first time through.
func linedUp(s *score.Score, t *timetable.Timetable) []lined {
	var out []lined
	t.Each(s, func(k int, at, quarter float64) {
		out = append(out, lined{k, at, at + s.Line[k].Length.Quarters()*quarter})
	})
	return out
}

// gone is how much of a measure has gone by at a place in it.
func gone(m *piece.Measure, at piece.Ticks) float64 {
	return float64(at) / float64(max(1, m.Length))
}

// steps are the times at which something is to be done: a beat, or a note begins.
// The cursor stands at one of them until the next; so it stands at the note that
// is to sound, and the page need not be drawn anew in between.
func steps(t *timetable.Timetable, notes []lined) []float64 {
	var all []float64
	for _, b := range t.Beats {
		if !b.Before {
			all = append(all, b.At)
		}
	}
	for _, l := range notes {
		all = append(all, l.at)
	}
	slices.Sort(all)
	return all
}

// last is the last of some times, in order, that has come.
func last(times []float64, now float64) float64 {
	i, found := slices.BinarySearch(times, now)
	if found || i == 0 {
		return now
	}
	return times[i-1]
}

// hear takes in what sounds now; beat is the timetable's time.
func (f *follower) hear(n dsp.Now, beat float64) {
	if n.Began > f.began {
		f.began, f.sure, f.cents, f.pitch = n.Began, false, f.cents[:0], 0
	}
	switch {
	case n.Pitch == 0:
		if f.sure && len(f.cents) > 0 && n.Time > f.began+0.1 {
			f.sure, f.cents = false, f.cents[:0]
			f.told = nowhere
		}
		return
	case !f.sure:
		if f.sure = f.place(n, beat); !f.sure {
			f.told = nowhere
			return
		}
	}
	e := &f.score.Line[f.line[f.at].index]
	c := 100*(n.Pitch-float64(e.MIDI)) - f.opts.Intonation.Cents(e.MIDI, f.score.Piece.Measures[e.Measure].Key) - f.offset
	if math.Abs(c) > mostTold {
		return
	}
	if f.cents = append(f.cents, c); len(f.cents) > lately {
		f.cents = slices.Delete(f.cents, 0, 1)
	}
	f.tell(n.Time, e)
}

// place seeks the note that has begun.
func (f *follower) place(n dsp.Now, beat float64) bool {
	if f.way != nil {
		return f.follow(n)
	}
	began := beat - (n.Time - n.Began)
	best, least := -1, sameNote
	for k := range f.line {
		l := &f.line[k]
		if began <= l.at-offBeat || began >= l.end+offBeat/2 {
			continue
		}
		if c := f.off(k, n.Pitch) + math.Min(leapCost, math.Abs(began-l.at)/2); c < least {
			best, least = k, c
		}
	}
	if best >= 0 {
		f.at = best
	}
	return best >= 0
}

// follow goes on with the note that has begun, as the alignment does. The cursor goes with
// it from note to note, and waits where it stood a little ahead; where the player leapt,
// back or ahead, it follows once it is known that he went on from there for a while.
func (f *follower) follow(n dsp.Now) bool {
	if math.Abs(n.Pitch-f.pitch) < newPitch {
		return false
	}
	f.pitch = n.Pitch
	f.way.Hear(dsp.Note{Onset: n.Began, Offset: n.Time, Pitch: n.Pitch - f.offset/100, Trust: dsp.Sure})
	return f.move() && f.off(f.at, n.Pitch) < sameNote
}

// revise takes in what is known by now of all that was heard.
func (f *follower) revise(heard []dsp.Note) {
	if f.way == nil {
		return
	}
	heard = slices.Clone(heard)
	for k := range heard {
		heard[k].Pitch -= f.offset / 100
	}
	f.way.Revise(heard)
	if now := f.move(); f.sure {
		f.sure = now && f.off(f.at, f.pitch) < sameNote
	}
}

// move goes where the way has come to; it reports whether the note that sounds is there.
func (f *follower) move() bool {
	at, now, onward := f.way.At()
	f.at = at
	near := f.shown >= 0 && at >= f.shown-leftOut && at <= f.shown+leftOut
	if onward >= lag && !near || near && at > f.shown {
		f.shown = at
	}
	return now
}

// off is how far a pitch lies from that of a note to be played, semitones.
func (f *follower) off(k int, pitch float64) float64 {
	return math.Abs(pitch - f.offset/100 - float64(f.score.Line[f.line[k].index].MIDI))
}

// tell renews what is told of the note that sounds.
func (f *follower) tell(now float64, e *piece.Expected) {
	next := Sounding{Line: f.line[f.at].index, Measure: e.Measure, Note: e.Note}
	if len(f.cents) >= fewest {
		sorted := slices.Sorted(slices.Values(f.cents))
		n := len(sorted)
		middle := (sorted[(n-1)/2] + sorted[n/2]) / 2
		enough := f.opts.Level.Note
		if f.told.Line == next.Line && f.told.Cents != 0 {
			enough -= letGo
		} else {
			// A string takes a moment to find its pitch: what is told early must lie farther off.
			enough += unsettled * math.Max(0, 1-float64(len(f.cents)-fewest)/settles)
		}
		if sorted[3*n/4]-sorted[n/4] < agreeing && math.Abs(middle) > enough {
			next.Cents = math.Round(middle)
		}
	} else if f.told.Line == next.Line {
		next.Cents = f.told.Cents
	}
	if next == f.told {
		return
	}
	if next.Line == f.told.Line && next.Cents*f.told.Cents > 0 && now < f.renewed+renewal {
		return
	}
	f.told, f.renewed = next, now
}
