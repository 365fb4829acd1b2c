package shelf

import "os"

// WriteHeld tries whether takes that are held can be written now.
func (s *Shelf) WriteHeld() {
	for _, t := range s.Takes {
		if t.Held != nil && t.Held.LetGo() == nil {
			t.Held = nil
			s.Note(t)
			if x := s.Shown; x != nil && x.Take == t {
				s.host.Remember(t, x.Hearing)
			}
		}
	}
}

// keptElsewhere puts a take that was held in the place where all of it was now written:
// it is listed from there, and the beginning of it makes room.
func (s *Shelf) keptElsewhere(x *Shown, path string) {
	t := x.Take
	before := t.files()
	t.Held, t.Sound = nil, path
	s.host.Remember(t, x.Hearing)
	t.Recording, t.kept = path, false
	for _, file := range before {
		os.Remove(file)
	}
	t.notes = s.newNotes(t.Made)
	s.Note(t)
}
