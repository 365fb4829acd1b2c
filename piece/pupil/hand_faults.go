package pupil

import (
	"fmt"
	"math"
	"strings"

	"endpin/dsp/robust"
)

const nearCents = 10 // how near a displacement must be told

// displace moves the stopped notes of a frame together.
func (m *making) displace(f Frame, cents float64) (median float64) {
	var played []float64
	for _, step := range f.Steps {
		if s := m.at(step); s != nil { // it was not left out
			s.cents, s.taken = s.cents+cents, true
			played = append(played, s.cents)
		}
	}
	return robust.MedianOf(played)
}

// frame picks a frame after a shift that has from..to stopped notes, not more
// than two in five of all.
func (m *making) frame(from, to int, use func(Frame)) bool {
	stopped := 0
	for _, f := range m.frames {
		stopped += len(f.Steps)
	}
	return m.pick(len(m.frames), func(i int) bool {
		f := m.frames[i]
		n := len(f.Steps)
		if !f.AfterShift || n < from || n > to || 5*n > 2*stopped || !m.free(f.Steps...) {
			return false
		}
		use(f)
		return true
	})
}

func (m *making) frameFinding(f Frame, kind string, cents float64) Finding {
	found := m.here(kind, f.Steps[0], cents, nearCents)
	found.ToMeasure = m.Tune.Line[f.Steps[len(f.Steps)-1]].Number
	found.FrameSize = len(f.Steps)
	return found
}

// landed is the finding about a frame that a shift displaced. A note that is all its
// hand plays is another note from 60 cents on.
func (m *making) landed(f Frame, cents float64) Finding {
	if len(f.Steps) == 1 && math.Abs(cents) >= 60 {
		found := m.here("wrong_note", f.Steps[0], math.Copysign(1, cents), 0.5)
		found.FrameSize = 1
		return found
	}
	return m.frameFinding(f, sharpOrFlat(cents)+"_after_shift", cents)
}

// BadShift displaces one whole hand frame of from to to stopped notes.
func BadShift(from, to int) Fault {
	return Fault{Name: "bad shift", NeedsPitch: true, Plant: func(m *making) bool {
		return m.frame(from, to, func(f Frame) {
			m.expect(m.landed(f, m.displace(f, m.sign()*m.size(m.Level.FrameCents))))
		})
	}}
}

// LandsBy displaces one whole hand frame of two to nine stopped notes by so many cents.
func LandsBy(cents float64) Fault {
	return Fault{Name: fmt.Sprintf("a hand %+g cents off", cents), NeedsPitch: true, Plant: func(m *making) bool {
		return m.frame(2, 9, func(f Frame) { m.expect(m.landed(f, m.displace(f, cents))) })
	}}
}

// FarLanding displaces a frame by 60 to 120 cents: about a semitone.
func FarLanding(from, to int) Fault {
	return Fault{Name: "far landing", NeedsPitch: true, Plant: func(m *making) bool {
		return m.frame(from, to, func(f Frame) {
			m.expect(m.landed(f, m.displace(f, m.sign()*(60+60*m.rng.Float64()))))
		})
	}}
}

// OpeningFrame displaces the notes before the first shift.
var OpeningFrame = Fault{Name: "opening frame", NeedsPitch: true, Plant: func(m *making) bool {
	if len(m.frames) < 3 || len(m.frames[0].Steps) < 2 || !m.free(m.frames[0].Steps...) {
		return false
	}
	f := m.frames[0]
	stopped := 0
	for _, other := range m.frames {
		stopped += len(other.Steps)
	}
	if 5*len(f.Steps) > 2*stopped {
		return false
	}
	cents := m.displace(f, m.sign()*m.size(m.Level.FrameCents))
	m.expect(m.frameFinding(f, sharpOrFlat(cents), cents))
	return true
}}

// strayMost is as far as a note lies off that is certainly not told as another, cents: from
// 60 on one note alone is (design).
const strayMost = 55

// StrayFinger puts one note off, in the middle of a frame of at least four, by
// 1.5 to 3 times the tolerance and no more than strayMost.
var StrayFinger = Fault{Name: "one note sharp or flat", NeedsPitch: true, Plant: func(m *making) bool {
	return m.inFrame(4, func(step int) bool {
		s := m.at(step)
		if m.seconds(s.length) < 0.3 {
			return false
		}
		s.cents += m.sign() * min(strayMost, m.size(m.Level.NoteCents))
		m.claim(step)
		m.expect(m.here(sharpOrFlat(s.cents), step, s.cents, nearCents))
		return true
	})
}}

// inFrame picks a note that neither opens nor closes a frame of at least size
// stopped notes, with free neighbours.
func (m *making) inFrame(size int, use func(step int) bool) bool {
	return m.pick(len(m.frames), func(i int) bool {
		steps := m.frames[i].Steps
		if len(steps) < size {
			return false
		}
		return m.pick(len(steps)-2, func(j int) bool {
			return m.inner(steps[j+1]) && m.free(steps...) && use(steps[j+1])
		})
	})
}

// HandSpan narrows (or widens) the hand: in every frame that uses the first and the
// fourth finger the fourth is off, by no more than 45 cents, and the second by half.
func HandSpan(kind string) Fault {
	return Fault{Name: strings.ReplaceAll(kind, "_", " "), NeedsPitch: true, Plant: func(m *making) bool {
		return m.span(kind, func(f Frame) bool { return m.free(f.Steps...) })
	}}
}

func (m *making) span(kind string, in func(Frame) bool) bool {
	var frames []Frame
	fourths := 0
	for _, f := range m.frames {
		first, fourth := 0, 0
		for _, step := range f.Steps {
			switch m.Tune.Line[step].Finger {
			case "1":
				first++
			case "4":
				fourth++
			}
		}
		if first > 0 && fourth > 0 && in(f) {
			frames = append(frames, f)
			fourths += fourth
		}
	}
	if fourths < 3 {
		return false
	}
	cents := min(45, m.size(m.Level.FrameCents))
	if kind == "narrow_hand" {
		cents = -cents
	}
	for _, f := range frames {
		for _, step := range f.Steps {
			s := m.at(step)
			if s == nil { // it was left out
				continue
			}
			s.taken = true
			switch m.Tune.Line[step].Finger {
			case "2":
				s.cents += cents / 2
			case "4":
				s.cents += cents
			}
		}
	}
	last := frames[len(frames)-1].Steps
	found := m.here(kind, frames[0].Steps[0], cents, nearCents)
	found.ToMeasure, found.Anywhere = m.Tune.Line[last[len(last)-1]].Number, true
	m.expect(found)
	return true
}

// Tuned tunes the whole bass away from A4 = 440.
var Tuned = Fault{Name: "whole bass out of tune", NeedsPitch: true, Plant: func(m *making) bool {
	if m.a4 != 0 {
		return false
	}
	cents := m.sign() * m.size(m.Level.TuneCents)
	m.a4 = 440 * exp2cents(cents)
	m.expect(m.whole("tuning", cents, nearCents))
	return true
}}

// Tuned436 tunes the whole bass to A4 = 436 Hz, 15.8 cents low: only where that
// is at least 1.5 times the tolerance, and nothing else has tuned it.
var Tuned436 = Fault{Name: "whole bass at A = 436", NeedsPitch: true, NotFirstYear: true, Plant: func(m *making) bool {
	const cents = -15.81
	if m.a4 != 0 || -cents < 1.5*m.Level.TuneCents {
		return false
	}
	m.a4 = 436
	m.expect(m.whole("tuning", cents, nearCents))
	return true
}}

// StringOut puts one open string out, and with it all that is stopped on it: a
// string that sounds open at least twice and carries less than two notes in five.
var StringOut = Fault{Name: "one string out", NeedsPitch: true, Plant: func(m *making) bool {
	return m.pick(4, func(i int) bool {
		var on []int
		open := 0
		for step, s := range m.Tune.Line {
			if s.String == i+1 {
				on = append(on, step)
				if s.Open() {
					open++
				}
			}
		}
		if open < 2 || 5*len(on) > 2*len(m.Tune.Line) || !m.free(on...) {
			return false
		}
		cents := m.sign() * m.size(m.Level.TuneCents)
		for _, step := range on {
			m.at(step).cents += cents
		}
		m.claim(on...)
		m.expect(m.whole("tuning", cents, nearCents))
		return true
	})
}}

// CorrectedLanding lands off and slides into place within half a second: the
// first note of a frame, long enough for it.
var CorrectedLanding = Fault{Name: "landing corrected", NeedsPitch: true, NeedsBow: true, NotRecorded: true, Plant: func(m *making) bool {
	return m.pick(len(m.frames), func(i int) bool {
		f := m.frames[i]
		if !f.AfterShift || !m.free(f.Steps...) {
			return false
		}
		s := m.at(f.Steps[0])
		if m.seconds(s.length) < 1 || s.slurred {
			return false
		}
		s.settleCents = m.sign() * m.size(m.Level.FrameCents)
		s.settleMS = 450
		m.claim(f.Steps...)
		found := m.here(sharpOrFlat(s.settleCents)+"_after_shift", f.Steps[0], 0, 0)
		found.FrameSize = 1
		m.expect(found)
		return true
	})
}}

// Scattered puts the stopped notes all over, by a standard deviation of 1 to 1.4 times what
// one note may be off.
var Scattered = Fault{Name: "notes scattered all over", NeedsPitch: true, Plant: func(m *making) bool {
	return m.scattered(func() float64 { return m.Level.NoteCents * (1 + 0.4*m.rng.Float64()) }, true)
}}

// ScatteredBy puts them all over by a standard deviation of so many cents. Where that is no
// fault, nothing must be told of them.
func ScatteredBy(cents float64, fault bool) Fault {
	return Fault{Name: fmt.Sprintf("scatter of %g cents", cents), NeedsPitch: true, Plant: func(m *making) bool {
		return m.scattered(func() float64 { return cents }, fault)
	}}
}

// scattered puts the stopped notes beside where they belong, none of them by more than 70
// cents, which would be another note.
func (m *making) scattered(by func() float64, fault bool) bool {
	var stopped []int
	for i, s := range m.Tune.Line {
		if !s.Open() && m.free(i) {
			stopped = append(stopped, i)
		}
	}
	if len(stopped) < 16 {
		return false
	}
	off := make([]float64, len(stopped))
	for k := range off {
		off[k] = m.rng.NormFloat64()
	}
	sd := by() / robust.SpreadAbout(off, 0) // so few may be drawn nearer together or farther apart
	var played []float64
	for k, i := range stopped {
		s := m.at(i)
		s.cents = max(-70, min(70, s.cents+sd*off[k]))
		played = append(played, s.cents)
	}
	m.claim(stopped...)
	if scatter := robust.SpreadAbout(played, 0); fault {
		m.expect(m.whole("uneven", scatter, 0.35*scatter)) // of so few notes it is known no better
	}
	for _, kind := range []string{"sharp", "flat", "sharp_after_shift", "flat_after_shift"} { // what lies off by more than all the rest is off as well
		for i := range stopped {
			m.allow(m.here(kind, stopped[i], 0, 0))
		}
	}
	return true
}

// NarrowAndOff narrows the hand wherever it lies, and displaces one frame besides. Single
// faults beside it are of other things than cents.
var NarrowAndOff = Fault{Name: "a narrow hand and a frame off", NeedsPitch: true, Structural: true, Plant: func(m *making) bool {
	narrow := m.span("narrow_hand", func(Frame) bool { return true })
	return narrow && m.pick(len(m.frames), func(i int) bool {
		f := m.frames[i]
		stopped := 0
		for _, other := range m.frames {
			stopped += len(other.Steps)
		}
		if !f.AfterShift || len(f.Steps) < 3 || 5*len(f.Steps) > 2*stopped {
			return false
		}
		cents := m.sign() * m.size(m.Level.FrameCents)
		m.displace(f, cents)
		m.expect(m.frameFinding(f, sharpOrFlat(cents)+"_after_shift", cents))
		return true
	})
}}
