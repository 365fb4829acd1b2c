package dsp

import (
	"errors"
	"io"
	"math"
	"runtime"
	"runtime/debug"
	"testing"

	"github.com/mjibson/go-dsp/fft"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// lesson is a few seconds with some of everything: bow and finger, the same note
// again, a slur, noise.
func lesson(rate int) []float32 {
	slur := bowed(2.6, 1, 38)
	slur.freq = Glide(Hz(38), Hz(40), 0.5, 0.54)
	x := sound(rate, 4.5, bowed(0.4, 0.6, 31), bowed(1.1, 0.3, 33), bowed(1.5, 0.9, 33), slur, plucked(3.7, 0.7, 43))
	Noise(x, -55, 4)
	return x
}

func TestTheSizeOfTheBlocksDoesNotMatter(t *testing.T) {
	for _, rate := range []int{44100, 48000} {
		x := lesson(rate)
		whole := hear(t, x, rate)
		require.Len(t, whole.Notes, 6)
		for _, size := range []int{1, 7, 441, 8192, len(x)} {
			l, err := NewListener(Bass, rate)
			require.NoError(t, err)
			for at := 0; at < len(x); at += size {
				l.Push(x[at:min(len(x), at+size)])
			}
			require.Equal(t, whole, l.Finish(), "blocks of %d samples", size)
		}
	}
}

func TestEveryHundredthOfASecondHasItsFrame(t *testing.T) {
	for _, rate := range []int{8000, 11025, 16000, 22050, 44100, 48000, 96000} {
		x := sound(rate, 1.234, bowed(0.2, 0.8, 38))
		h := hear(t, x, rate)
		assert.InDelta(t, 1.234, h.Duration, 1e-3)
		require.InDelta(t, 123.4, float64(len(h.Frames)), 3.5, "at %d Hz", rate)
		for i, f := range h.Frames {
			assert.InDelta(t, float64(i)*hopSeconds, f.Time, float64(i)*hopSeconds*0.02, "at %d Hz", rate)
		}
		last := h.Frames[len(h.Frames)-1].Time
		assert.InDelta(t, 1.234, last, 0.03, "at %d Hz", rate)
	}
}

func TestTheShortestSoundsAreHeardWithoutHarm(t *testing.T) {
	for _, n := range []int{0, 1, 2, 100, 441, 1000, 5000} {
		x := make([]float32, n)
		for i := range x {
			x[i] = float32(math.Sin(float64(i)))
		}
		h := hear(t, x, 44100)
		assert.Empty(t, h.Notes, "%d samples", n)
		assert.InDelta(t, float64(n)/44100, h.Duration, 1e-9)
	}
}

// broken is a source that fails after some sound.
type broken struct {
	Samples
	err error
}

func (b *broken) Read(buf []float32) (int, error) {
	n, err := b.Samples.Read(buf)
	if err == io.EOF {
		return 0, b.err
	}
	return n, err
}

func TestASourceThatFailsIsNotATakeThatEnds(t *testing.T) {
	pulled := errors.New("the cable was pulled")
	h, err := Listen(&broken{Samples{SampleRate: 44100, Data: make([]float32, 20000)}, pulled}, Bass)
	assert.ErrorIs(t, err, pulled)
	assert.Nil(t, h)
}

func TestLiveListeningHearsTheSameNotes(t *testing.T) {
	x := lesson(44100)
	recorded := hear(t, x, 44100)
	live, err := Listen(&Samples{SampleRate: 44100, Data: x}, Bass.Live())
	require.NoError(t, err)
	require.Len(t, live.Notes, len(recorded.Notes))
	for i, n := range live.Notes {
		r := recorded.Notes[i]
		assert.InDelta(t, r.Onset, n.Onset, 0.015, "%+v", n)
		assert.InDelta(t, r.Offset, n.Offset, 0.03, "%+v", n)
		assert.InDelta(t, r.Pitch, n.Pitch, 0.005, "%+v", n)
	}
}

// latency is how long after the middle of a frame, at the most, its pitch is told,
// s of sound.
func latency(c Config, rate int) float64 {
	x := Tone{Freq: Steady(98), Partials: Sawtooth, Seconds: 2, Rate: rate}.Samples()
	pushed, worst := 0, 0.0
	tr := newTracker(c, rate, func(f Frame) { worst = math.Max(worst, float64(pushed)/float64(rate)-f.Time) })
	for i := range x {
		pushed++
		tr.push(x[i : i+1])
	}
	return worst
}

func TestAPlayerNeedNotWaitForThePitch(t *testing.T) {
	for _, rate := range []int{44100, 48000} {
		live := latency(Bass.Live(), rate)
		t.Logf("at %d Hz a frame is told %.0f ms after its middle live, %.0f ms in a recording", rate, 1000*live, 1000*latency(Bass, rate))
		// What of the longest frame lies after its middle, and one frame of look-ahead.
		assert.Less(t, live, 0.06)
	}
}

func TestLevelsOfLongAgoDoNotMatter(t *testing.T) {
	tp := newHistory(3)
	for i := 1; i <= 1000; i++ {
		tp.push(float64(i))
	}
	assert.Equal(t, 1000, tp.end())
	assert.Equal(t, []float64{998, 999, 1000}, tp.at(997, 3))
	assert.Nil(t, tp.at(998, 3), "not there yet")
	assert.Nil(t, tp.at(0, 3), "no longer there")
	assert.LessOrEqual(t, cap(tp.buf), 12, "and memory stays bounded")
	assert.Equal(t, []float64{0, 0, 7}, func() []float64 { n := newHistory(3); n.push(7); return n.at(-2, 3) }(), "before the start is silence")
}

// allocations of one run of f, on average.
func allocations(f func()) float64 { return testing.AllocsPerRun(10, f) }

// Nothing of ours is allocated while sound comes in. The transform of go-dsp
// allocates by itself: 18 times and 22 kB for 512 points. A second at 44.1 kHz takes
// 50 of them, for flux. A goroutine that is slow to end costs the next transform one
// or two more.
func TestListeningAllocatesOnlyWhatTheTransformsDo(t *testing.T) {
	const rate = 44100
	defer debug.SetGCPercent(debug.SetGCPercent(-1))
	x := Tone{Freq: Steady(98), Partials: Sawtooth, Seconds: 1, Rate: rate}.Samples()
	l, err := NewListener(Bass, rate)
	require.NoError(t, err)
	l.heard.Frames, l.rises, l.heard.falls = make([]Frame, 0, 3000), make([]float64, 0, 3000), make([]float64, 0, 3000) // what is kept is no loss
	l.Push(x)

	tr, fl := l.tracker, l.flux
	large := make([]complex128, fl.size)
	forFlux := allocations(func() { fft.FFT(large) })
	all := allocations(func() { l.Push(x) })
	pairs := rate / float64(2*fl.hop)
	theirs := pairs * forFlux
	t.Logf("a second of sound: %.0f allocations, of which go-dsp's %.0f: %.1f pairs of frames, %.0f for %d points",
		all, theirs, pairs, forFlux, len(large))
	assert.InDelta(t, theirs, all, 0.08*theirs)

	// And what lies between the transforms, by itself.
	frame := tr.decimated.at(tr.decimated.end()-tr.yin.span(), tr.yin.span())
	cands := make([]candidate, 0, maxCandidates)
	tr.emit, fl.emit = func(Frame) {}, func(float64, float64) {}
	for what, f := range map[string]func(){
		"the band":       func() { tr.decimated.push(tr.filter.step(1)) },
		"the candidates": func() { cands = tr.yin.candidates(frame, cands[:0]) },
		"the evidence":   func() { tr.weigh(tr.settled * tr.hop) },
		"the path":       func() { tr.viterbi.push(cands, 1, false) },
		"the period":     func() { refine(tr.atFull, tr.fullRate.end()-5000, 450, rate) },
		"the frame":      func() { tr.settle(candidate{lag: 56, freq: 98}, true) },
		"the rise":       func() { fl.frame(large, 1) },
	} {
		assert.Zero(t, allocations(f), what)
	}
}

func TestAnHourTakesNoMoreMemoryThanItsFramesAndTheBandOfPitch(t *testing.T) {
	l, err := NewListener(Bass, 8000)
	require.NoError(t, err)
	x := make([]float32, 8000)
	for range 20 {
		l.Push(x)
	}
	held := func() uint64 { // what stays, whatever tests before this one have left to be swept
		var m runtime.MemStats
		least := uint64(math.MaxUint64)
		for range 5 {
			runtime.GC()
			runtime.ReadMemStats(&m)
			least = min(least, m.HeapAlloc)
		}
		return least
	}
	before := held()
	for range 60 {
		l.Push(x)
	}
	grown := float64(held()) - float64(before)
	t.Logf("a minute more holds %.0f kB more", grown/1000)
	assert.Less(t, grown, 1.5*(6000*(56+8)+60*4000*2)) // 6000 frames, a rise each, 60 s at two bytes, and room to append
	runtime.KeepAlive(l)
}
