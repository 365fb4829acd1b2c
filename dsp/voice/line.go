package voice

import (
	"math"
	"math/cmplx"

	"endpin/dsp"
)

// Note is one note to sound.
type Note struct {
	Onset, Length float64 // s
	MIDI          float64 // at A4 = 440
	Slurred       bool    // on the bow of the note before
}

const (
	lineLevel  = 0.5   // peak, about
	bowAttack  = 0.045 // s; a bowed string takes 50 to 90 ms (Guettler and Askenfelt 1997; from memory)
	bowRelease = 0.06
	bowGlide   = 0.03 // s from a note to a slurred one, half way at its onset
	topPartial = 5000.0
	carried    = 150.0 // Hz below which small loudspeakers are mute
)

// Line sounds notes one after another, which must be in order: a plain string
// tone at A4 = referenceA. The sound begins with second 0 of the notes and ends
// with the last one's release.
func Line(rate int, notes []Note, referenceA float64) Clip {
	if len(notes) == 0 {
		return nil
	}
	last := notes[len(notes)-1]
	x := make(Clip, int((last.Onset+last.Length+bowRelease)*float64(rate))+1)
	for i := 0; i < len(notes); {
		end := i + 1
		for end < len(notes) && notes[end].Slurred {
			end++
		}
		bow(x, rate, notes[i:end], referenceA/dsp.ReferenceA)
		i = end
	}
	return x
}

// bow adds one stroke with all notes that are slurred on it.
func bow(x Clip, rate int, notes []Note, tuning float64) {
	begin := notes[0].Onset
	stop := notes[len(notes)-1].Onset + notes[len(notes)-1].Length
	lowest := math.Inf(1)
	for _, n := range notes {
		lowest = math.Min(lowest, n.MIDI)
	}
	count := int(math.Min(topPartial, 0.45*float64(rate)) / (tuning * dsp.Hz(lowest)))
	phase, k, note := 0.0, 0, 0
	var f float64
	amps, phases := make([]float64, count), make([]complex128, count)
	for h := range phases {
		// Phases that grow by the square spread the energy over a period, where
		// equal ones would make a pulse of it, hard on a loudspeaker (M. R.
		// Schroeder, IEEE Trans. Inf. Theory 16, 1970; from memory).
		phases[h] = cmplx.Rect(1, math.Pi*float64(h*h)/float64(count))
	}
	for i := max(0, int(begin*float64(rate))); i < len(x); i++ {
		t := float64(i) / float64(rate)
		if t > stop+bowRelease {
			break
		}
		for note+1 < len(notes) && t >= notes[note+1].Onset-bowGlide/2 {
			note++
		}
		if k%64 == 0 { // the pitch moves slowly
			f = tuning * dsp.Hz(glided(notes, note, t))
			partials(amps, f, rate)
		}
		k++
		phase = math.Mod(phase+2*math.Pi*f/float64(rate), 2*math.Pi)
		sin, cos := math.Sincos(phase)
		step := complex(cos, sin)
		turn, v := step, 0.0
		for h, a := range amps {
			if a == 0 {
				break
			}
			v += a * imag(turn*phases[h])
			turn *= step
		}
		x[i] += float32(lineLevel * v * raised((t-begin)/bowAttack) * raised((stop+bowRelease-t)/bowRelease))
	}
}

// glided is the pitch at a time, where a slur slides over from the note before.
func glided(notes []Note, note int, t float64) float64 {
	p := notes[note].MIDI
	if note == 0 {
		return p
	}
	u := raised((t - notes[note].Onset + bowGlide/2) / bowGlide)
	return notes[note-1].MIDI + u*(p-notes[note-1].MIDI)
}

// partials gives the amplitudes of a string tone: as a bowed string's, 1/n, but
// lifted above what small loudspeakers carry and falling again above 2 kHz. Their
// squares add up to a constant, so that low notes are as loud as high ones.
func partials(amps []float64, hz float64, rate int) {
	sum := 0.0
	for h := range amps {
		f := hz * float64(h+1)
		if f > topPartial || f > 0.45*float64(rate) {
			amps[h] = 0
			continue
		}
		a := 1 / float64(h+1)
		if f > carried {
			a = math.Max(a, 0.35*math.Min(1, math.Sqrt(400/f)))
		}
		amps[h] = a / (1 + math.Pow(f/2000, 2))
		sum += amps[h] * amps[h]
	}
	scale := 0.5 / math.Sqrt(sum)
	for h := range amps {
		amps[h] *= scale
	}
}
