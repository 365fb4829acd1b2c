package sound

import (
	"math"
	"sync/atomic"
)

// clock relates the samples of a stream to the driver's time. Only the callback
// sets it.
type clock struct {
	zero    atomic.Uint64 // bits of the time at which sample 0 passed the converter, s
	known   atomic.Bool
	told    int // callbacks so far; the callback's own
	strange int // and how many lately did not agree with those before
}

// Callbacks come as the system finds time, some ms early or late, but crystals drift
// only slowly. Set by ear; no source.
const (
	clockSmoothing = 100  // callbacks that a reading is averaged over
	clockJump      = 0.03 // s from what was known at which a callback does not agree
	clockOutliers  = 5    // callbacks in a row that must not
)

// tell takes that the sample at a position passes the converter at a time.
func (c *clock) tell(position int64, rate int, time float64) {
	if time <= 0 || rate <= 0 {
		return
	}
	zero := time - float64(position)/float64(rate)
	if c.told > 0 {
		before := math.Float64frombits(c.zero.Load())
		if math.Abs(zero-before) > clockJump {
			// Lost sound, or a stream that began anew. Once it may be a callback that
			// came late; when it goes on, all before counts no more.
			if c.strange++; c.strange < clockOutliers {
				return
			}
			c.told, before = 0, zero
		}
		c.strange = 0
		zero = before + (zero-before)/float64(min(c.told+1, clockSmoothing))
	}
	c.told++
	c.zero.Store(math.Float64bits(zero))
	c.known.Store(true)
}

func (c *clock) start() (time float64, ok bool) {
	return math.Float64frombits(c.zero.Load()), c.known.Load()
}
