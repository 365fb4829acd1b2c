package pieces

import (
	"slices"
	"strconv"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
	"endpin/ui/desk/score"
)

// Choice is what is asked before a piece is opened: which part of its file, and on which
// instrument it is played. Of each what is proposed stands chosen.
type Choice struct {
	Title       string
	Parts       []piece.Part // one alone is no choice
	Part        int          // chosen, an index
	Instruments []fingerboard.Named
	Instrument  int

	file string
	read *score.Score // as it is proposed
}

// asks asks for the part where several would do, or none is for the instrument, and for
// the instrument where the part names another; it reports whether it does.
func (s *Shelf) asks(sc *score.Score, part, instrument string) bool {
	c := &Choice{Title: sc.Title(), file: sc.File, read: sc, Instruments: offered()}
	c.Instrument = max(0, slices.IndexFunc(c.Instruments, func(n fingerboard.Named) bool { return n.Word == instrument }))
	fitting := 0
	for _, p := range sc.Piece.Parts {
		if p.Fits {
			fitting++
		}
		if p.Taken {
			c.Part = len(c.Parts)
		}
		c.Parts = append(c.Parts, p)
	}
	several := part == "" && len(c.Parts) > 1 && fitting != 1
	other := false
	if len(c.Parts) > 0 {
		named := c.Parts[c.Part].For
		other = named != "" && named != sc.On.Family
	}
	if !several && !other {
		return false
	}
	if other && !several { // what it is for comes first
		c.Instrument = c.fitting(c.Part)
	}
	s.Asking = c
	return true
}

// offered are the instruments to choose from: each that is called otherwise.
func offered() (all []fingerboard.Named) {
	for _, n := range fingerboard.Instruments() {
		if !slices.ContainsFunc(all, func(x fingerboard.Named) bool { return x.Name.String() == n.Name.String() }) {
			all = append(all, n)
		}
	}
	return all
}

// fitting is the instrument that a part is for; the one chosen where it names none other.
func (c *Choice) fitting(part int) int {
	named := c.Parts[part].For
	if named == "" || c.Instruments[c.Instrument].Family == named {
		return c.Instrument
	}
	return max(0, slices.IndexFunc(c.Instruments, func(n fingerboard.Named) bool { return n.Family == named }))
}

// ChoosePart chooses a part, and the instrument that it is for.
func (c *Choice) ChoosePart(i int) {
	if i >= 0 && i < len(c.Parts) {
		c.Part, c.Instrument = i, c.fitting(i)
	}
}

// PartNames are the parts as they are offered; of two alike the numbers tell.
func (c *Choice) PartNames() (all []string) {
	for _, p := range c.Parts {
		all = append(all, words.Say("desk.pieces.part", "n", p.Number, "part", p.Name))
	}
	return all
}

// InstrumentNames are the instruments as they are offered.
func (c *Choice) InstrumentNames() (all []string) {
	for _, n := range c.Instruments {
		all = append(all, n.Name.String())
	}
	return all
}

// Answer opens the piece as it was chosen.
func (s *Shelf) Answer() {
	c := s.Asking
	if c == nil {
		return
	}
	s.Asking = nil
	part := ""
	if len(c.Parts) > 1 {
		part = strconv.Itoa(c.Parts[c.Part].Number)
	}
	s.Open(c.file, part, c.Instruments[c.Instrument].Word)
}
