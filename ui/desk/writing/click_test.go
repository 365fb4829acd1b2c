package writing

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/piece"
)

func TestTheClickGoesRoundInWhatOneCountsIn(t *testing.T) {
	const rate = 48000
	for _, c := range []struct {
		time  piece.Time
		qpm   float64
		every int // samples
		n     int
	}{{piece.Time{Beats: 3, Unit: 4}, 90, 32000, 3}, {piece.Time{Beats: 6, Unit: 8}, 90, 48000, 2}, {piece.Time{Beats: 2, Unit: 2}, 120, 48000, 2}} {
		round := clicks(rate, c.time, c.qpm)
		assert.Len(t, round, c.n*c.every)
		heard := make([]float32, 2*len(round))
		assert.True(t, round.Play(heard, 0), "it has no end")
		var at []int
		for i, v := range heard {
			if v*v > 1e-4 && (len(at) == 0 || i-at[len(at)-1] > rate/10) {
				at = append(at, i)
			}
		}
		assert.Len(t, at, 2*c.n)
		for i := range at {
			assert.InDelta(t, i*c.every, at[i], rate/100, "click %d of %v", i, c.time)
		}
	}
}
