// Package sourcetest holds the contract of dsp.Source as a test, for everything
// that claims to be one.
package sourcetest

import (
	"errors"
	"fmt"
	"io"
	"testing"

	"endpin/dsp"
)

// Check fails the test where the source breaks the contract of dsp.Source. open
// opens the same finite sound anew each time.
func Check(t testing.TB, open func() dsp.Source) {
	t.Helper()
	if err := Contract(open); err != nil {
		t.Errorf("not a dsp.Source: %v", err)
	}
}

// Contract says in what the source breaks the contract of dsp.Source; nil for
// nothing. A source that fails on the way must fail alike each time.
func Contract(open func() dsp.Source) error {
	whole, rate, end, err := drain(open(), func(int) int { return 4096 })
	if err != nil {
		return err
	}
	// However it is asked, the sound is the same: one sample at a time, a prime
	// number, sizes that change, more than a block of any decoder.
	asked := map[string]func(i int) int{
		"1":        func(int) int { return 1 },
		"7":        func(int) int { return 7 },
		"changing": func(i int) int { return 1 + i*i%997 },
		"100000":   func(int) int { return 100000 },
	}
	for name, size := range asked {
		again, r, e, err := drain(open(), size)
		switch {
		case err != nil:
			return fmt.Errorf("buffers of %s: %w", name, err)
		case r != rate:
			return fmt.Errorf("rate %d the first time, %d the second", rate, r)
		case (e == io.EOF) != (end == io.EOF):
			return fmt.Errorf("buffers of %s: ended with %v, buffers of 4096 with %v", name, e, end)
		case len(again) != len(whole):
			return fmt.Errorf("buffers of %s: %d samples, buffers of 4096: %d", name, len(again), len(whole))
		}
		for i := range whole {
			if whole[i] != again[i] {
				return fmt.Errorf("buffers of %s: sample %d is %g, with buffers of 4096 it is %g",
					name, i, again[i], whole[i])
			}
		}
	}
	return nil
}

// drain reads the source to its end, which must come and stay.
func drain(s dsp.Source, size func(i int) int) (sound []float32, rate int, end, broken error) {
	if c, ok := s.(io.Closer); ok {
		defer c.Close()
	}
	rate = s.Rate()
	if rate <= 0 {
		return nil, rate, nil, fmt.Errorf("rate is %d", rate)
	}
	for i := 0; end == nil; i++ {
		buf := make([]float32, size(i))
		n, err := s.Read(buf)
		switch {
		case n < 0 || n > len(buf):
			return nil, rate, nil, fmt.Errorf("read %d samples into a buffer of %d", n, len(buf))
		case n > 0 && err != nil:
			return nil, rate, nil, fmt.Errorf("samples and an error together: (%d, %w)", n, err)
		case n == 0 && err == nil:
			return nil, rate, nil, errors.New("neither samples nor an error: (0, nil)")
		case s.Rate() != rate:
			return nil, rate, nil, fmt.Errorf("the rate changes from %d to %d", rate, s.Rate())
		}
		for _, x := range buf[:n] {
			if !(x >= -1 && x <= 1) {
				return nil, rate, nil, fmt.Errorf("sample %d is %g", len(sound), x)
			}
		}
		sound, end = append(sound, buf[:n]...), err
	}
	for range 3 {
		if n, err := s.Read(make([]float32, 16)); n != 0 || err != end {
			return nil, rate, nil, fmt.Errorf("over with %v, and then (%d, %v)", end, n, err)
		}
	}
	return sound, rate, end, nil
}
