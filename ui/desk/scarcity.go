package desk

import "endpin/piece/words"

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
