package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// minute is a minute of a student's playing: a bow stroke a beat or two a beat
// up and down the first position, a wide vibrato here and there, in a room.
func minute(rate int) []float32 {
	const seconds = 60
	pitches := []float64{28, 30, 31, 33, 35, 36, 38, 40, 41, 43, 45, 46, 43, 40, 38, 33}
	var take []stroke
	at := 0.5
	for i := 0; at < seconds-1; i++ {
		length := 0.4
		if i%3 == 0 {
			length = 0.8
		}
		s := bowed(at, 0.92*length, pitches[i%len(pitches)])
		if i%5 == 0 {
			s.freq = Vibrato(Hz(pitches[i%len(pitches)]), 15, 5)
		}
		take = append(take, s)
		at += length
	}
	x := sound(rate, seconds, take...)
	Noise(x, -55, 1)
	return x
}

// BenchmarkListen hears a minute of playing. The figure that counts is
// ms/s: milliseconds of work a second of sound.
func BenchmarkListen(b *testing.B) {
	x := minute(44100)
	b.ReportAllocs()
	b.ResetTimer()
	for i := 0; i < b.N; i++ {
		h, err := Listen(&Samples{SampleRate: 44100, Data: x}, Bass)
		require.NoError(b, err)
		require.NotEmpty(b, h.Notes)
	}
	perSecond(b, 60)
}

// perSecond reports the milliseconds of work a second of sound.
func perSecond(b *testing.B, seconds float64) {
	b.ReportMetric(b.Elapsed().Seconds()*1000/float64(b.N)/seconds, "ms/s")
}

// BenchmarkPitch is the pitch track alone, of the same minute.
func BenchmarkPitch(b *testing.B) {
	x := minute(44100)
	b.ReportAllocs()
	b.ResetTimer()
	for i := 0; i < b.N; i++ {
		track(b, x, 44100)
	}
	perSecond(b, 60)
}

// BenchmarkLive hears the same minute as a microphone gives it, with the few frames
// of look-ahead that a player can wait for; latency is how long after its middle a
// frame is told, at the most, in ms of sound.
func BenchmarkLive(b *testing.B) {
	x := minute(44100)
	b.ReportAllocs()
	b.ResetTimer()
	for i := 0; i < b.N; i++ {
		l, err := NewListener(Bass.Live(), 44100)
		require.NoError(b, err)
		for at := 0; at < len(x); at += 441 {
			l.Push(x[at:min(len(x), at+441)])
		}
		l.Finish()
	}
	perSecond(b, 60)
	b.ReportMetric(1000*latency(Bass.Live(), 44100), "ms-latency")
}

// BenchmarkYin is the candidates of a frame, of which there are a hundred a second
// of sound.
func BenchmarkYin(b *testing.B) {
	y := newYin(Bass, 44100.0/8, 55)
	x := make([]float64, y.span()+100*55)
	for i := range x {
		x[i] = math.Sin(2 * math.Pi * 98 / y.rate * float64(i))
	}
	found := make([]candidate, 0, maxCandidates)
	b.ReportAllocs()
	b.ResetTimer()
	for i := 0; i < b.N; i++ {
		from := i % 100 * 55
		found = y.candidates(x[from:from+y.span()], found[:0])
	}
}

// BenchmarkFlux is the rises of ten seconds.
func BenchmarkFlux(b *testing.B) {
	x := minute(44100)[:441000]
	b.ReportAllocs()
	b.ResetTimer()
	for i := 0; i < b.N; i++ {
		f := newFlux(44100, 440, func(float64, float64) {})
		f.push(x)
	}
	perSecond(b, 10)
}
