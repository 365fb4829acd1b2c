package pace_test

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/pace"
)

// measure is as long as four quarter notes at 80, s.
const measure = 3.0

// A player plays sixteen measures of our own rhythms. Times are nominal until played.
type player struct {
	rng  *rand.Rand
	page []float64 // when each note is written, s
	rate func(x float64) float64
	wait map[int]float64 // s before a note
	off  map[int]float64 // s that a note lies off by itself
}

func plays(seed int64) *player {
	p := &player{rng: rand.New(rand.NewSource(seed)), rate: func(float64) float64 { return 1 }, wait: map[int]float64{}, off: map[int]float64{}}
	figures := [][]float64{{1, 1, 1, 1}, {2, 1, 1}, {1, 1, 2}, {1, 0.5, 0.5, 1, 1}, {1.5, 0.5, 1, 1}, {0.5, 0.5, 0.5, 0.5, 2}, {2, 2}}
	x := 0.0
	for range 16 {
		for _, quarters := range figures[p.rng.Intn(len(figures))] {
			p.page = append(p.page, x)
			x += quarters * measure / 4
		}
	}
	return p
}

// played are the onsets, which scatter by so much, s.
func (p *player) played(jitter float64) []pace.Onset {
	out := make([]pace.Onset, len(p.page))
	now := 1.0
	for k, x := range p.page {
		if k > 0 {
			const steps = 20
			for s := range steps {
				dx := (x - p.page[k-1]) / steps
				now += dx * p.rate(p.page[k-1]+(float64(s)+0.5)*dx)
			}
			now += p.wait[k]
		}
		out[k] = pace.Onset{X: x, T: now + jitter*p.rng.NormFloat64() + p.off[k]}
	}
	return out
}

// breathing is a pace that goes up and down by a share over four measures.
func breathing(share float64) func(float64) float64 {
	return func(x float64) float64 { return 1 + share*math.Sin(2*math.Pi*x/(4*measure)) }
}

// causes are how many stretches go at another pace than the written one by more than a
// share, how often the beat is put off, and how many notes lie off by more than so many s.
func causes(onsets []pace.Onset, share, beyond float64) (paces, steps, off int) {
	places := pace.Follow(onsets, 1)
	for k, p := range places {
		if p.Step != 0 {
			steps++
		} else if math.Abs(onsets[k].T-p.Beat) > beyond {
			off++
		}
	}
	for _, s := range pace.Stretches(onsets, places) {
		if math.Abs(1/s.Rate-1) > share {
			paces++
		}
	}
	return paces, steps, off
}

const takes = 20 // of seeds that the model's numbers were set on

func TestAPaceThatBreathesIsOnePaceAndKeepsItsNotesOnTheBeat(t *testing.T) {
	for jitter, share := range map[float64]float64{0.012: 0.05, 0.025: 0.08} {
		clean := 0
		for seed := range int64(takes) {
			p := plays(seed)
			p.rate = breathing(0.03)
			if paces, steps, off := causes(p.played(jitter), share, 5*jitter); paces+steps+off == 0 {
				clean++
			}
		}
		assert.GreaterOrEqual(t, clean, takes*19/20, "jitter %g", jitter)
	}
}

func TestAPassageAtAnotherPaceIsFoundWithBothItsEnds(t *testing.T) {
	for _, depth := range []float64{0.65, 0.76, 0.9, 1.25} {
		for _, ramp := range []float64{0, measure} {
			for _, measures := range []float64{1, 3, 6} {
				found := 0
				for seed := range int64(takes) {
					p := plays(seed)
					from := measure * float64(3+p.rng.Intn(6))
					to := from + measures*measure
					breath := breathing(0.01)
					p.rate = func(x float64) float64 {
						in := 0.0
						switch {
						case x >= from && x < to:
							in = 1
						case ramp > 0 && x > from-ramp && x < from:
							in = 1 - (from-x)/ramp
						case ramp > 0 && x >= to && x < to+ramp:
							in = 1 - (x-to)/ramp
						}
						return breath(x) / (1 + (depth-1)*in)
					}
					o := p.played(0.012)
					places := pace.Follow(o, 1)
					for _, s := range pace.Stretches(o, places) {
						if math.Abs(o[s.From].X-from) <= measure && math.Abs(o[s.To].X-to) <= measure && math.Abs(1/s.Rate-depth) < 0.03*depth {
							found++
							break
						}
					}
				}
				assert.GreaterOrEqual(t, found, takes*9/10, "%.2f for %g measures, ramps of %g s", depth, measures, ramp)
			}
		}
	}
}

func TestHesitationsAreFoundWhereTheyAreAndAsLongAsTheyAre(t *testing.T) {
	right, all, other := 0, 0, 0
	for seed := range int64(takes) {
		p := plays(seed)
		p.rate = breathing(0.02)
		for k := 5; k < len(p.page)-5; k += 5 + p.rng.Intn(20) {
			p.wait[k] = 0.4 + 0.6*p.rng.Float64()
		}
		o := p.played(0.015)
		for k, q := range pace.Follow(o, 1) {
			w := p.wait[k]
			if w > 0 {
				all++
				if math.Abs(q.Step-w) < 0.1 {
					right++
				}
			} else if q.Step != 0 || q.Another || math.Abs(o[k].T-q.Beat) > 0.1 {
				other++
			}
		}
	}
	require.NotZero(t, all)
	assert.GreaterOrEqual(t, right, all*19/20)
	assert.LessOrEqual(t, other, all/20)
}

// One onset heard seconds from where it is, as under a string that rings, is one note
// mistaken: nobody waits and is at once as much too early, or comes too early and then waits.
func TestNobodyWaitsAndIsAtOnceAsMuchTooEarly(t *testing.T) {
	const slowly = 2 // times the written time
	for seed := range int64(takes) {
		p := plays(seed)
		breath := breathing(0.02)
		p.rate = func(x float64) float64 { return slowly * breath(x) }
		k := 5
		for p.page[k+1]-p.page[k] < measure/2 || p.page[k]-p.page[k-1] < measure/2 { // half notes
			k++
		}
		p.off[k] = 0.7 * slowly * measure / 2
		if seed%2 == 0 {
			p.off[k] = -p.off[k]
		}
		places := pace.Follow(p.played(0.015), slowly)
		assert.True(t, places[k].Off, "seed %d: note %d", seed, k)
		for i, q := range places {
			assert.Zero(t, q.Step, "seed %d, note %d: %d was mistaken, by %.2f s", seed, i, k, p.off[k])
		}
	}
}
