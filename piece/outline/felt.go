package outline

import (
	"endpin/piece"
	"endpin/piece/words"
)

// Felt is the beat that is felt: in compound time the dotted note over three of
// the beats that are counted, else a quarter note. The zero value is a quarter note.
type Felt struct {
	Sign     string  // "♩", "♩."
	Quarters float64 // how long it is
}

// FeltBeat is the beat felt in a time signature. Three beats or one in a measure
// of eighths are counted and not felt in one (common practice, no source).
func FeltBeat(t piece.Time) Felt {
	if t.Beats > 3 && t.Beats%3 == 0 && t.Unit == 8 {
		return Felt{"♩.", 1.5}
	}
	return Felt{"♩", 1}
}

// PerMinute turns quarter notes a minute into beats a minute.
func (f Felt) PerMinute(qpm float64) float64 {
	if f.Quarters == 0 {
		return qpm
	}
	return qpm / f.Quarters
}

// Tempo writes a tempo given in quarter notes a minute: "♩. = 56".
func (f Felt) Tempo(qpm float64) string {
	sign := f.Sign
	if sign == "" {
		sign = "♩"
	}
	return words.Say("outline.tempo", "beat", sign, "n", words.Whole(f.PerMinute(qpm)))
}
