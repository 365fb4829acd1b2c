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
	Spread  float64 // s, over that half of the ticks that lie nearest together
	Ticks   int     // heard where they agree with that half; 0 for not measured
}

// Trust says how far "late" may be believed with it.
func (l Latency) Trust() dsp.Trust {
	switch {
	case l.Ticks == 0:
		return dsp.Fair
	case l.Spread > spreadSure:
		return dsp.NotSure
	}
	return dsp.Sure
}

// ErrNoTick is when the loudspeaker was not heard in the microphone.
var ErrNoTick error = dsp.Fault("sound.no-tick")

// Set by ear; no source.
const (
	ticks        = 16     // of one measuring
	tickSeconds  = 0.012  // s
	tickLow      = 1500.0 // Hz: laptop loudspeakers carry it, and rooms do not rumble there
	tickHigh     = 5500.0 // Hz
	tickLevel    = 0.5    // peak
	longestRound = 0.8    // s beyond the devices' own figures that is still sought
	spreadSure   = 0.005  // s: half of the ticks lie nearer together, or it is not sure
	tickEvery    = 0.52   // s
	ticksAgree   = 0.02   // s; half of the ticks lie nearer together, or nothing is known
	tickMatch    = 0.3    // correlation above which a tick was heard
)

// tickAt are the places of the ticks, s from the first. Rising and falling ones
// take turns and do not resemble each other; those of one kind are further apart
// than the time over which one is sought, so that none is taken for another.
func tickAt(i int) float64 { return tickEvery * float64(i) }

// tick is a short sweep, up or down by turns: its correlation has one sharp peak.
func tick(rate, i int) []float32 {
	x := make([]float32, int(tickSeconds*float64(rate)))
	from, to := tickLow, tickHigh
	if i%2 == 1 {
		from, to = to, from
	}
	for k := range x {
		t := float64(k) / float64(rate)
		u := t / tickSeconds
		phase := 2 * math.Pi * (from*t + (to-from)*t*u/2)
		x[k] = float32(tickLevel * math.Sin(math.Pi*u) * math.Sin(phase))
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
	delays, err := round(ctx, m, l)
	if err != nil {
		return Latency{}, err
	}
	return agreeing(delays)
}

// MeasureUntilSure measures up to three times, since a busy computer tears ticks
// away for seconds on end: all ticks together are held to what one time is held
// to. Where that is never sure, what it came to is given nevertheless, or
// ErrNoTick.
func MeasureUntilSure(ctx context.Context, m *Microphone, l *Loudspeaker) (Latency, error) {
	const most = 3
	var all []float64
	var best Latency
	err := ErrNoTick
	for range most {
		delays, e := round(ctx, m, l)
		if e != nil && !errors.Is(e, ErrNoTick) {
			return Latency{}, e
		}
		all = append(all, delays...)
		for _, some := range [][]float64{delays, all} {
			found, e := agreeing(some)
			if e == nil && found.Trust() == dsp.Sure {
				return found, nil
			}
			if e == nil {
				best, err = found, nil
			}
		}
		if len(all) == 0 {
			return Latency{}, ErrNoTick // nothing is heard at all: no use to go on
		}
	}
	return best, err
}

// round is one row of ticks: how much later each that was heard came than the
// devices say, s.
func round(ctx context.Context, m *Microphone, l *Loudspeaker) ([]float64, error) {
	begin := l.Next() + int64(0.3*float64(l.rate))
	var at [ticks]int64
	for i := range at {
		at[i] = l.Start(clip(tick(l.rate, i)), begin+int64(tickAt(i)*float64(l.rate))).At
	}
	defer l.Stop()
	until := tickAt(ticks-1) + longestRound + 0.5
	heard, err := record(ctx, m, l, at[:], until)
	if err != nil {
		return nil, err
	}
	var delays []float64
	for i, expected := range heard.expected {
		expected -= heard.from
		if d, ok := findTick(heard.sound, tick(m.rate, i), m.rate, expected); ok {
			delays = append(delays, d-expected)
		}
	}
	return delays, nil
}

// agreeing takes the half of all ticks that lie nearest together: a computer that
// is busy tears single ticks away, now one way and now the other, as devices that
// hiccup need a moment to tell the time again.
func agreeing(delays []float64) (Latency, error) {
	delays = slices.Sorted(slices.Values(delays))
	half := max(ticks, len(delays)) / 2
	if len(delays) < half {
		return Latency{}, ErrNoTick
	}
	near := delays[:half]
	for i := range len(delays) - half + 1 {
		if some := delays[i : i+half]; some[half-1]-some[0] < near[half-1]-near[0] {
			near = some
		}
	}
	l := Latency{Seconds: (near[half/2-1] + near[half/2]) / 2, Spread: near[half-1] - near[0]}
	if l.Spread > ticksAgree {
		return Latency{}, ErrNoTick
	}
	for _, d := range delays {
		if math.Abs(d-l.Seconds) < ticksAgree {
			l.Ticks++
		}
	}
	return l, nil
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
	if to <= from {
		return 0, false
	}
	energy, first := 0.0, 0.0
	for k, v := range shape {
		energy += float64(v) * float64(v)
		first += float64(x[from+k]) * float64(x[from+k])
	}
	// each goes through all places with the energy of the sound there.
	each := func(do func(i int, own float64)) {
		for i, own := from, first; i < to; i++ {
			do(i, own)
			out, in := float64(x[i]), float64(x[i+len(shape)])
			own = math.Max(0, own+in*in-out*out)
		}
	}
	// A loudspeaker may turn the phase round, and a reflection may be as alike as
	// the direct sound but is weaker: the strongest of those alike enough.
	best, most := -1, 0.0
	try := func(i int, own float64) {
		if own*energy <= most*most {
			return // not even the tick itself would be stronger there
		}
		both := 0.0
		for k, v := range shape {
			both += float64(v) * float64(x[i+k])
		}
		if both = math.Abs(both); both > tickMatch*math.Sqrt((own+1e-9)*energy) && both > most {
			best, most = i, both
		}
	}
	loudest, loud := from, first
	each(func(i int, own float64) {
		if own > loud {
			loudest, loud = i, own
		}
	})
	try(loudest, loud) // which spares most of the others
	each(try)
	if best < 0 {
		return 0, false
	}
	return float64(best) / float64(rate), true
}
