package tape

import "endpin/piece/words"

// How little room is told before a take.
const (
	scarce       = 100 << 20 // bytes: at 44.1 kHz twenty minutes
	bytesASample = 2         // as takes are written
)

// Scarcity says how little room is left where takes are kept, of so many bytes; "" where it is
// enough.
func Scarcity(free int64, rate int) string {
	if free >= scarce {
		return ""
	}
	minutes := float64(free) / bytesASample / float64(rate) / 60
	if minutes < 1 {
		return words.Say("desk.take.scarce.none")
	}
	return words.Many("desk.take.scarce", int(minutes)).String()
}
