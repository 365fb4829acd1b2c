package dsp

import (
	"io"
	"math"
	"sort"
)

// Listen hears a whole source with one configuration.
func Listen(src Source, c Config) (*Heard, error) {
	l, err := NewListener(c, src.Rate())
	if err != nil {
		return nil, err
	}
	if err := readAll(src, l.Push); err != nil {
		return nil, err
	}
	return l.Finish(), nil
}

// Track gives the bare pitch track of a whole source, and nothing of onsets or
// notes.
func Track(src Source, c Config) ([]Frame, error) {
	if err := c.validate(src.Rate()); err != nil {
		return nil, err
	}
	var frames []Frame
	t := newTracker(c, src.Rate(), func(f Frame) { frames = append(frames, f) })
	if err := readAll(src, t.push); err != nil {
		return nil, err
	}
	t.finish()
	return frames, nil
}

const readBlock = 8192 // samples at a time: any number does

// readAll reads a source to its end.
func readAll(src Source, push func([]float32)) error {
	buf := make([]float32, readBlock)
	for {
		n, err := src.Read(buf)
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		push(buf[:n])
	}
}

// Listener hears sound as it comes: Push blocks of any size, then Finish.
type Listener struct {
	rate    int
	high    float64 // the highest pitch sought, Hz
	tracker *tracker
	flux    *flux
	rises   []float64 // one a frame
	heard   Heard
	count   int
	peak    float32
	flat    int // samples at the very top
	live    live
}

// clipLevel is where a 16-bit recording can go no higher.
const clipLevel = 0.9999

// NewListener makes a Listener for sound of one sampling rate.
func NewListener(c Config, rate int) (*Listener, error) {
	if err := c.validate(rate); err != nil {
		return nil, err
	}
	l := &Listener{rate: rate, high: c.High}
	l.heard.Rate = rate
	l.tracker = newTracker(c, rate, func(f Frame) { l.heard.Frames = append(l.heard.Frames, f) })
	l.flux = newFlux(rate, l.tracker.hop, func(rise, fall float64) { l.rises, l.heard.falls = append(l.rises, rise), append(l.heard.falls, fall) })
	return l, nil
}

// Push takes the next samples.
func (l *Listener) Push(samples []float32) {
	l.count += len(samples)
	for _, v := range samples {
		if v < 0 {
			v = -v
		}
		if v > l.peak {
			l.peak = v
		}
		if v >= clipLevel {
			l.flat++
		}
	}
	l.tracker.push(samples)
	l.flux.push(samples)
}

// Finish ends the sound and gives all that was heard. The Listener is spent.
func (l *Listener) Finish() *Heard {
	l.tracker.finish()
	l.flux.finish()
	n := min(len(l.heard.Frames), len(l.rises))
	l.heard.Frames, l.rises, l.heard.falls = l.heard.Frames[:n], l.rises[:n], l.heard.falls[:n]
	l.heard.Floor = floorLevel(l.heard.Frames)
	l.heard.Onsets, l.heard.Faint = findOnsets(l.heard.Frames, l.rises, l.heard.Floor)
	l.heard.Notes = notesHeard(l.heard.Frames, l.heard.falls, l.heard.Onsets, l.heard.Floor)
	l.keepBand(&l.heard)
	l.heard.uncover(nil, l.heard.Notes, l.heard.Onsets)
	l.heard.Release = l.heard.ReleaseWithin(0, math.Inf(1))
	l.heard.Peak = float64(l.peak)
	l.heard.Clipped = l.clipped()
	l.heard.Hum = l.tracker.hum.heard()
	l.heard.Duration = float64(l.count) / float64(l.rate)
	return &l.heard
}

// keepBand leaves the sound itself with what was heard, as far as pitch is sought in it.
func (l *Listener) keepBand(h *Heard) {
	h.band, h.bandTop, h.bandRate = l.tracker.band, jointTop*l.high, float64(l.rate)/float64(l.tracker.factor*l.tracker.bandStep)
}

// Set by ear; no source.
const (
	floorShare       = 10   // one frame in so many is the room, and one in so many the loudest
	floorUnder       = 25.0 // dB below the loud frames that the room lies at least …
	floorUnderSilent = 40.0 // … where pauses are digitally silent …
	silentShare      = 20   // … which more than one frame in so many is then
)

// floorLevel is the level of the room between notes: what a tenth of the
// frames lie below, but never so high that a take without a pause drowns. Digital
// silence is no room: a gate or an editor put it there, and a rendering knows no other.
func floorLevel(frames []Frame) float64 {
	levels := make([]float64, 0, len(frames))
	for _, f := range frames {
		if f.Level > silenceLevel {
			levels = append(levels, f.Level)
		}
	}
	if len(levels) == 0 {
		return silenceLevel
	}
	sort.Float64s(levels)
	return math.Min(levels[len(levels)/floorShare], levels[len(levels)*(floorShare-1)/floorShare]-floorDepth(len(frames), len(levels)))
}

// floorDepth is how far under the loud frames the floor lies at least, dB: farther
// where the pauses are silent and so most of what is left are notes.
func floorDepth(frames, sounding int) float64 {
	if silentShare*(frames-sounding) > frames {
		return floorUnderSilent
	}
	return floorUnder
}

// clipped is the share of the sounding time whose samples lie flat against the
// top. A wave that only touches it does so for a sample or two a period; one
// that is cut off stays there.
func (l *Listener) clipped() float64 {
	sounding := 0.0
	for _, n := range l.heard.Notes {
		sounding += n.Offset - n.Onset
	}
	if sounding == 0 {
		return 0
	}
	return math.Min(1, float64(l.flat)/float64(l.rate)/sounding)
}
