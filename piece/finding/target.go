package finding

import (
	"math"

	"endpin/dsp"
)

// Target is the pitch at which a note of the hearing belongs: a MIDI number with
// a fraction at A4 = 440. It is what was heard of the note less the cents that the
// hearing says it was off, so that a picture and the figures agree in any
// intonation; where that is not known, equal temperament at the reference heard.
func (h *Hearing) Target(n *Note, heard *dsp.Heard) float64 {
	even := float64(n.MIDI)
	if h.HeardA > 0 {
		even += 12 * math.Log2(h.HeardA/dsp.ReferenceA)
	}
	if heard == nil || n.State != StatePlayed || n.Cents == nil || n.Heard < 0 || n.Heard >= len(heard.Notes) {
		return even
	}
	own := heard.Notes[n.Heard].Pitch - *n.Cents/100
	even += 12 * math.Round((own-even)/12) // a part read in another octave
	if math.Abs(own-even) < 0.5 {
		return own
	}
	return even
}

// Belongs is Target, also of a note that was not heard in a take that sounds in another
// octave than it is written.
func (h *Hearing) Belongs(n *Note, heard *dsp.Heard) float64 {
	at := h.Target(n, heard)
	if n.State == StatePlayed && n.Cents != nil {
		return at
	}
	for i := range h.Notes {
		if o := &h.Notes[i]; o.State == StatePlayed && o.Cents != nil {
			return at + 12*math.Round((h.Target(o, heard)-float64(o.MIDI))/12)
		}
	}
	return at
}
