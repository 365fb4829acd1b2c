package attempt

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece"
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
	leads  bool
	opts   finding.Options
	offset float64 // of the player's own reference from the one asked for, cents

	began   float64 // of the note that sounds, as the listening tells
	at      int     // of line, the note sounding or sounded last; -1 for not known
	shown   int     // of line, where the cursor stands; it goes back where the player does
	back    float64 // when the player went back last, s
	sure    bool    // at is what sounds
	cents   []float64
	told    Sounding
	renewed float64  // when told last changed its number, s
	strokes []stroke // the last beginnings
}

// lined is a note of the line and when the timetable has it, s.
type lined struct {
	index   int
	at, end float64
}

// stroke is a note that was heard to begin.
type stroke struct{ began, pitch float64 }

const (
	sameNote    = 0.9   // semitones from a note of the line: farther off is another note
	offBeat     = 0.45  // s that a note may begin before or after its time and still be it
	leapCost    = 0.4   // semitones that a note is less likely for each one left out
	leftOut     = 3     // notes that one stroke may lie ahead of the last
	fewest      = 4     // moments of 10 ms that must agree before a pitch is told
	agreeing    = 14.0  // cents, in which their middle half must lie
	lately      = 25    // moments that a note's pitch is the middle of
	unsettled   = 15.0  // cents that a beginning may lie off by itself,
	settles     = 10    // and the moments in which it comes right
	letGo       = 4.0   // cents: a mark goes where the note comes so much nearer than the tolerance
	renewal     = 0.25  // s between two numbers of one mark
	mostTold    = 120.0 // cents
	keptStrokes = 128   // those of a look that comes late
	tellPlace   = 6     // strokes whose pitches tell where a player is who was not followed,
	lookAhead   = 48    // so many notes ahead at most
	standsAhead = 8.0   // s of music that the cursor may stand ahead of the player and wait for him
	backAgain   = 0.5   // s between two goings back
)

func newFollower(s *score.Score, w work.Work, t *timetable.Timetable, opts finding.Options) *follower {
	f := &follower{score: s, leads: w.Way.Leads(), opts: opts, at: -1, shown: -1, began: -1, back: -1, told: nowhere}
	if f.opts.Level.Name == "" {
		f.opts.Level = finding.Intermediate
	}
	f.line = linedUp(s, t)
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
		f.began, f.sure, f.cents = n.Began, false, f.cents[:0]
	}
	switch {
	case n.Pitch == 0:
		if f.sure && len(f.cents) > 0 && n.Time > f.began+0.1 {
			f.sure, f.cents = false, f.cents[:0]
			f.told = nowhere
		}
		return
	case !f.sure:
		if f.place(n, beat); !f.sure {
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
func (f *follower) place(n dsp.Now, beat float64) {
	f.stroke(n)
	best, least := -1, sameNote
	if f.leads {
		began := beat - (n.Time - n.Began)
		for k := range f.line {
			l := &f.line[k]
			if began <= l.at-offBeat || began >= l.end+offBeat/2 {
				continue
			}
			if c := f.off(k, len(f.strokes)-1, f.offset); c < sameNote && c+math.Min(leapCost, math.Abs(began-l.at)/2) < least {
				best, least = k, c+math.Min(leapCost, math.Abs(began-l.at)/2)
			}
		}
	} else {
		best = f.next(f.at, len(f.strokes)-1, f.offset)
	}
	if best < 0 {
		return
	}
	f.at, f.sure = best, true
	f.shown = max(f.shown, f.at)
}

// next is the note that a stroke is of a player who was at a note: one of the next, or else
// the nearest ahead that ends a row of the line at the pitches of the last strokes; -1 for
// none known.
func (f *follower) next(at, stroke int, offset float64) int {
	best, least := -1, sameNote
	for step := 0; step <= leftOut && at >= 0 && at+step < len(f.line); step++ {
		if c := f.off(at+step, stroke, offset); c < sameNote && c+leapCost*math.Abs(float64(step-1))/2 < least {
			best, least = at+step, c+leapCost*math.Abs(float64(step-1))/2
		}
	}
	if best >= 0 || at < 0 || stroke < tellPlace-1 {
		return best
	}
	for k := max(at+1, tellPlace-1); k < min(len(f.line), at+1+lookAhead); k++ {
		same := 0
		for same < tellPlace && f.off(k-same, stroke-same, offset) < sameNote {
			same++
		}
		if same == tellPlace {
			return k
		}
	}
	return -1
}

// stroke keeps what begins, at the pitch heard last.
func (f *follower) stroke(n dsp.Now) {
	if k := len(f.strokes) - 1; k >= 0 && f.strokes[k].began == n.Began {
		f.strokes[k].pitch = n.Pitch
		return
	}
	if f.strokes = append(f.strokes, stroke{n.Began, n.Pitch}); len(f.strokes) > keptStrokes {
		f.strokes = slices.Delete(f.strokes, 0, 1)
	}
}

// off is how far a stroke lies from a note to be played, semitones.
func (f *follower) off(k, stroke int, offset float64) float64 {
	return math.Abs(f.strokes[stroke].pitch - offset/100 - float64(f.score.Line[f.line[k].index].MIDI))
}

// correct takes in where a look found the player: at a note of the whole line that
// began at a time; and when he went back last, negative for never. What was heard since is
// followed from there.
func (f *follower) correct(index int, began, offset, back float64) {
	f.offset = offset
	if f.leads {
		return
	}
	for k := range f.line {
		if f.line[k].index != index {
			continue
		}
		passed := 0 // strokes since that are not the next note
		for i, s := range f.strokes {
			if s.began <= began+0.1 {
				continue
			}
			if next := f.next(k, i, offset); next >= 0 {
				k = next
			} else {
				passed++
			}
		}
		// A look that comes late, as on a busy computer, takes nothing back that was played since.
		if f.at < k || f.at > k+leftOut*passed {
			f.at = k
		}
		went := back > f.back+backAgain
		if went {
			f.back = back
		}
		if went || f.at > f.shown || f.line[f.shown].at-f.line[f.at].at > standsAhead {
			f.shown = f.at
		}
		return
	}
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
