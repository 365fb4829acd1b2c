package listening

import (
	"math"
	"sort"

	"endpin/dsp"
	"endpin/dsp/voice"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/ui/desk/score"
	"endpin/ui/desk/timetable"
)

// Take is a recording with what was heard in it.
type Take struct {
	*score.Score
	Hearing *finding.Hearing
	Heard   *dsp.Heard
	Sound   string // the recording's file
	Name    string
}

// track is a take laid out along its recording.
type track struct {
	*Take
	notes []timetable.Note // that count, in the order of the music
	kept  *timetable.Kept
	tries []*timetable.Kept // that were given up, in their order …
	ends  []float64         // … until when each lasted, s
	begin float64           // when the first note sounds, s
	end   float64           // when all is over, s
}

// after is how long the last note is let ring, s, and before how much sounds before the first.
const (
	before = 0.25
	after  = 0.8
)

// lay is nil where nothing of the piece was heard.
func lay(t *Take) *track {
	x := &track{Take: t, notes: timetable.Placed(t.Line, t.Hearing, t.Hearing.Notes)}
	if x.kept = timetable.NewKept(x.notes, t.Hearing); x.kept == nil {
		return nil
	}
	x.begin = math.Inf(1)
	span := func(notes []timetable.Note) (end float64) {
		for _, n := range notes {
			if n.Onset != nil {
				x.begin, end = math.Min(x.begin, *n.Onset), math.Max(end, *n.Onset)
			}
			if n.Offset != nil {
				end = math.Max(end, *n.Offset)
			}
		}
		return end
	}
	for _, notes := range t.Hearing.Earlier {
		given := timetable.Placed(t.Line, t.Hearing, notes)
		if k := timetable.NewKept(given, t.Hearing); k != nil {
			x.tries, x.ends = append(x.tries, k), append(x.ends, span(given))
		}
	}
	x.end = span(x.notes) + after
	if t.Hearing.Duration > 0 {
		x.end = math.Min(x.end, t.Hearing.Duration)
	}
	x.begin = math.Max(0, x.begin-before)
	return x
}

// place is where in the music a time of the recording lies: a measure and the share of it.
func (x *track) place(at float64) Place {
	k := x.kept
	for i, end := range x.ends {
		if at < end {
			k = x.tries[i]
			break
		}
	}
	return placeOf(x.Score, k.Moment(at))
}

func placeOf(s *score.Score, moment piece.Ticks) Place {
	i := max(0, sort.Search(len(s.Played), func(i int) bool { return s.Played[i].Onset > moment })-1)
	p := s.Played[i]
	share := float64(moment-p.Onset) / float64(max(1, s.Piece.Measures[p.Measure].Length))
	return Place{Measure: p.Measure, Share: math.Max(0, math.Min(1, share))}
}

// span is when a measure that is played out was played, by its index in Played; ok is false
// where the take is not about it.
func (x *track) span(i int) (from, to float64, ok bool) {
	p := x.Played[i]
	end := p.Onset + x.Piece.Measures[p.Measure].Length
	first, last := x.notes[0].E, x.notes[len(x.notes)-1].E
	if end <= first.Onset || p.Onset >= last.Onset+last.Length {
		return 0, 0, false
	}
	from, to = math.Max(0, x.kept.At(p.Onset)), math.Min(x.end, x.kept.Until(end))
	return from, to, to > from
}

// turns are the indexes in Played of the first time through some measures, in order.
func (x *track) turns(first, last int) (all []int) {
	for i, p := range x.Played {
		if p.Measure < first || p.Measure > last {
			if len(all) > 0 {
				break
			}
			continue
		}
		if _, _, ok := x.span(i); ok {
			all = append(all, i)
		}
	}
	return all
}

// line are the notes as they are written whose beat falls within a stretch of the recording,
// at the player's own A, each slur for itself; at is when one begins, s of the recording.
func (x *track) line(from, to, times float64) (all []stroke) {
	for i := 0; i < len(x.notes); {
		j := i + 1
		for j < len(x.notes) && x.notes[j].E.Slurred {
			j++
		}
		if at := x.kept.At(x.notes[i].E.Onset); at >= from && at < to {
			s := stroke{at: at}
			for _, n := range x.notes[i:j] {
				begin, end := x.kept.At(n.E.Onset), x.kept.Until(n.E.Onset+n.E.Length)
				s.notes = append(s.notes, voice.Note{Onset: (begin - at) * times, Length: math.Max(0.05, end-begin) * times,
					MIDI: x.Hearing.Belongs(n.Note, x.Heard), Slurred: len(s.notes) > 0})
			}
			all = append(all, s)
		}
		i = j
	}
	return all
}

// stroke is a bow's notes.
type stroke struct {
	at    float64
	notes []voice.Note
}
