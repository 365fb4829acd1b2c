package timetable

import (
	"sort"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/outline"
	"endpin/piece/words"
	"endpin/ui/desk/score"
)

// Cue is what both hands do at one note, for somebody who plays without sound.
type Cue struct {
	At, Until float64 // s of a Timetable
	Note      int     // index into the line

	Bow      piece.Bow // NoBow where the note is plucked
	Pizz     bool      // plucked
	Held     bool      // slurred: the bow goes on
	Retake   bool      // the same way as the bow before: lifted and set down again
	Supposed bool      // no bow mark stands on the page up to here

	Finger   string // "1".."4", "T"; "0" open; empty where the plan has none
	String   string // "D"; empty for a note off the instrument
	Open     bool
	Harmonic bool
	Position string // "third position"; empty for an open string or a harmonic
	Shift    string // where the hand goes for this note, "third position"; empty where it stays
	Perhaps  bool   // another fingering serves without that shift
}

// Cues are those of some measures in the order of playing.
type Cues []Cue

// Cues works out the bowing and fingering cues of the measures of a timetable.
// Bows follow the marks; where there are none they are supposed, as in the plan
// of a sitting.
func (t *Timetable) Cues(s *score.Score, o *outline.Outline) Cues {
	bows := make(map[int]outline.Stroke)
	marked := make(map[int]bool)
	seen := false
	if len(o.Line) == len(s.Line) {
		for _, b := range o.Strokes {
			seen = seen || s.Line[b.First].Marks.Bow != piece.NoBow
			for i := b.First; i <= b.Last; i++ {
				bows[i], marked[i] = b, seen
			}
		}
	}
	shifts := make(map[int]fingerboard.Shift)
	for _, x := range s.Plan.Shifts {
		shifts[x.Note] = x
	}
	strings := s.On.Strings
	var all Cues
	t.Each(s, func(k int, at, quarter float64) {
		e, f := &s.Line[k], &s.Plan.Notes[k]
		c := Cue{At: at, Until: at + e.Length.Quarters()*quarter, Note: k, Finger: f.Finger, Open: f.Open, Harmonic: f.Harmonic, Pizz: e.Articulation.Pizz}
		if b, ok := bows[k]; ok {
			first := len(all) == 0
			c.Bow, c.Supposed = b.Bow, !marked[k]
			c.Held, c.Retake = k > b.First && !first, k == b.First && b.Retake && !first
		}
		if f.String >= 1 && f.String <= len(strings) {
			c.String = strings[f.String-1].Name
		}
		if f.Stopped() {
			c.Position = words.Position(f.Position).String()
			if x, ok := shifts[k]; ok && len(all) > 0 {
				c.Shift, c.Perhaps = words.Position(x.To).String(), x.Alternative && !x.Marked
			}
		}
		all = append(all, c)
	})
	return all
}

// At tells what stands now and next at a time of the timetable; now is nil in a
// rest and before the first note, next after the last. ahead is the next shift
// after those, within as many seconds.
func (c Cues) At(time, within float64) (now, next, ahead *Cue) {
	i := sort.Search(len(c), func(i int) bool { return c[i].At > time+1e-6 })
	if i > 0 && time < c[i-1].Until {
		now = &c[i-1]
	}
	if i < len(c) {
		next = &c[i]
	}
	for k := i + 1; k < len(c) && c[k].At <= time+within; k++ {
		if c[k].Shift != "" {
			ahead = &c[k]
			break
		}
	}
	return now, next, ahead
}
