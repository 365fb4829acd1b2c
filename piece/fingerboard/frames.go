package fingerboard

import (
	"slices"

	"endpin/piece"
)

// fingered tells one note's stop in words a player uses.
func (in Instrument) fingered(s stop, m piece.Marks, c choices) Fingered {
	f := Fingered{
		String: s.str, Finger: s.finger, Semitones: s.semitones, Position: "0",
		Open: s.open, Harmonic: s.harmonic, Reach: s.use == Reaching,
		Marked: c.settled, Frame: -1,
	}
	switch {
	case s.harmonic:
		f.Finger, f.Position = m.Finger, m.Position
		if f.Position == "" {
			f.Position = in.touching(s.semitones)
		}
	case s.stopped():
		p := in.System.Positions[s.place]
		f.Position, f.Hand = p.Token, p.At
	}
	return f
}

// oneWay reports whether marks have left a single stop.
func oneWay(stops []stop) bool {
	for _, s := range stops[1:] {
		if s.str != stops[0].str || s.place != stops[0].place || s.finger != stops[0].finger {
			return false
		}
	}
	return true
}

// touching is the lowest position in which a finger reaches a harmonic's node.
func (in Instrument) touching(node int) string {
	for _, p := range in.System.Positions {
		for _, f := range p.Hand {
			if f.How == Plain && p.At+f.Above == node {
				return p.Token
			}
		}
	}
	return ""
}

// frames numbers the hand frames along the way chosen and writes down the shifts
// between them.
func (in Instrument) frames(plan *Plan, line []piece.Expected, all []choices, free, tied []layer, path []int, k *costing) {
	frame, hand, before := -1, nowhere, -1 // before: layer of the last stopped note
	known := false                         // a mark has put the hand where it is
	for i := range tied {
		l := &tied[i]
		s := l.states[path[i]]
		if !s.stopped() {
			continue
		}
		note := &plan.Notes[l.note]
		kept := all[l.note].kept
		placed := kept.Position != "" || kept.Finger != ""
		stays := all[l.note].standing != "" && all[l.note].standing == note.Position
		if s.hand != hand {
			frame++
			if before >= 0 {
				sh := k.shiftAt(in, plan, line, tied, path, before, i)
				sh.Frame = frame
				cost, h, j := k.unshifted(free, i)
				more := cost - plan.least
				sh.Alternative = more < closeCost
				if more < near {
					o, ok := in.aside(line, all, free, tied, path, i, h, j)
					o.More = max(0, more)
					if ok && !slices.ContainsFunc(plan.Others[max(0, len(plan.Others)-4):], func(p Other) bool { return sameOther(o, p) }) {
						plan.Others = append(plan.Others, o)
					}
				}
				sh.Marked = placed && known && !sh.Alternative
				plan.Shifts = append(plan.Shifts, sh)
			}
			hand, known = s.hand, false
		}
		known = known || placed || stays
		note.Frame = frame
		before = i
		if n := len(plan.Shifts); n > 0 {
			plan.Shifts[n-1].LastNote = l.note
		}
	}
}

// shiftAt describes the shift from the stopped note of one layer to that of another.
func (k *costing) shiftAt(in Instrument, plan *Plan, line []piece.Expected, layers []layer, path []int, from, to int) Shift {
	a, b := layers[from].states[path[from]], layers[to].states[path[to]]
	sh := Shift{
		Note: layers[to].note, Before: layers[from].note,
		From: in.System.Positions[a.hand].Token, To: in.System.Positions[b.hand].Token,
		String: b.str, Semitones: k.firsts[b.hand] - k.firsts[a.hand],
		FingerFrom: a.finger, FingerTo: b.finger,
	}
	switch {
	case line[sh.Note].Slurred && sh.Note == sh.Before+1:
		sh.CarriedBy = BySlur
	case rests(line[sh.Before:sh.Note]):
		sh.CarriedBy = ByRest
	}
	for _, n := range plan.Notes[sh.Before+1 : sh.Note] {
		switch {
		case n.Open:
			sh.CarriedBy = ByOpen
		case n.Harmonic && sh.CarriedBy != ByOpen:
			sh.CarriedBy = ByHarmonic
		}
	}
	return sh
}

func rests(line []piece.Expected) bool {
	for _, n := range line {
		if n.RestAfter > 0 {
			return true
		}
	}
	return false
}
