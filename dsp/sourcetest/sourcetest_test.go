package sourcetest

import (
	"errors"
	"io"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
)

// broken is a source that reads by a function.
type broken struct {
	rate func() int
	read func(buf []float32) (int, error)
}

func (b *broken) Rate() int {
	if b.rate == nil {
		return 8000
	}
	return b.rate()
}
func (b *broken) Read(buf []float32) (int, error) { return b.read(buf) }

// once gives the reads in turn and stays at the last one.
func once(reads ...func(buf []float32) (int, error)) func() dsp.Source {
	return func() dsp.Source {
		i := -1
		return &broken{read: func(buf []float32) (int, error) {
			i = min(i+1, len(reads)-1)
			return reads[i](buf)
		}}
	}
}

func gives(n int, err error) func([]float32) (int, error) {
	return func([]float32) (int, error) { return n, err }
}

func TestSoundInMemoryIsASource(t *testing.T) {
	sound := make([]float32, 20000)
	for i := range sound {
		sound[i] = float32(math.Sin(float64(i) / 20))
	}
	Check(t, func() dsp.Source { return &dsp.Samples{SampleRate: 44100, Data: sound} })
	Check(t, func() dsp.Source { return &dsp.Samples{SampleRate: 44100} })
}

func TestSourceThatAlwaysFailsAlikeKeepsTheContract(t *testing.T) {
	failure := errors.New("unplugged")
	assert.NoError(t, Contract(once(gives(1, nil), gives(0, failure))))
}

func TestBrokenSourcesAreCaught(t *testing.T) {
	opened := 0
	for what, open := range map[string]func() dsp.Source{
		"samples with the end":  once(gives(1, io.EOF)),
		"nothing and no error":  once(gives(0, nil)),
		"more than asked":       once(gives(1<<20, nil)),
		"fewer than none":       once(gives(-1, nil)),
		"goes on after the end": once(gives(1, nil), gives(0, io.EOF), gives(1, nil)),
		"another error then":    once(gives(0, errors.New("a")), gives(0, errors.New("b"))),
		"no number": once(func(buf []float32) (int, error) {
			buf[0] = float32(math.NaN())
			return 1, nil
		}, gives(0, io.EOF)),
		"beyond full scale": once(func(buf []float32) (int, error) {
			buf[0] = 1.01
			return 1, nil
		}, gives(0, io.EOF)),
		"length depends on the buffer": once(func(buf []float32) (int, error) {
			return len(buf), nil
		}, gives(0, io.EOF)),
		"no rate": func() dsp.Source {
			return &broken{rate: func() int { return 0 }, read: gives(0, io.EOF)}
		},
		"rate changes": func() dsp.Source {
			rate := 8000
			return &broken{rate: func() int { rate++; return rate }, read: gives(1, nil)}
		},
		"other sound each time": func() dsp.Source {
			opened++
			return once(func(buf []float32) (int, error) {
				buf[0] = float32(opened) / 100
				return 1, nil
			}, gives(0, io.EOF))()
		},
	} {
		assert.Error(t, Contract(open), what)
	}
}
