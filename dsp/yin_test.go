package dsp

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The steps of YIN, written as the paper writes them, slow and obvious, to hold
// the fast ones against and to see that every step does what it is for (A. de
// Cheveigné and H. Kawahara, J. Acoust. Soc. Am. 111(4), 2002).

// autocorrelation is step 1: r(τ) = Σ x(j)·x(j+τ) over a window.
func autocorrelation(x []float64, window, lag int) float64 {
	sum := 0.0
	for j := 0; j < window; j++ {
		sum += x[j] * x[j+lag]
	}
	return sum
}

// difference is step 2: d(τ) = Σ (x(j) − x(j+τ))².
func difference(x []float64, window, lag int) float64 {
	sum := 0.0
	for j := 0; j < window; j++ {
		sum += (x[j] - x[j+lag]) * (x[j] - x[j+lag])
	}
	return sum
}

// normalised is step 3: d(τ) over the mean of d from 1 to τ.
func normalised(x []float64, window, longest int) []float64 {
	d := make([]float64, longest+1)
	d[0] = 1
	sum := 0.0
	for lag := 1; lag <= longest; lag++ {
		v := difference(x, window, lag)
		sum += v
		d[lag] = v * float64(lag) / sum
	}
	return d
}

// absoluteThreshold is step 4: the first dip deeper than 0.1, or the deepest.
func absoluteThreshold(d []float64, shortest int) int {
	best := shortest
	for lag := shortest; lag < len(d)-1; lag++ {
		if d[lag] < d[best] {
			best = lag
		}
	}
	for lag := shortest; lag < len(d)-1; lag++ {
		if d[lag] < 0.1 && d[lag] <= d[lag+1] {
			return lag
		}
	}
	return best
}

// paper estimates periods as the paper does after each of its steps, in samples.
type paper struct {
	x                         []float64
	window, shortest, longest int
}

func (p paper) estimate(step, at int) float64 {
	x := p.x[at:]
	switch step {
	case 1, 2:
		best, least := 0, math.Inf(1)
		for lag := p.shortest; lag < p.longest; lag++ {
			v := -autocorrelation(x, p.window, lag)
			if step == 2 {
				v = difference(x, p.window, lag)
			}
			if v < least {
				best, least = lag, v
			}
		}
		return float64(best)
	case 3:
		d := normalised(x, p.window, p.longest)
		best := p.shortest
		for lag := range d[:p.longest] {
			if lag > p.shortest && d[lag] < d[best] {
				best = lag
			}
		}
		return float64(best)
	case 4, 5:
		lag, _ := p.local(at, 0, math.Inf(1), step == 5)
		return lag
	}
	// Step 6: the best of the estimates within half the longest period about
	// here, then once more here, near that.
	best, deepest := 0.0, math.Inf(1)
	for near := max(0, at-p.longest/2); near <= min(len(p.x)-p.window-p.longest-1, at+p.longest/2); near += p.longest / 8 {
		if lag, dip := p.local(near, 0, math.Inf(1), true); dip < deepest {
			best, deepest = lag, dip
		}
	}
	lag, _ := p.local(at, 0.8*best, 1.2*best, true)
	return lag
}

// local is steps 4 and 5 at one place, among lags of a range.
func (p paper) local(at int, least, most float64, interpolate bool) (period, dip float64) {
	d := normalised(p.x[at:], p.window, p.longest)
	from, to := max(p.shortest, int(math.Ceil(least))), min(float64(p.longest), most)
	lag := absoluteThreshold(d[:int(to)+1], from)
	if !interpolate {
		return float64(lag), d[lag]
	}
	shift, dip := parabola(d[lag-1], d[lag], d[min(lag+1, len(d)-1)])
	if math.Abs(shift) > 1 {
		return float64(lag), d[lag]
	}
	return float64(lag) + shift, dip
}

// hardNotes are takes that trick a pitch tracker: weak fundamentals, strong
// formants, plucked and swelling notes, noise.
func hardNotes() (sounds [][]float32, truth []float64) {
	rng := rand.New(rand.NewSource(5))
	for i := 0; i < 150; i++ {
		midi := 28 + 27*rng.Float64()
		s := stroke{seconds: 0.6, freq: Steady(Hz(midi)), partials: phone(10 + 30*rng.Float64()), attack: 0.005, release: 0.01, gain: 0.7}
		switch i % 3 {
		case 0:
			s.decay = 60 * rng.Float64()
		case 1:
			s.attack = 0.3
		}
		if i%2 == 0 { // a resonance of the body on one harmonic
			s.partials[1+rng.Intn(4)] *= 4
		}
		x := sound(44100, 0.6, s)
		Noise(x, rmsLevel(x)-6-10*rng.Float64(), int64(i))
		sounds, truth = append(sounds, x), append(truth, Hz(midi))
	}
	return sounds, truth
}

func TestEveryStepOfYINHelps(t *testing.T) {
	accuracy(t)
	// Gross errors in the paper, over speech, %: from memory.
	published := []float64{10.0, 1.95, 1.69, 0.78, 0.77, 0.50}
	names := []string{"autocorrelation", "difference", "normalised", "threshold", "interpolated", "best local"}
	sounds, truth := hardNotes()
	var gross, fine [8]float64
	frames, without := 0.0, 0.0
	for n, x := range sounds {
		tr := newTracker(Bass, 44100, func(Frame) {})
		tr.decimated = newHistory(len(x)) // to keep all of it
		tr.push(x)
		y := tr.yin
		low := tr.decimated.at(0, tr.decimated.end())
		p := paper{low, y.window, y.minLag, y.maxLag}
		heard := track(t, x, 44100)
		for at := 300; at+y.span() < len(low)-300; at += 440 {
			frames++
			score := func(step int, hz float64) {
				if r := hz / truth[n]; r > 1.2 || r < 0.8 { // the paper's measure of a gross error
					gross[step]++
				} else {
					fine[step] += centsOff(hz, truth[n]) * centsOff(hz, truth[n])
				}
			}
			for step := 1; step <= 6; step++ {
				score(step, y.rate/p.estimate(step, at))
			}
			if f := heard[(at+tr.lead())/(tr.hop/tr.factor)]; f.Voiced {
				score(7, f.Freq)
			} else {
				without++
			}
		}
	}
	for step := 1; step <= 6; step++ {
		fine[step] = math.Sqrt(fine[step] / (frames - gross[step]))
		gross[step] *= 100 / frames
		t.Logf("%-16s gross %5.2f %% (the paper %5.2f), of the rest %5.1f cents", names[step-1], gross[step], published[step-1], fine[step])
	}
	fine[7] = math.Sqrt(fine[7] / (frames - without - gross[7]))
	gross[7] *= 100 / frames
	t.Logf("%-16s gross %5.2f %% (no pitch %5.2f),  of the rest %5.1f cents; %v frames", "ours over time", gross[7], 100*without/frames, fine[7], frames)

	const chance = 0.3 // %: steps 3 and 5 are for other things, and hardly change what is gross
	assert.Less(t, gross[2], gross[1], names[1])
	assert.LessOrEqual(t, gross[3], gross[2]+chance, names[2])
	assert.Less(t, gross[4], gross[3]/2, names[3])
	assert.LessOrEqual(t, gross[5], gross[4]+chance, names[4])
	assert.Less(t, fine[5], fine[4]/2, "interpolation is for accuracy")
	assert.Less(t, gross[6], gross[5], names[5])
	assert.LessOrEqual(t, gross[7], gross[6], "ours choose over time and at a pinch say nothing")
	assert.Less(t, 100*without/frames, 5.0)
	assert.Less(t, fine[7], fine[6], "and measure at the full rate")
}

func TestTheFastDifferenceIsTheObviousOne(t *testing.T) {
	for _, c := range []Config{Bass, {Low: 140, High: 500}} { // a window of many hops, and of less than one
		for _, rate := range []float64{5000, 44100.0 / 8, 48000.0 / 9, 8000, 9999} {
			hop := int(math.Round(hopSeconds * rate))
			y := newYin(c, rate, hop)
			rng := rand.New(rand.NewSource(2))
			x := make([]float64, y.span()+20*hop)
			for i := range x { // it swells and dies away: what is long past leaves no trace
				loud := math.Exp(-15 * math.Abs(float64(i)/float64(len(x))-0.3))
				x[i] = loud * (math.Sin(2*math.Pi*61.7/rate*float64(i)) + 0.1*rng.NormFloat64())
			}
			for at := 0; at+y.span() <= len(x); at += hop {
				frame := x[at : at+y.span()]
				y.candidates(frame, nil)
				slow := normalised(frame, y.window, y.maxLag)
				for lag, d := range y.diff {
					require.InDelta(t, slow[lag], d, 1e-9*math.Max(1, slow[lag]), "at %v Hz, from %d, a lag of %d", rate, at, lag)
				}
			}
		}
	}
}

func TestEveryDipIsACandidateAndTheCheapestStay(t *testing.T) {
	y := newYin(Bass, 44100.0/8, 55)
	x := make([]float64, y.span())
	for i := range x {
		for h := 1.0; h < 6; h++ {
			x[i] += math.Sin(2*math.Pi*98*h/y.rate*float64(i)) / h
		}
	}
	found := y.candidates(x, nil)
	require.NotEmpty(t, found)
	assert.InDelta(t, 98, found[0].freq, 0.3)
	octave := false
	for i, c := range found {
		assert.InDelta(t, y.rate, c.freq*c.lag, 1e-6)
		assert.True(t, i == 0 || found[i-1].cost <= c.cost, "cheapest first")
		octave = octave || math.Abs(centsOff(c.freq, 49)) < 20
	}
	assert.True(t, octave, "the octave below repeats as well, and costs more")

	var kept []candidate
	for i := 0; i < 50; i++ {
		kept = insert(kept, candidate{cost: float64((i*37)%50) / 50})
	}
	require.Len(t, kept, maxCandidates)
	for i, c := range kept {
		assert.Equal(t, float64(i)/50, c.cost)
	}
}

func TestSilenceAndAStepHaveNoCandidates(t *testing.T) {
	y := newYin(Bass, 44100.0/8, 55)
	silent, step := make([]float64, y.span()), make([]float64, y.span())
	for i := y.span() / 2; i < len(step); i++ {
		step[i] = 1
	}
	assert.Empty(t, y.candidates(silent, nil))
	for _, c := range newYin(Bass, 44100.0/8, 55).candidates(step, nil) {
		assert.False(t, math.IsNaN(c.cost) || math.IsNaN(c.freq))
	}
}

func TestAParabolaIsFoundExactly(t *testing.T) {
	for _, top := range []float64{-0.49, -0.1, 0, 0.3, 0.5} {
		f := func(x float64) float64 { return 2 + 3*(x-top)*(x-top) }
		at, value := parabola(f(-1), f(0), f(1))
		assert.InDelta(t, top, at, 1e-12)
		assert.InDelta(t, 2, value, 1e-12)
	}
	at, value := parabola(1, 1, 1)
	assert.Equal(t, []float64{0, 1}, []float64{at, value}, "a flat stretch has its extremum anywhere")
}
