package weeks

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"endpin/piece/diary/packed"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/trend"
	"endpin/piece/words"
)

// Take is one take as the diary lists it.
type Take struct {
	ID        int64
	At        time.Time
	Piece     string
	Content   string  // what the piece is known by (piece.Content)
	Duration  float64 // s
	QPM       float64 // heard
	HeardA    float64 // Hz
	Level     string
	Listening int
	Notes     int
	Findings  int
	Kept      bool
	Warning   string

	Row // what was heard in it
}

// Row is what stands in the diary of what was heard in a take, as package packed has it.
type Row struct {
	Of        int64   // the row of its piece
	Tolerance float64 // of the frame, cents
	Landings  []byte
	Measures  []byte
	Strings   []byte
	Told      string
}

// Shift is a shift of a piece, as the diary has it.
type Shift struct {
	trend.Shift
	ID, Of    int64 // its row, and its piece's
	Semitones int
}

// Weeks are a span of a player's diary.
type Weeks struct {
	Player string // as the diary spells the name
	Takes  []Take // in order of time
	// Misdated are the takes whose date cannot be right: one still to come would be
	// the last week. They are kept, and nothing is reckoned from them.
	Misdated []Take
	Shifts   []Shift // of the pieces played, each piece's in order
	// Spoiled names the diary in which something cannot be read.
	Spoiled func(what error) error
}

// Landings gives the landings by shift, in order of the pieces and their
// measures: of those takes that the newest version of the listening among them
// has judged, since what two versions heard is not compared. older is how many
// takes that leaves out.
func (w *Weeks) Landings() (groups []trend.Group, older int, err error) {
	newest, ofPiece := 0, map[int64]int{}
	for i := range w.Takes {
		newest = max(newest, w.Takes[i].Listening)
		ofPiece[w.Takes[i].Of]++
	}
	shifts, landings := make(map[int64]*Shift, len(w.Shifts)), make(map[int64][]trend.Landing, len(w.Shifts))
	for i := range w.Shifts {
		shifts[w.Shifts[i].ID] = &w.Shifts[i]
	}
	var c packed.Landings
	for i := range w.Takes {
		t := &w.Takes[i]
		if t.Listening < newest {
			older++
			continue
		}
		if err := packed.Read(t.Landings, &c); err != nil {
			return nil, 0, w.Spoiled(words.Fault("diary.spoiled.landings", "take", t.ID))
		}
		take := strconv.FormatInt(t.ID, 36)
		for k, id := range c.Shift {
			shift := shifts[id]
			if shift == nil || shift.Of != t.Of {
				return nil, 0, w.Spoiled(words.Fault("diary.spoiled.shift", "take", t.ID))
			}
			l := trend.Landing{When: t.At, Take: take, Cents: c.Cents[k], Tolerance: t.Tolerance, SettleMS: math.NaN(), QPM: c.QPM[k],
				Semitones: shift.Semitones, CarriedBy: fingerboard.Carrier(c.CarriedBy[k]), Plucked: c.Plucked[k] == 1, Trust: c.Trust[k]}
			if s := c.SettleMS[k]; s != nil {
				l.SettleMS = *s
			}
			if landings[id] == nil {
				landings[id] = make([]trend.Landing, 0, ofPiece[t.Of])
			}
			landings[id] = append(landings[id], l)
		}
	}
	sorted := slices.SortedStableFunc(slices.Values(w.Shifts), func(a, b Shift) int {
		return cmp.Or(strings.Compare(a.Piece, b.Piece), cmp.Compare(a.Of, b.Of))
	})
	for _, s := range sorted {
		if ls := landings[s.ID]; ls != nil {
			groups = append(groups, trend.Group{Shift: s.Shift, Landings: ls})
		}
	}
	return groups, older, nil
}

// MeasurePasses is one printed measure and how each take of a span went through it.
type MeasurePasses struct {
	Piece, Content, Measure string
	Passes                  []trend.Pass
}

// Measures gives the measures in order of the pieces. A measure is clean where
// all its notes were heard as written and nothing was told of it; one that the
// listening is not sure of, or that the take does not reach, does not count either way.
func (w *Weeks) Measures() ([]MeasurePasses, error) {
	type printed struct {
		piece   int64
		number  int
		measure string
	}
	found := map[printed]*MeasurePasses{}
	var order []printed
	var c packed.Measures
	for i := range w.Takes {
		t := &w.Takes[i]
		if err := packed.Read(t.Measures, &c); err != nil {
			return nil, w.Spoiled(words.Fault("diary.spoiled.measures", "take", t.ID))
		}
		for k, number := range c.Printed {
			m := finding.MeasureHeard{Notes: c.Notes[k], Heard: c.Heard[k], Told: c.Told[k], Unsure: c.Unsure[k]}
			if !m.Judged() || !m.Reached() {
				continue
			}
			at := printed{t.Of, number, c.Measure[k]}
			x := found[at]
			if x == nil {
				x = &MeasurePasses{Piece: t.Piece, Content: t.Content, Measure: at.measure}
				found[at] = x
				order = append(order, at)
			}
			x.Passes = append(x.Passes, trend.Pass{When: t.At, QPM: t.QPM, Clean: m.Clean()})
		}
	}
	slices.SortStableFunc(order, func(a, b printed) int {
		return cmp.Or(strings.Compare(found[a].Piece, found[b].Piece), cmp.Compare(a.piece, b.piece), cmp.Compare(a.number, b.number))
	})
	all := make([]MeasurePasses, len(order))
	for i, at := range order {
		all[i] = *found[at]
	}
	return all, nil
}

// Tunings are the readings of how the instrument was tuned.
type Tunings struct {
	A       []trend.Reading         // the player's own reference A, Hz
	Strings map[int][]trend.Reading // open strings against that, cents; 1 is the highest
}

// Tunings gives how the reference and the open strings lay, take by take.
func (w *Weeks) Tunings() (Tunings, error) {
	out := Tunings{Strings: map[int][]trend.Reading{}}
	for i := range w.Takes {
		t := &w.Takes[i]
		out.A = append(out.A, trend.Reading{When: t.At, Value: t.HeardA})
		var c packed.Strings
		if err := packed.Read(t.Strings, &c); err != nil {
			return out, w.Spoiled(words.Fault("diary.spoiled.strings", "take", t.ID))
		}
		for k, s := range c.String {
			out.Strings[s] = append(out.Strings[s], trend.Reading{When: t.At, Value: c.Cents[k]})
		}
	}
	return out, nil
}
