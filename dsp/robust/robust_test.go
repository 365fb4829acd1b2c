package robust

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The example worked by Sen (1968), as the reference implementation's own tests
// give it: slope 4, and from 3.71 to 4.38 with confidence 0.93.
func TestSensOwnExample(t *testing.T) {
	f, ok := TheilSen([]float64{1, 2, 3, 4, 10, 12, 18}, []float64{9, 15, 19, 20, 45, 55, 78}, 0.93)
	require.True(t, ok)
	assert.InDelta(t, 4, f.Slope, 1e-12)
	assert.InDelta(t, 4, f.Intercept, 1e-12)
	assert.InDelta(t, 3.71, f.Low, 0.005)
	assert.InDelta(t, 4.38, f.High, 0.005)
}

// scipy.stats.theilslopes on the same numbers, ties in both among them.
func TestTheilSenAgreesWithSciPy(t *testing.T) {
	const script = `import json, sys
from scipy import stats
out = []
for c in json.load(sys.stdin):
    r = stats.theilslopes(c["Y"], c["X"], c["C"])
    out.append([r[0], r[1], r[2], r[3]])
print(json.dumps(out))`
	rng := rand.New(rand.NewSource(7))
	type points struct {
		X, Y []float64
		C    float64
	}
	var all []points
	for k := 0; k < 200; k++ {
		p := points{C: []float64{0.8, 0.9, 0.95, 0.99}[k%4]}
		for i := 0; i < 8+rng.Intn(40); i++ {
			x, y := rng.Float64()*30, rng.NormFloat64()*20
			if k%2 == 1 { // whole days and cents: many ties
				x, y = float64(int(x)), float64(int(y))
			}
			p.X, p.Y = append(p.X, x), append(p.Y, y)
		}
		all = append(all, p)
	}
	asked, err := json.Marshal(all)
	require.NoError(t, err)
	python := "/usr/bin/python3"
	if exec.Command(python, "-c", "import scipy").Run() != nil {
		python = "python3"
	}
	if exec.Command(python, "-c", "import scipy").Run() != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("python3-scipy is not installed")
		}
		t.Skip("python3-scipy is not installed")
	}
	c := exec.Command(python, "-c", script)
	c.Stdin = strings.NewReader(string(asked))
	c.Stderr = os.Stderr
	said, err := c.Output()
	require.NoError(t, err)
	var want [][4]float64
	require.NoError(t, json.Unmarshal(said, &want))
	require.Len(t, want, len(all))
	for i, p := range all {
		f, _ := TheilSen(p.X, p.Y, p.C)
		assert.InDeltaSlice(t, want[i][:], []float64{f.Slope, f.Intercept, f.Low, f.High}, 1e-9, fmt.Sprint(i, " ", p))
	}
}

// Confidence intervals for the median: a textbook's Table A.7 ("Confidence
// Intervals for the Population Median", n up to 20, as found in public), by the
// rank of the interval's lower end and its confidence in per cent.
func TestTheMediansIntervalAgreesWithTheTable(t *testing.T) {
	for _, c := range []struct {
		n, rank int
		percent float64
	}{
		{5, 1, 93.8}, {6, 1, 96.9}, {6, 2, 78.1}, {7, 1, 98.4}, {7, 2, 87.5}, {8, 2, 93.0}, {9, 2, 96.1}, {10, 2, 97.9},
		{10, 3, 89.1}, {11, 2, 98.8}, {11, 3, 93.5}, {12, 3, 96.1}, {13, 3, 97.8}, {14, 4, 94.3}, {15, 4, 96.5},
		{16, 4, 97.9}, {17, 5, 95.1}, {18, 5, 96.9}, {19, 5, 98.1}, {20, 5, 98.8}, {20, 6, 95.9}, {20, 7, 88.5},
	} {
		assert.Equal(t, c.rank, medianRank(c.n, c.percent/100-0.0006), "%d values, %v %%", c.n, c.percent)
		assert.Less(t, medianRank(c.n, c.percent/100+0.0006), c.rank, "%d values, %v %%", c.n, c.percent)
	}
	// Snedecor and Cochran, Statistical Methods, as statpsych's documentation of
	// its ci.median quotes it: from 10.8 to 30.9 at 95 %.
	lo, hi, ok := MedianInterval([]float64{30.2, 20.4, 15.1, 10.2, 10.5, 60.8, 20.8, 25.0, 20.7, 30.9, 10.8, 5.1, 50.9, 40.0, 20.9, 10.8, 0, 20.5, 50.8}, 0.95)
	assert.True(t, ok)
	assert.Equal(t, []float64{10.8, 30.9}, []float64{lo, hi})
	_, _, ok = MedianInterval([]float64{1, 2, 3, 4, 5}, 0.95)
	assert.False(t, ok, "five values are too few")
}

func TestAWildLandingPullsNeitherMedianNorSpread(t *testing.T) {
	x := []float64{-10, -5, 0, 5, 10}
	wild := append(x[:4:4], 4000)
	assert.Equal(t, 0.0, Median(wild))
	assert.InDelta(t, Spread(x), Spread(wild), 1e-9)
	assert.Less(t, Centre(wild), 20.0)
}

func TestTheMiddleOfARowIsItsMedian(t *testing.T) {
	x := []float64{5, 1, 4, 1, 3, 9, 2}
	assert.Equal(t, []float64{4, 4, 3, 3, 3, 3, 3}, Running(x, 2))
	assert.Equal(t, 3.0, Median(x))
	assert.Equal(t, []float64{5, 1, 4, 1, 3, 9, 2}, x, "nothing has moved")
	assert.Equal(t, 2.5, Median([]float64{4, 1, 2, 3}))
	assert.True(t, math.IsNaN(Median(nil)))
}

// Whatever the numbers, the middle is found where sorting puts it.
func TestTheMedianIsThatOfTheSortedNumbers(t *testing.T) {
	rng := rand.New(rand.NewSource(5))
	for n := 1; n < 200; n++ {
		x := make([]float64, n)
		for i := range x {
			x[i] = float64(rng.Intn(n)) - 20
		}
		s := slices.Sorted(slices.Values(x))
		assert.Equal(t, (s[(n-1)/2]+s[n/2])/2, Median(x), x)
	}
}

func TestOnlyPointsFarApartTellASlope(t *testing.T) {
	assert.InDelta(t, 2, Slope([]float64{0, 1, 2, 3}, []float64{0, 9, 4, 6}), 1e-12, "the slopes 2, 2 and -1.5")
	assert.True(t, math.IsNaN(Slope([]float64{1, 1, 1}, []float64{1, 2, 3})))
}
