package tuning

import (
	"math"

	"endpin/dsp"
	"endpin/piece/fingerboard"
)

// Check listens to somebody who tunes. Strings may come in any order, open or by
// the harmonics that neighbours share; of two neighbours the lower one first,
// since the two sound alike. What was heard last of a string counts.
type Check struct {
	a4, tolerance float64
	strings       []open
	pairs         []common
	ear           standing
	heard         []Reading
	pair          Pair
	firm          bool // the harmonic whose turn it is has been heard
	begun         bool // another sound has begun, and nothing was made of it yet
	now           Now
}

// Reading is what is known of one string.
type Reading struct {
	String   int    // 1 is the highest
	Name     string // "G"
	Hz       float64
	Cents    float64   // from its note in equal temperament at the reference A
	Spread   float64   // cents, robust standard deviation of the steady part
	Trust    dsp.Trust // empty: not heard yet
	Harmonic bool      // by its harmonic, and taken for this string because it was its turn
	InTune   bool      // within the tolerance
}

// Now is what sounds at this moment.
type Now struct {
	Sounding bool
	String   int       // 0 where it is none that can be told
	Cents    float64   // of that string; moves while a peg is turned
	Steady   bool      // the pitch stands, and Cents is its median
	Trust    dsp.Trust // "not sure" until it stands
	Harmonic bool
	Why      Doubt // why it is not sure
}

// Doubt says why something is not sure.
type Doubt int

// The doubts.
const (
	None     Doubt = iota
	Soon           // it has only begun
	Weak           // too soft against the room
	Moving         // the pitch does not stand
	NoString       // no string lies near
	Mixed          // more than one string sounds, or it is loud without a pitch
	Swelling       // a harmonic swells and fades, as two do that sound at once
)

// Pair is two neighbouring strings compared by the harmonic that they share.
type Pair struct {
	Lower, Upper         int // strings; 0 for no pair
	LowerName, UpperName string
	LowerPartial         int // by which the lower string sounds: it is touched at this part of its length
	UpperPartial         int
	LowerHz, UpperHz     float64 // of the harmonics; 0 for not heard
	UppersTurn           bool    // else the lower's: who is heard now, or next
	Waiting              bool    // for the next, since the one before was heard
	Beats                float64 // a second, where both were heard
	Equal                float64 // a second, that they beat in equal temperament
	Narrow               float64 // cents that a pure interval is narrower than the equal-tempered one
	Wide                 float64 // cents that the interval is wider than the equal-tempered one
	InTune               bool    // within the tolerance of the equal-tempered interval, or of the pure one
}

// Both reports whether both harmonics were heard.
func (p Pair) Both() bool { return p.LowerHz > 0 && p.UpperHz > 0 }

// New begins a check of an instrument's strings at a reference A (Hz) within a
// tolerance (cents).
func New(in fingerboard.Instrument, a4, tolerance float64) *Check {
	c := &Check{a4: a4, tolerance: tolerance, strings: strung(in)}
	c.pairs = pairs(c.strings)
	for _, s := range c.strings {
		c.heard = append(c.heard, Reading{String: s.number, Name: s.name})
	}
	return c
}

// Set changes the reference A and the tolerance; what was heard stays and is
// measured anew.
func (c *Check) Set(a4, tolerance float64) {
	c.a4, c.tolerance = a4, tolerance
	for i := range c.heard {
		c.measure(i)
	}
	c.compare()
}

// Push takes in the next frames of the pitch track, in order.
func (c *Check) Push(frames ...dsp.Frame) {
	for _, f := range frames {
		c.ear.push(f)
		c.begun = c.begun || c.ear.fresh
	}
	c.look()
}

// Now is what sounds at this moment.
func (c *Check) Now() Now { return c.now }

// Strings are the readings, the lowest string first.
func (c *Check) Strings() []Reading { return append([]Reading(nil), c.heard...) }

// Pair is the pair that is being compared, if any.
func (c *Check) Pair() Pair { return c.pair }

// look makes of the sound so far what can be made of it.
func (c *Check) look() {
	c.now = Now{Sounding: c.ear.sounds(), Trust: dsp.NotSure}
	if c.ear.crowds() {
		c.now.Sounding, c.now.Why = true, Mixed
		return
	}
	if !c.now.Sounding {
		return
	}
	p, ok := c.ear.pitch()
	if !ok {
		c.now.Why = Soon
		return
	}
	midi := c.ear.middle()
	if c.now.Trust, c.now.Steady = p.trust(), p.stands(); c.now.Steady {
		midi = p.midi
	}
	c.now.Why = c.doubt(p)
	if i, ok := c.open(midi); ok {
		if p.mixed(midi - c.tuned(float64(c.strings[i].note))) {
			c.now.Trust, c.now.Why = dsp.NotSure, Mixed
			return
		}
		c.now.String, c.now.Cents = c.strings[i].number, c.off(i, dsp.Hz(midi))
		if c.begun {
			c.begun, c.pair = false, Pair{}
		}
		if c.now.Trust != dsp.NotSure {
			c.read(i, dsp.Hz(midi), p, false)
		}
		return
	}
	if pair, ok := c.shared(midi); ok {
		switch {
		case p.mixed(0):
			c.now.Trust, c.now.Why = dsp.NotSure, Mixed
			return
		case p.swing > beatingSwing:
			c.now.Trust, c.now.Why = dsp.NotSure, Swelling
			return
		case p.long < 2*shortestPitch && !p.dying && c.now.Trust != dsp.NotSure: // not yet told from two that beat
			c.now.Trust, c.now.Why = dsp.NotSure, Soon
		}
		c.harmonic(pair, dsp.Hz(midi), p)
		return
	}
	c.now.Trust, c.now.Why = dsp.NotSure, NoString
}

func (c *Check) doubt(p pitch) Doubt {
	switch {
	case c.now.Trust != dsp.NotSure:
		return None
	case p.level < sureLevel:
		return Weak
	case p.long < shortestPitch:
		return Soon
	}
	return Moving
}

// tuned is where a note of equal temperament lies at the reference A.
func (c *Check) tuned(note float64) float64 { return note + 12*math.Log2(c.a4/dsp.ReferenceA) }

// open finds the open string that a pitch belongs to.
func (c *Check) open(midi float64) (i int, ok bool) {
	for i, s := range c.strings {
		if d := midi - c.tuned(float64(s.note)); d >= -farBelow && d <= farAbove {
			return i, true
		}
	}
	return 0, false
}

// shared finds the pair whose harmonic a pitch is.
func (c *Check) shared(midi float64) (common, bool) {
	for _, p := range c.pairs {
		if math.Abs(midi-c.tuned(p.note())) <= sharedHarmonic {
			return p, true
		}
	}
	return common{}, false
}

// off is how far a string is from its note, cents.
func (c *Check) off(i int, hz float64) float64 { return dsp.Interval(c.strings[i].hz(c.a4), hz) }

func (c *Check) read(i int, hz float64, p pitch, harmonic bool) {
	r := &c.heard[i]
	r.Hz, r.Spread, r.Trust, r.Harmonic = hz, p.spread, c.now.Trust, harmonic
	c.measure(i)
}

func (c *Check) measure(i int) {
	if r := &c.heard[i]; r.Trust != "" {
		r.Cents = c.off(i, r.Hz)
		r.InTune = math.Abs(r.Cents) <= c.tolerance
	}
}

func (c *Check) index(number int) int {
	for i, s := range c.strings {
		if s.number == number {
			return i
		}
	}
	return -1
}

// Break forgets the sound going on, since what comes next does not follow it.
// Readings stay.
func (c *Check) Break() {
	c.ear.run, c.ear.stray, c.ear.faded, c.ear.crowd = nil, nil, false, c.ear.before
	c.now = Now{}
}
