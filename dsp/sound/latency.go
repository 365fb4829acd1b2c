package sound

import (
	"context"
	"errors"
	"io"
	"math"
	"slices"
	"time"

	"endpin/dsp"
)

// Latency is how much later a loudspeaker is heard in a microphone than the two
// devices' own figures say, air between them included. The zero value is what to
// use before Measure: the devices' own figures, no more than fair.
type Latency struct {
	Seconds float64
	Spread  float64 // s, between the ticks
	Ticks   int     // heard, of those played; 0 for not measured
}

// Trust says how far "late" may be believed with it.
func (l Latency) Trust() dsp.Trust {
	switch {
	case l.Ticks == 0:
		return dsp.Fair
	case l.Ticks < ticks*3/4 || l.Spread > 0.005:
		return dsp.NotSure
	}
	return dsp.Sure
}

// ErrNoTick is when the loudspeaker was not heard in the microphone.
var ErrNoTick = errors.New("the ticks were not heard, or never at the same distance; turn the loudspeaker up, or hold the headphones to the microphone")

const (
	ticks        = 8
	tickSeconds  = 0.012
	tickLow      = 1500.0 // Hz: laptop loudspeakers carry it, and rooms do not rumble there
	tickHigh     = 5500.0
	tickLevel    = 0.5
	longestRound = 0.8   // s beyond the devices' own figures that is still sought
	agree        = 0.008 // s
	tickMatch    = 0.3   // correlation above which a tick was heard
)

// tickAt are the places of the ticks, s from the first: further apart than the
// time over which one is sought, so that none is taken for its neighbour.
func tickAt(i int) float64 { return 1.1 * float64(i) }

// tick is a short sweep: its correlation has one sharp peak.
func tick(rate int) []float32 {
	x := make([]float32, int(tickSeconds*float64(rate)))
	for i := range x {
		t := float64(i) / float64(rate)
		u := t / tickSeconds
		phase := 2 * math.Pi * (tickLow*t + (tickHigh-tickLow)*t*u/2)
		x[i] = float32(tickLevel * math.Sin(math.Pi*u) * math.Sin(phase))
	}
	return x
}

// clip is sound in memory as a Player.
type clip []float32

func (c clip) Play(buf []float32, from int64) bool {
	if from >= int64(len(c)) {
		return false
	}
	for i, v := range c[from:min(int64(len(c)), from+int64(len(buf)))] {
		buf[i] += v
	}
	return from+int64(len(buf)) < int64(len(c))
}

// Measure plays ticks and finds them again in the microphone: about ten
// seconds, in which nobody plays. It reads the microphone, so nothing else may.
func Measure(ctx context.Context, m *Microphone, l *Loudspeaker) (Latency, error) {
	begin := l.Next() + int64(0.3*float64(l.rate))
	var at [ticks]int64
	for i := range at {
		at[i] = l.Start(clip(tick(l.rate)), begin+int64(tickAt(i)*float64(l.rate))).At
	}
	defer l.Stop()
	until := tickAt(ticks-1) + longestRound + 1
	heard, err := record(ctx, m, l, at[:], until)
	if err != nil {
		return Latency{}, err
	}
	shape := tick(m.rate)
	var delays []float64
	for _, expected := range heard.expected {
		expected -= heard.from
		if d, ok := findTick(heard.sound, shape, m.rate, expected); ok {
			delays = append(delays, d-expected)
		}
	}
	return agreeing(delays)
}

// agreeing takes the ticks that agree with most others: a computer that was busy
// for a moment tears one or two away.
func agreeing(delays []float64) (Latency, error) {
	slices.Sort(delays)
	var most []float64
	for i := range delays {
		end := i
		for end < len(delays) && delays[end] < delays[i]+agree {
			end++
		}
		if end-i > len(most) {
			most = delays[i:end]
		}
	}
	n := len(most)
	if n < ticks/2 {
		return Latency{}, ErrNoTick
	}
	return Latency{Seconds: most[n/2], Spread: most[n-1] - most[0], Ticks: n}, nil
}

type recorded struct {
	sound []float32
	from  float64 // s of the microphone's sound
	// When each tick should be heard, s of the same, by the clocks at that time:
	// a stream that hiccups goes on by another.
	expected []float64
}

// record reads the microphone until some time after the loudspeaker's position
// must have been heard.
func record(ctx context.Context, m *Microphone, l *Loudspeaker, at []int64, seconds float64) (recorded, error) {
	r := recorded{from: float64(m.ring.read.Load()) / float64(m.rate)}
	buf := make([]float32, 2048)
	deadline := time.Now().Add(time.Duration((seconds + 5) * float64(time.Second)))
	for {
		n, err := m.Read(buf)
		if err == io.EOF {
			err = &Fault{Trouble: Pulled, Device: m.Name}
		}
		if err != nil {
			return r, err
		}
		r.sound = append(r.sound, buf[:n]...)
		now := r.from + float64(len(r.sound))/float64(m.rate)
		if next := len(r.expected); next < len(at) {
			if e, ok := m.Heard(l, at[next], Latency{}); ok && now > e {
				r.expected = append(r.expected, e)
			}
		} else if now > r.expected[0]+seconds {
			return r, nil
		}
		if err := ctx.Err(); err != nil {
			return r, err
		}
		if err := l.Err(); err != nil {
			return r, err
		}
		if time.Now().After(deadline) {
			return r, ErrNoTick
		}
	}
}

// findTick gives where in the sound the tick begins, s, sought from a little
// before where it is expected: the best normalised correlation.
func findTick(x, shape []float32, rate int, expected float64) (at float64, ok bool) {
	from := max(0, int((expected-0.2)*float64(rate)))
	to := min(len(x)-len(shape), int((expected+longestRound)*float64(rate)))
	energy := 0.0
	for _, v := range shape {
		energy += float64(v) * float64(v)
	}
	corr := func(i int) (c, raw float64) {
		own, both := 1e-9, 0.0
		for k, v := range shape {
			own += float64(x[i+k]) * float64(x[i+k])
			both += float64(v) * float64(x[i+k])
		}
		return both / math.Sqrt(own*energy), both
	}
	// A loudspeaker may turn the phase round, and a reflection may be as alike as
	// the direct sound but is weaker: the strongest of those alike enough.
	best, most := -1, 0.0
	for i := from; i < to; i++ {
		if c, raw := corr(i); math.Abs(c) > tickMatch && math.Abs(raw) > most {
			best, most = i, math.Abs(raw)
		}
	}
	if best < 0 {
		return 0, false
	}
	return float64(best) / float64(rate), true
}
