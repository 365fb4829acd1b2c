package tuning

import (
	"math"

	"endpin/dsp"
)

// harmonic takes in a harmonic that two strings share. Whose it is only the order
// tells: the lower string's comes first, then the upper's, and so on in turn. A
// turn is over when the harmonic stood and another sound begins; a change of bow
// begins none.
func (c *Check) harmonic(of common, hz float64, p pitch) {
	c.now.Harmonic = true
	if c.pair.Lower != of.lower.number {
		c.pair = Pair{Lower: of.lower.number, Upper: of.upper.number, LowerName: of.lower.name, UpperName: of.upper.name,
			LowerPartial: of.lowPart, UpperPartial: of.upPart}
		c.firm, c.begun = false, false
	}
	if c.begun {
		c.begun = false
		if c.firm {
			c.pair.UppersTurn, c.firm = !c.pair.UppersTurn, false
		}
	}
	i, partial := c.turn(of)
	c.now.String, c.now.Cents = c.strings[i].number, c.off(i, hz/float64(partial))
	c.pair.Waiting = c.firm
	if c.now.Trust == dsp.NotSure {
		return
	}
	c.now.Trust = dsp.Fair // the order is all that tells whose it is
	c.firm, c.pair.Waiting = true, true
	if c.pair.UppersTurn {
		c.pair.UpperHz = hz
	} else {
		c.pair.LowerHz = hz
	}
	c.read(i, hz/float64(partial), p, true)
	c.compare()
}

// turn is the string whose turn it is, and the partial by which it sounds.
func (c *Check) turn(of common) (i, partial int) {
	if c.pair.UppersTurn {
		return c.index(of.upper.number), of.upPart
	}
	return c.index(of.lower.number), of.lowPart
}

// Other says that the harmonic heard last was the other string's.
func (c *Check) Other() {
	p := &c.pair
	of, ok := c.common()
	if !ok || !c.firm {
		return
	}
	from, _ := c.turn(of)
	hz := p.LowerHz
	if p.UppersTurn {
		hz = p.UpperHz
	}
	was := c.heard[from]
	c.heard[from] = Reading{String: was.String, Name: was.Name}
	if p.UppersTurn {
		p.LowerHz, p.UpperHz = hz, 0
	} else {
		p.LowerHz, p.UpperHz = 0, hz
	}
	p.UppersTurn = !p.UppersTurn
	i, partial := c.turn(of)
	c.heard[i] = was
	c.heard[i].String, c.heard[i].Name, c.heard[i].Hz = c.strings[i].number, c.strings[i].name, hz/float64(partial)
	c.measure(i)
	c.compare()
}

func (c *Check) common() (common, bool) {
	for _, of := range c.pairs {
		if of.lower.number == c.pair.Lower {
			return of, true
		}
	}
	return common{}, false
}

// compare tells how the two of the pair beat. In equal temperament a fourth beats
// a little: 500 cents are 1.955 more than 4:3, so that at E and A the harmonics
// lie 0.19 Hz apart at A = 440.
func (c *Check) compare() {
	of, ok := c.common()
	if !ok {
		return
	}
	p := &c.pair
	low, up := of.lower.hz(c.a4), of.upper.hz(c.a4)
	p.Equal = Beats(low, up, of.lowPart, of.upPart)
	pure := dsp.Interval(float64(of.upPart), float64(of.lowPart))
	p.Narrow = 100*float64(of.upper.note-of.lower.note) - pure
	if !p.Both() {
		p.Beats, p.Wide, p.InTune = 0, 0, false
		return
	}
	p.Beats = math.Abs(p.LowerHz - p.UpperHz)
	p.Wide = dsp.Interval(p.LowerHz, p.UpperHz) - p.Narrow
	between := math.Min(math.Abs(p.Wide), math.Abs(p.Wide+p.Narrow))
	p.InTune = between <= c.tolerance
}
