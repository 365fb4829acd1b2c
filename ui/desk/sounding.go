package desk

import "endpin/dsp/voice"

// sounding is the line of some measures as the desk itself plays it, at the
// times of a timetable.
func (s *Score) sounding(w Work, t Timetable) []voice.Note {
	var notes []voice.Note
	k := 0
	for _, b := range t.bars {
		m := &s.Piece.Measures[b.measure]
		second := (b.end - b.at) / m.Length.Quarters()
		for k < len(s.Line) && s.Line[k].Measure != b.measure {
			k++
		}
		for ; k < len(s.Line) && s.Line[k].Measure == b.measure; k++ {
			e := &s.Line[k]
			at := b.at + m.Notes[e.Note].Start.Quarters()*second
			notes = append(notes, voice.Note{Onset: at, Length: e.Length.Quarters() * second, MIDI: float64(e.MIDI),
				Slurred: e.Slurred && len(notes) > 0})
		}
	}
	return notes
}
