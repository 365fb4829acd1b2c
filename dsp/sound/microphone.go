package sound

import (
	"io"
	"math"
	"sync"
	"sync/atomic"
	"time"

	"endpin/dsp"
)

// Microphone is a device that hears, as a dsp.Source. It ends (io.EOF) when
// closed, after what was heard before; it fails with a *Fault when the device
// goes away. One goroutine reads; any may close.
type Microphone struct {
	Name string // of the device

	rate   int
	stream Stream
	ring   *ring
	clock  clock
	closed func()

	heard   int64        // samples so far, lost ones included; the callback's own
	owed    int          // silence that stands for lost samples and found no room yet; the callback's own
	lost    atomic.Int64 // samples that found no room
	reports atomic.Int64 // times that the device reported sound lost

	close sync.Once
	done  chan struct{}
	end   error     // what it came to; the reader's own
	came  int       // samples read since the ring was empty, the reader's own,
	first time.Time // and when the first of them was
}

var _ dsp.Source = (*Microphone)(nil)

const (
	ringSeconds = 2
	patience    = 3 * time.Second // without sound before a device counts as gone

	// The callback may wake nobody: the reader looks. What came lasts as long before
	// more can come; a little sooner he looks for that, and then again and again.
	poll     = 2 * time.Millisecond
	sooner   = 300 * time.Microsecond
	longPoll = 20 * time.Millisecond
)

func (m *Microphone) begin(s Stream, closed func()) {
	m.stream, m.closed, m.rate = s, closed, s.Rate()
	m.ring, m.done = newRing(ringSeconds*m.rate), make(chan struct{})
	if p, ok := s.(patient); ok {
		p.wait(func(n int) bool { return m.ring.ready()+n < m.rate/10 })
	}
}

// hear is the callback.
func (m *Microphone) hear(block []float32, at Moment) {
	if at.Lost {
		m.reports.Add(1)
	}
	m.clock.tell(m.heard, m.rate, at.Time)
	m.heard += int64(len(block))
	if m.owed > 0 {
		m.owed -= m.ring.silence(m.owed)
	}
	if m.owed > 0 || m.ring.room() < len(block) {
		m.owed += len(block)
		m.lost.Add(int64(len(block)))
		return
	}
	m.ring.give(block)
}

// Rate implements dsp.Source.
func (m *Microphone) Rate() int { return m.rate }

// Read implements dsp.Source.
func (m *Microphone) Read(buf []float32) (int, error) {
	for empty := time.Duration(0); ; {
		ended := m.isClosed()
		if n := m.ring.take(buf); n > 0 {
			if m.came == 0 {
				m.first = time.Now()
			}
			m.came += n
			tame(buf[:n])
			return n, nil
		}
		switch {
		case m.end != nil:
			return 0, m.end
		case ended:
			m.end = io.EOF
		case m.stream.Err() != nil:
			m.end = fault(m.stream.Err(), m.Name, false)
		case empty > patience:
			m.end = &Fault{Trouble: Pulled, Device: m.Name}
		default:
			wait := m.pause()
			time.Sleep(wait)
			empty += wait
		}
	}
}

// pause is how long nothing more can come, or a short while where something is due.
func (m *Microphone) pause() time.Duration {
	wait := poll
	if m.came > 0 {
		lasts := min(longPoll, time.Duration(m.came)*time.Second/time.Duration(m.rate))
		wait = max(poll, lasts-sooner-time.Since(m.first))
		m.came = 0
	}
	return wait
}

// tame keeps samples to what a Source may give.
func tame(x []float32) {
	for i, v := range x {
		if v != v {
			v = 0
		}
		x[i] = max(-1, min(1, v))
	}
}

func (m *Microphone) isClosed() bool {
	select {
	case <-m.done:
		return true
	default:
		return false
	}
}

// Lost is how many samples found no room so far, for which silence stands, and
// how often the device itself reported a loss, of a length that it does not tell.
func (m *Microphone) Lost() (samples, reports int64) { return m.lost.Load(), m.reports.Load() }

// Close ends the sound. What was heard before can still be read.
func (m *Microphone) Close() error {
	var err error
	m.close.Do(func() {
		err = m.stream.Close()
		close(m.done)
		m.closed()
	})
	return err
}

// Heard tells at what second of the microphone's sound a position of the
// loudspeaker's is heard: by the devices' own clocks, and what Measure found
// beyond them. It is not ok before both streams have run a moment, or where the
// devices tell no time; then latency counts alone from when both began, which is
// not good to better than a tenth of a second.
func (m *Microphone) Heard(l *Loudspeaker, position int64, latency Latency) (second float64, ok bool) {
	zero, ok := m.zero(l, latency)
	return zero + float64(position)/float64(l.rate), ok
}

// Position is the reverse of Heard: the position of the loudspeaker's that is heard
// at a second of the microphone's sound. It may lie before the loudspeaker began.
func (m *Microphone) Position(l *Loudspeaker, second float64, latency Latency) (position int64, ok bool) {
	zero, ok := m.zero(l, latency)
	return int64(math.Round((second - zero) * float64(l.rate))), ok
}

// zero is the second of the microphone's sound at which the loudspeaker's first
// sample is heard.
func (m *Microphone) zero(l *Loudspeaker, latency Latency) (second float64, ok bool) {
	in, ok1 := m.clock.start()
	out, ok2 := l.clock.start()
	if !ok1 || !ok2 || math.IsNaN(in+out) {
		return 0, false
	}
	return out - in + latency.Seconds, true
}
