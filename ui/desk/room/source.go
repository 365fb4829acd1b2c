package room

import (
	"time"

	"endpin/dsp"
	"endpin/dsp/sound"
)

// silence is a source without sound, for ways in which nobody listens.
type silence struct{ rate int }

func (s silence) Rate() int { return s.rate }
func (s silence) Read(buf []float32) (int, error) {
	clear(buf)
	return len(buf), nil
}

// metered lets a meter see what a source gives.
type metered struct {
	dsp.Source
	meter *sound.Meter
}

// Read implements dsp.Source.
func (m metered) Read(buf []float32) (int, error) {
	n, err := m.Source.Read(buf)
	m.meter.Push(buf[:n])
	return n, err
}

// Paced gives a source at the speed at which a microphone would hear it.
type Paced struct {
	dsp.Source
	began time.Time
	given int64
}

// Read implements dsp.Source.
func (p *Paced) Read(buf []float32) (int, error) {
	if p.began.IsZero() {
		p.began = time.Now()
	}
	n, err := p.Source.Read(buf)
	p.given += int64(n)
	due := p.began.Add(time.Duration(float64(p.given) / float64(p.Rate()) * float64(time.Second)))
	time.Sleep(time.Until(due))
	return n, err
}

// Lasting goes on with silence where a source ends, as a room does.
type Lasting struct{ dsp.Source }

// Read implements dsp.Source.
func (l Lasting) Read(buf []float32) (int, error) {
	n, err := l.Source.Read(buf)
	if err != nil {
		clear(buf)
		return len(buf), nil
	}
	return n, nil
}

// Later holds a source back with silence, for as long as Wait says when it is
// first read, s.
type Later struct {
	dsp.Source
	Wait func() float64
	left int
	told bool
}

// Read implements dsp.Source.
func (l *Later) Read(buf []float32) (int, error) {
	if !l.told {
		l.told, l.left = true, int(max(0, l.Wait())*float64(l.Rate()))
	}
	if l.left == 0 {
		return l.Source.Read(buf)
	}
	n := min(l.left, len(buf))
	clear(buf[:n])
	l.left -= n
	return n, nil
}
