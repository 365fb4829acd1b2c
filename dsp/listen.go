package dsp

import "io"

// Listen hears a whole source with one configuration.
func Listen(src Source, c Config) (*Heard, error) {
	l, err := NewListener(c, src.Rate())
	if err != nil {
		return nil, err
	}
	buf := make([]float32, 8192)
	for {
		n, err := src.Read(buf)
		if err == io.EOF {
			return l.Finish(), nil
		}
		if err != nil {
			return nil, err
		}
		l.Push(buf[:n])
	}
}

// Listener hears sound as it comes: Push blocks of any size, then Finish.
type Listener struct {
	rate    int
	tracker *tracker
	heard   Heard
	count   int
}

// NewListener makes a Listener for sound of one sampling rate.
func NewListener(c Config, rate int) (*Listener, error) {
	if err := c.validate(rate); err != nil {
		return nil, err
	}
	l := &Listener{rate: rate}
	l.heard.Rate = rate
	l.tracker = newTracker(c, rate, func(f Frame) { l.heard.Frames = append(l.heard.Frames, f) })
	return l, nil
}

// Push takes the next samples.
func (l *Listener) Push(samples []float32) {
	l.count += len(samples)
	l.tracker.push(samples)
}

// Finish ends the sound and gives all that was heard. The Listener is spent.
func (l *Listener) Finish() *Heard {
	l.tracker.finish()
	l.heard.Duration = float64(l.count) / float64(l.rate)
	return &l.heard
}
