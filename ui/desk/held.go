package desk

import (
	"os"

	"endpin/piece/words"
)

// writtenAfterAll tries whether takes that are held can be written now.
func (d *Desk) writtenAfterAll() {
	for _, t := range d.Takes {
		if t.held != nil && t.held.LetGo() == nil {
			t.held = nil
			d.keep(t)
			if s := d.Shown; s != nil && s.Take == t {
				d.remember(t, d.optionsOf(t), s.Hearing)
			}
		}
	}
}

// keptElsewhere puts a take that was held in the place where all of it was now written:
// it is listed from there, and the beginning of it makes room.
func (d *Desk) keptElsewhere(s *Shown, path string) {
	t := s.Take
	sound, notes := t.Sound, t.beside()
	t.held, t.Sound = nil, path
	d.remember(t, d.optionsOf(t), s.Hearing)
	t.Recording, t.kept = path, false
	os.Remove(sound)
	os.Remove(notes)
	t.notes = newNotes(d.means.Folder, t.Made)
	d.keep(t)
}

// How little room is told before a take.
const (
	scarce       = 100 << 20 // bytes: at 44.1 kHz twenty minutes
	bytesASample = 2         // as takes are written
)

// scarcity says how little room is left where takes are kept, "" where it is enough.
func (d *Desk) scarcity(rate int) string {
	if d.means.Room == nil {
		return ""
	}
	room, known := d.means.Room(d.means.Folder)
	if !known || room >= scarce {
		return ""
	}
	minutes := float64(room) / bytesASample / float64(rate) / 60
	if minutes < 1 {
		return words.Say("desk.take.scarce.none")
	}
	return words.Many("desk.take.scarce", int(minutes)).String()
}
