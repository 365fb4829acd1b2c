package fingering

import (
	"slices"

	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// Schools are those that the piece on the desk may be fingered by, and which of them it is:
// those that come along, and last the file's own where that is another. None where the
// instrument has no schools, or is called by one.
func (f *Fingering) Schools() (all []fingerboard.School, now int) {
	s := f.host.Score()
	if s.On.System.School != fingerboard.UsualSchool {
		return nil, 0
	}
	all = fingerboard.Schools()
	if own, err := fingerboard.SchoolKept(f.page.Piece.School); err == nil && !slices.ContainsFunc(all, func(x fingerboard.School) bool { return x.Kept() == own.Kept() }) {
		all = append(all, own)
	}
	by := s.On.For(s.Piece).System.School
	return all, slices.IndexFunc(all, func(x fingerboard.School) bool { return x.Kept() == by })
}

// TakeSchool fingers the piece by a school. What was taken note by note stays.
func (f *Fingering) TakeSchool(s fingerboard.School) {
	if f.host.Busy("finger") {
		return
	}
	w := Way{s.Kept(), f.marks(f.host.Score().Piece)}
	if w.School == f.page.Piece.School {
		w.School = ""
	}
	f.host.Say(words.Say("desk.fingering.school"))
	f.finger(w)
}
