package dsp

// correlation is, for each lag, the sum of x[j]·x[j+lag] over a window that moves on
// by a hop at a time. Two neighbouring windows share all but a hop of their products,
// so these are summed hop by hop and each hop's sums are made once. They are added up
// anew for every window: nothing is taken away again, and no rounding piles up.
type correlation struct {
	window, hop int
	hops        [][]float64 // sums of the whole hops in the window
	oldest      int         // of hops
	rest        []float64   // sums of what the window holds beyond them
	sums        []float64   // of the window, by lag
	begun       bool
}

func newCorrelation(window, hop, maxLag int) *correlation {
	c := &correlation{window: window, hop: hop, hops: make([][]float64, window/hop)}
	for i := range c.hops {
		c.hops[i] = make([]float64, maxLag+1)
	}
	c.rest, c.sums = make([]float64, maxLag+1), make([]float64, maxLag+1)
	return c
}

// next moves on to the window at the start of x, which lies a hop after the last one.
// x goes on beyond the window for the longest lag.
func (c *correlation) next(x []float64) []float64 {
	whole := len(c.hops) * c.hop
	switch {
	case !c.begun:
		for i, sums := range c.hops {
			products(x, i*c.hop, (i+1)*c.hop, sums)
		}
		c.begun = true
	case len(c.hops) > 0:
		// What lay beyond the whole hops is now a part of the newest, which takes the
		// oldest one's place.
		products(x, c.window-c.hop, whole, c.rest)
		c.hops[c.oldest], c.rest = c.rest, c.hops[c.oldest]
		c.oldest = (c.oldest + 1) % len(c.hops)
	}
	clear(c.rest)
	products(x, whole, c.window, c.rest)
	copy(c.sums, c.rest)
	for _, sums := range c.hops {
		for lag, v := range sums {
			c.sums[lag] += v
		}
	}
	return c.sums
}

// products adds to each lag's sum the products from one place of x to another.
func products(x []float64, from, to int, sums []float64) {
	near := x[from:to]
	for lag := range sums {
		sums[lag] += dot(near, x[from+lag:])
	}
}
