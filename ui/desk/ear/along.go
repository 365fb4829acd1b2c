package ear

import (
	"endpin/dsp"
	"endpin/dsp/recording"
)

// Along hears a take while it is played, beside whoever plays it. One goroutine writes, and
// none once the end is asked for. nil hears nothing.
type Along struct {
	rate   int
	ear    *dsp.Listener
	pcm    []byte
	gather []float32
	waits  chan []float32
	behind bool // the computer is too busy: the file tells more surely
	ended  chan struct{}
}

const (
	pieces  = 1.0 // s that are heard at once: waking for less costs more than hearing
	waiting = 60  // of them that may wait
)

// NewAlong begins to hear sound of a rate.
func NewAlong(c dsp.Config, rate int) (*Along, error) {
	l, err := dsp.NewListener(c, rate)
	if err != nil {
		return nil, err
	}
	a := &Along{rate: rate, ear: l, waits: make(chan []float32, waiting), ended: make(chan struct{})}
	go func() {
		defer close(a.ended)
		for x := range a.waits {
			a.ear.Push(x)
		}
	}()
	return a, nil
}

// Write takes the next samples, between -1 and 1, which it hears as a file holds them. It
// waits for nothing.
func (a *Along) Write(samples []float32) {
	if a == nil || a.behind {
		return
	}
	a.pcm = recording.AppendPCM16(a.pcm[:0], samples)
	a.gather = recording.PCM16(a.gather, a.pcm)
	if float64(len(a.gather)) >= pieces*float64(a.rate) {
		a.hand()
	}
}

// hand has the ear hear what was gathered.
func (a *Along) hand() {
	select {
	case a.waits <- a.gather:
	default:
		a.behind = true
	}
	a.gather = make([]float32, 0, len(a.gather)+len(a.gather)/8)
}

// End is that no more is written. What waits is heard all the same.
func (a *Along) End() {
	if a != nil {
		if !a.behind {
			a.hand()
		}
		close(a.waits)
	}
}

// Heard gives, once, all that was heard, after the end; nil where the ear could not keep up.
func (a *Along) Heard() *dsp.Heard {
	if a == nil {
		return nil
	}
	if <-a.ended; a.behind {
		return nil
	}
	return a.ear.Finish()
}
