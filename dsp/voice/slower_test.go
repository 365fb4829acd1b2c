package voice

import (
	"fmt"
	"io"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
)

// sounding is a sound as a source.
type sounding struct {
	Clip
	rate int
}

func (p *sounding) Rate() int { return p.rate }
func (p *sounding) Read(buf []float32) (int, error) {
	n := copy(buf, p.Clip)
	p.Clip = p.Clip[n:]
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}

// two are two notes of a second and a half, as bowed ones sound, with a pause between.
func two(rate int, hz ...float64) Clip {
	var x Clip
	for _, f := range hz {
		long := 3 * rate / 2
		for i := range long {
			t := float64(i) / float64(rate)
			shape := math.Min(1, math.Min(t/0.04, (1.5-t)/0.04))
			v := 0.0
			for k := 1; k <= 8; k++ {
				v += math.Sin(2*math.Pi*float64(k)*f*t+float64(k)) / float64(k)
			}
			x = append(x, float32(0.2*shape*v))
		}
		x = append(x, make(Clip, rate/2)...)
	}
	return x
}

// What is let pass is what the ear does: two cents of pitch, and 30 ms of when a note
// begins, less than a player's own unevenness.
func TestASlowerSoundHasItsPitchAndItsNotesInTheirPlaces(t *testing.T) {
	const rate = 44100
	for _, hz := range [][]float64{{41.2, 61.7}, {98, 146.8}, {196, 110}} {
		x := two(rate, hz...)
		for _, times := range []float64{1.25, 1.6, 2} {
			t.Run(fmt.Sprint(hz[0], " ", times), func(t *testing.T) {
				slow := Slower(x, rate, times)
				assert.InDelta(t, times*float64(len(x)), float64(len(slow)), 1)
				before, err := dsp.Listen(&sounding{x, rate}, dsp.Bass)
				require.NoError(t, err)
				after, err := dsp.Listen(&sounding{slow, rate}, dsp.Bass)
				require.NoError(t, err)
				require.Len(t, after.Notes, len(before.Notes))
				for i, n := range after.Notes {
					assert.InDelta(t, before.Notes[i].Pitch, n.Pitch, 0.02)
					assert.InDelta(t, times*before.Notes[i].Onset, n.Onset, 0.03)
				}
			})
		}
	}
}

func TestASlowerSoundIsAsLoudAndHasNoCracks(t *testing.T) {
	const rate = 44100
	x := two(rate, 98)
	slow := Slower(x, rate, 2)
	power := func(x Clip) float64 {
		sum := 0.0
		for _, v := range x {
			sum += float64(v) * float64(v)
		}
		return sum / float64(len(x))
	}
	assert.InDelta(t, 1, power(slow[rate/2:3*rate/2])/power(x[rate/4:3*rate/4]), 0.1)
	step := func(x Clip) (most float64) {
		for i := 1; i < len(x); i++ {
			most = math.Max(most, math.Abs(float64(x[i]-x[i-1])))
		}
		return most
	}
	assert.LessOrEqual(t, step(slow), 1.1*step(x))
	assert.Equal(t, x, Slower(x, rate, 1))
	assert.Equal(t, x[:100], Slower(x[:100], rate, 2), "too short to be laid over itself")
}

func BenchmarkSlower(b *testing.B) {
	x := two(44100, 98, 61.7)
	for b.Loop() {
		Slower(x, 44100, 1.6)
	}
}
