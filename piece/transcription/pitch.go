package transcription

import (
	"math"

	"endpin/dsp"
)

// A note's track follows one period, and what rings on, or a body that answers, gives it
// another: an octave below, or the resonance that a plucked string wakes. All partials
// together tell which of several pitches explains the sound; what they leave open the line
// tells, as far as it goes by step and stays on the instrument. Both are probabilities, and
// the likeliest way through all notes is taken.
//
// Tuned on the 21 phrases of testdata/figures/phrases.md.
const (
	perCost  = 0.25 // nats that one of the partials' cost is worth: by theory half, but its samples are not independent
	misheard = 8    // nats: so seldom is the track elsewhere
	outside  = 10   // nats: so seldom does a note lie below the lowest string

	ownReach    = 0.35 // semitones about the track that are its own
	besideReach = 1.3  // … and that a resonance draws it by
	pitchGrid   = 0.1  // between the pitches tried

	proofSkip = 0.05 // s after the onset that are not asked …
	proofLate = 0.12 // … where there is room enough
	proofMost = 0.35 // s that are asked
	proofRing = 0.3  // s that a note is asked for at least, where no other begins: it rings
	proofEnd  = 0.02 // s before the next that are not asked
)

// reading is a pitch that a note may have.
type reading struct {
	pitch   float64
	against float64 // how much speaks against it, nats
	proof   float64 // what of that it would lose if its partials were there before
}

// readings are the pitches that the i-th note heard may have, the track's own first.
func readings(h *dsp.Heard, i int) []reading {
	n := &h.Notes[i]
	end := max(n.Offset, n.Onset+proofRing)
	if i+1 < len(h.Notes) {
		end = min(end, h.Notes[i+1].Onset)
	}
	from, to := n.Onset+proofSkip, end-proofEnd
	if to-from > proofMost {
		from = n.Onset + proofLate
	}
	s := h.Stretch(from, min(to, from+proofMost))
	own := []reading{{n.Pitch, 0, 0}}
	if s == nil {
		return own
	}
	fit := func(about, from, to float64) reading {
		best := reading{about, 0, 0} // what no partials explain speaks for none
		for d := from; d <= to+pitchGrid/2; d += pitchGrid {
			if cost, _ := s.Explained(about + d); perCost*cost < best.against {
				best = reading{about + d, perCost * cost, 0}
			}
		}
		return best
	}
	own[0].against = fit(n.Pitch, -ownReach, ownReach).against
	above := fit(n.Pitch+12, -ownReach, ownReach)
	above.proof = max(0, own[0].against-above.against)
	for _, other := range []reading{
		fit(n.Pitch, -besideReach, -ownReach), fit(n.Pitch, ownReach, besideReach), fit(n.Pitch-12, -ownReach, ownReach), above,
	} {
		other.against += misheard
		own = append(own, other)
	}
	return own
}

// interval is how rare it is that one note follows another, nats: melodies go by step, with
// a variance of 7.2 semitones² (D. Temperley, "A probabilistic model of melody perception",
// Cognitive Science 32, 2008, on the Essen folk songs; from memory), and one note in ten goes
// anywhere within two octaves (common practice in exercises, no source).
func interval(semitones float64) float64 {
	const variance, anywhere = 7.2, 0.1
	step := math.Exp(-semitones*semitones/(2*variance)) / math.Sqrt(2*math.Pi*variance)
	return -math.Log((1-anywhere)*step + anywhere/49)
}

// likeliest takes the likeliest of the readings of each note, all together, and tells how
// likely it is that each is another. low is the lowest string, MIDI.
func likeliest(all [][]reading, low int) (taken []int, another []float64) {
	// to and on are the least that speaks against the ways to a reading and on from it.
	to, on := make([][]float64, len(all)), make([][]float64, len(all))
	back := make([][]int, len(all))
	step := func(a, b reading) float64 {
		price := interval(math.Round(b.pitch - a.pitch))
		if math.Round(b.pitch-a.pitch) == 0 {
			price += b.proof // the note before may ring in it: one an octave lower hides under that
		}
		return price
	}
	alone := func(r reading) float64 {
		if r.pitch < float64(low)-0.5 {
			return r.against + outside
		}
		return r.against
	}
	for i := range all {
		to[i], back[i] = make([]float64, len(all[i])), make([]int, len(all[i]))
		for k, r := range all[i] {
			best := 0.0
			if i > 0 {
				best = math.Inf(1)
				for j, p := range all[i-1] {
					if c := to[i-1][j] + step(p, r); c < best {
						best, back[i][k] = c, j
					}
				}
			}
			to[i][k] = best + alone(r)
		}
	}
	for i := len(all) - 1; i >= 0; i-- {
		on[i] = make([]float64, len(all[i]))
		if i+1 == len(all) {
			continue
		}
		for k, r := range all[i] {
			on[i][k] = math.Inf(1)
			for j, n := range all[i+1] {
				on[i][k] = min(on[i][k], step(r, n)+alone(n)+on[i+1][j])
			}
		}
	}
	taken, another = make([]int, len(all)), make([]float64, len(all))
	for i := len(all) - 1; i >= 0; i-- {
		if i+1 < len(all) {
			taken[i] = back[i+1][taken[i+1]]
		} else {
			for k := range all[i] {
				if to[i][k] < to[i][taken[i]] {
					taken[i] = k
				}
			}
		}
		best, other := to[i][taken[i]]+on[i][taken[i]], math.Inf(1)
		for k, r := range all[i] {
			if math.Round(r.pitch-all[i][taken[i]].pitch) != 0 {
				other = min(other, to[i][k]+on[i][k])
			}
		}
		another[i] = 1 / (1 + math.Exp(min(other-best, 50)))
	}
	return taken, another
}
