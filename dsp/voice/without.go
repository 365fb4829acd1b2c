package voice

import (
	"math"
	"math/cmplx"

	"endpin/dsp"
)

// Without is a source with a drone taken out that leaks into it. A drone is
// exactly known but for how loud and how late each of its partials comes back,
// and for how far the clocks of loudspeaker and microphone are apart; that is
// learned while nobody plays, and then followed. A bass that plays the same
// pitch, much louder, is not followed. A drone that stops, since the loudspeaker
// did, is not taken out any more, or the taking out would itself be a drone; it is
// again once it is heard as loud as before.
type Without struct {
	dsp.Source
	partials []partial
	heed     Heed
	learning int     // samples until it follows by itself
	rate     float64 // samples a second
	drift    float64 // of the microphone's clock against the loudspeaker's, a share
	loud     float64 // all partials together, as they were learned
	since    int     // samples since it last came into the steps
	gone     bool    // it does not sound any more
	alike    int     // samples for which it has seemed to have stopped, or to have come back
}

// partial is one of the drone's, as it comes back.
type partial struct {
	radians    float64    // a sample, by the microphone's clock
	turn, step complex128 // where it is in its period, and how it goes on
	heard      complex128 // how it comes back
	rising     complex128 // and how that changes from sample to sample, while it is learned
	turning    float64    // by how many radians a sample, while it is learned
	missed     complex128 // what is left of it lately, while it is followed
	learned    float64    // how loud it came back when it was learned
}

// Heed is how closely a drone is listened for.
type Heed int

// What can be heeded.
const (
	Learn  Heed = iota // it sounds and nobody plays
	Follow             // somebody may play
	Hold               // something else of its pitches sounds: keep to what is known
)

const (
	learnTime  = 0.03   // s that learning takes to come within 1/e
	turnTime   = 0.2    // s over which its turning is taken
	missedTime = 0.1    // s over which is looked for what is left
	followTime = 1.0    // s that following takes, afterwards
	driftTime  = 8.0    // s that the drift takes to follow
	playing    = 0.25   // of its own loudness: more is missed only because somebody plays there
	mostDrift  = 300e-6 // crystals are better than 100 millionths each; from memory
	stepEvery  = 512    // samples between two looks at the drift
	goneTime   = 0.15   // s for which all that is taken out is missed before it has stopped
	backTime   = 0.25   // s for which it is heard as loud as it was before it is back
	nearly     = 0.35   // share of its loudness within which either is so
	strong     = 0.1    // of the loudest partial: what is weaker says nothing
)

// NewWithout takes out a drone of hz. For the first seconds of the source, or
// with 0 until Heed says otherwise, the drone sounds and nobody plays.
func NewWithout(src dsp.Source, hz, seconds float64) *Without {
	rate := float64(src.Rate())
	w := &Without{Source: src, learning: int(seconds * rate), rate: rate}
	for h := range dronePartials {
		if f := hz * float64(h+1); f < 0.45*rate {
			r := 2 * math.Pi * f / rate
			w.partials = append(w.partials, partial{radians: r, turn: 1, step: cmplx.Rect(1, r)})
		}
	}
	return w
}

// Heed says how closely to listen from the next sample on; what NewWithout was
// told of seconds counts no more. A drone must have sounded for a second before
// it is more than learned.
func (w *Without) Heed(h Heed) {
	if w.learning = 0; w.heed == Learn && h != Learn {
		w.know()
	}
	w.gone = w.gone && h != Learn
	w.heed = h
}

// know takes the drift from how all partials turned together.
func (w *Without) know() {
	both, all := 0.0, 0.0
	w.loud = 0
	for i := range w.partials {
		p := &w.partials[i]
		weight := p.learned * p.learned
		both += weight * p.radians * p.turning
		all += weight * p.radians * p.radians
		w.loud += p.learned
	}
	if all > 0 {
		w.drift += both / all
		w.turnOn()
	}
}

// turnOn has all partials go on by the drift.
func (w *Without) turnOn() {
	w.drift = max(-mostDrift, min(mostDrift, w.drift))
	for i := range w.partials {
		p := &w.partials[i]
		p.step = cmplx.Rect(1, p.radians*(1+w.drift))
		p.turn /= complex(cmplx.Abs(p.turn), 0) // rounding must not let it grow
	}
}

// Read implements dsp.Source.
func (w *Without) Read(buf []float32) (int, error) {
	n, err := w.Source.Read(buf)
	for i, v := range buf[:n] {
		left := float64(v)
		for k := range w.partials {
			left -= real(w.partials[k].heard * w.partials[k].turn)
		}
		if w.learning > 0 {
			if w.learning--; w.learning == 0 {
				w.Heed(Follow)
			}
		}
		for k := range w.partials {
			p := &w.partials[k]
			missed := complex(2*left, 0) * cmplx.Conj(p.turn)
			switch w.heed {
			case Learn:
				p.learn(missed, w.rate)
			case Follow:
				w.follow(p, missed)
			}
			p.turn *= p.step
		}
		if w.since++; w.since >= stepEvery {
			w.since = 0
			w.turnOn()
			if w.heed == Follow {
				w.watch()
			}
		}
		buf[i] = float32(max(-1, min(1, left)))
	}
	return n, err
}

// learn is a critically damped tracker, with the change as a second unknown, so
// that a drone that fades in does not run ahead and become a note.
func (p *partial) learn(missed complex128, rate float64) {
	quick := 1 / (learnTime * rate)
	p.rising += complex(quick*quick, 0) * missed
	p.heard += p.rising + complex(2*quick, 0)*missed
	loud := cmplx.Abs(p.heard)
	p.learned += quick * (loud - p.learned)
	if loud > 0 {
		p.turning += (imag(p.rising*cmplx.Conj(p.heard))/(loud*loud) - p.turning) / (turnTime * rate)
	}
}

// follow goes slowly after what is missed, and the less the more is missed: so
// much does no drone change. What turns all partials alike is drift.
func (w *Without) follow(p *partial, missed complex128) {
	p.missed += (missed - p.missed) / complex(missedTime*w.rate, 0)
	if p.learned == 0 || w.gone {
		return
	}
	much := cmplx.Abs(p.missed) / (playing * p.learned)
	change := p.missed / complex(followTime*w.rate*(1+much*much), 0)
	p.heard += change
	turned := imag(change*cmplx.Conj(p.heard)) / (p.learned * p.learned)
	w.drift += turned / p.radians / (driftTime * w.rate) * p.learned / w.loud
}

// watch tells whether the drone has stopped: then of each partial just what is
// taken out is missed, turned about. And whether it is back, wherever in its period
// it is now.
func (w *Without) watch() {
	loudest, seen, so := 0.0, 0, true
	for i := range w.partials {
		loudest = max(loudest, w.partials[i].learned)
	}
	for i := range w.partials {
		p := &w.partials[i]
		if p.learned == 0 || p.learned < strong*loudest {
			continue
		}
		seen++
		if w.gone {
			so = so && math.Abs(cmplx.Abs(p.missed)-p.learned) < nearly*p.learned
		} else {
			so = so && cmplx.Abs(p.missed+p.heard) < nearly*cmplx.Abs(p.heard)
		}
	}
	if !so || seen < 2 { // one partial alone may be anybody's
		w.alike = 0
		return
	}
	w.alike += stepEvery
	switch long := float64(w.alike) / w.rate; {
	case !w.gone && long >= goneTime:
		w.gone, w.alike = true, 0
		for i := range w.partials {
			w.partials[i].heard, w.partials[i].missed = 0, 0
		}
	case w.gone && long >= backTime:
		w.gone, w.alike = false, 0
		for i := range w.partials {
			w.partials[i].heard, w.partials[i].missed = w.partials[i].missed, 0
		}
	}
}
