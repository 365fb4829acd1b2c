package sound

import (
	"sync"
	"sync/atomic"
	"time"
)

// Player is something to sound.
type Player interface {
	// Play adds its samples from a position of its own on to buf, and is false
	// where nothing of it is left after them. It is called in order, from one
	// goroutine at a time.
	Play(buf []float32, from int64) (more bool)
}

// Loudspeaker is a device that plays. It sounds as long as it is open: silence
// where there is nothing to play. Methods may be called by any goroutine.
type Loudspeaker struct {
	Name string // of the device

	rate   int
	stream Stream
	ring   *ring
	clock  clock
	now    func() float64
	outlet func() string // nil for not known
	closed func()

	played int64        // samples so far; the callback's own
	late   int          // samples that came too late and must not sound any more; the callback's own
	skip   []float32    // where they go
	passed atomic.Int64 // played, for others
	gaps   atomic.Int64 // samples of silence because nothing was ready

	mu      sync.Mutex
	written int64 // position up to which all is mixed
	playing []*Playing
	gain    float32

	ahead float64 // s that are mixed ahead
	close sync.Once
	done  chan struct{}
	ended chan struct{}
}

// Playing is a Player at its place in time.
type Playing struct {
	At     int64 // position of its first sample
	player Player
	speak  *Loudspeaker
	fade   int // samples left until it is silent; -1 while it is not fading
	swell  int // samples left until it is whole: it was entered in its middle
	over   bool
}

const (
	aheadSeconds = 0.15                  // mixed ahead of what sounds: longer than a garbage collection
	calmSeconds  = 0.25                  // likewise, where nobody plays along
	feedEvery    = 20 * time.Millisecond // of it: each waking costs as much as the mixing
	fadeSeconds  = 0.012                 // a sound that is stopped dies away, so that it does not crack
	mixBlock     = 512
)

func (l *Loudspeaker) begin(s Stream, now func() float64, closed func()) {
	l.stream, l.now, l.closed, l.rate, l.gain = s, now, closed, s.Rate(), 1
	l.ring = newRing(ringSeconds * l.rate)
	l.skip = make([]float32, mixBlock)
	if p, ok := s.(patient); ok {
		p.wait(func(n int) bool { return l.ring.ready() >= n })
	}
	l.done, l.ended = make(chan struct{}), make(chan struct{})
	l.mix() // so that the first callback finds something
}

// fill is the callback. What came too late for its place is left out, so that
// every other sample keeps its own.
func (l *Loudspeaker) fill(block []float32, at Moment) {
	l.clock.tell(l.played, l.rate, at.Time)
	for l.late > 0 {
		n := l.ring.take(l.skip[:min(l.late, len(l.skip))])
		if n == 0 {
			break
		}
		l.late -= n
	}
	n := 0
	if l.late == 0 {
		n = l.ring.take(block)
	}
	if missing := len(block) - n; missing > 0 {
		clear(block[n:])
		l.late += missing
		l.gaps.Add(int64(missing))
	}
	l.played += int64(len(block))
	l.passed.Store(l.played)
}

// feed mixes ahead until the loudspeaker is closed.
func (l *Loudspeaker) feed() {
	defer close(l.ended)
	tick := time.NewTicker(feedEvery)
	defer tick.Stop()
	for {
		select {
		case <-l.done:
			return
		case <-tick.C:
			l.mix()
		}
	}
}

func (l *Loudspeaker) mix() {
	l.mu.Lock()
	defer l.mu.Unlock()
	ahead := l.passed.Load() + int64(l.ahead*float64(l.rate))
	var block [mixBlock]float32
	for l.written < ahead && l.ring.room() >= mixBlock {
		clear(block[:])
		l.playing = deleteOver(l.playing, func(p *Playing) { p.add(block[:], l.written) })
		for i := range block {
			block[i] = max(-1, min(1, l.gain*block[i]))
		}
		l.ring.give(block[:])
		l.written += mixBlock
	}
}

func deleteOver(all []*Playing, add func(*Playing)) []*Playing {
	kept := all[:0]
	for _, p := range all {
		if add(p); !p.over {
			kept = append(kept, p)
		}
	}
	clear(all[len(kept):])
	return kept
}

// add mixes what falls into a block that begins at a position.
func (p *Playing) add(block []float32, at int64) {
	if p.At >= at+int64(len(block)) {
		return
	}
	into := block
	if p.At > at {
		into = block[p.At-at:]
	}
	if p.fade < 0 && p.swell == 0 {
		p.over = !p.player.Play(into, max(0, at-p.At))
		return
	}
	own := make([]float32, len(into))
	p.over = !p.player.Play(own, max(0, at-p.At))
	whole := float32(fadeSeconds * float64(p.speak.rate))
	for i, v := range own {
		if p.swell > 0 {
			v *= 1 - float32(p.swell)/whole
			p.swell--
		}
		switch {
		case p.fade == 0:
			p.over = true
			return
		case p.fade > 0:
			v *= float32(p.fade) / whole
			p.fade--
		}
		into[i] += v
	}
}

// Rate is samples a second; a Player must be made for it.
func (l *Loudspeaker) Rate() int { return l.rate }

// Next is the first position at which a sound can still begin; a tenth of a
// second later is safe.
func (l *Loudspeaker) Next() int64 {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.written
}

// Start plays from a position on, or as soon as may be where that has passed;
// Playing.At tells from when. A sound whose place has passed begins late and
// whole.
func (l *Loudspeaker) Start(p Player, at int64) *Playing {
	l.mu.Lock()
	defer l.mu.Unlock()
	s := &Playing{At: max(at, l.written), player: p, speak: l, fade: -1}
	l.playing = append(l.playing, s)
	return s
}

// Join plays as Start does, but a sound whose place has passed is entered where it
// would be by now, so that it keeps its time.
func (l *Loudspeaker) Join(p Player, at int64) *Playing {
	l.mu.Lock()
	defer l.mu.Unlock()
	s := &Playing{At: at, player: p, speak: l, fade: -1}
	if at < l.written {
		s.swell = int(fadeSeconds * float64(l.rate))
	}
	l.playing = append(l.playing, s)
	return s
}

// Stop lets one sound die away, or never begin.
func (p *Playing) Stop() {
	p.speak.mu.Lock()
	defer p.speak.mu.Unlock()
	p.stop()
}

func (p *Playing) stop() {
	switch {
	case p.At >= p.speak.written:
		p.over, p.fade = true, 0
	case p.fade < 0:
		p.fade = int(fadeSeconds * float64(p.speak.rate))
	}
}

// Stop lets all sounds die away. It takes aheadSeconds to be heard.
func (l *Loudspeaker) Stop() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, p := range l.playing {
		p.stop()
	}
}

// Gain sets the volume, 1 for as the players give it.
func (l *Loudspeaker) Gain(g float64) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.gain = float32(g)
}

// Sounding is the position that leaves the loudspeaker now, for a cursor.
func (l *Loudspeaker) Sounding() int64 {
	if zero, ok := l.clock.start(); ok {
		return min(l.passed.Load(), int64((l.now()-zero)*float64(l.rate)))
	}
	return l.passed.Load()
}

// Outlet is where its sound comes out, "" for not known: beside the device's own name that is
// another where a sound server puts it elsewhere, or somebody headphones in. It may take a while.
func (l *Loudspeaker) Outlet() string {
	if l.outlet == nil {
		return ""
	}
	return l.outlet()
}

// Gaps is how many samples of silence sounded because nothing was ready.
func (l *Loudspeaker) Gaps() int64 { return l.gaps.Load() }

// Err is nil as long as the device plays; else a *Fault.
func (l *Loudspeaker) Err() error {
	if err := l.stream.Err(); err != nil {
		return fault(err, l.Name, true)
	}
	return nil
}

// Close ends the sound at once.
func (l *Loudspeaker) Close() error {
	var err error
	l.close.Do(func() {
		close(l.done)
		<-l.ended
		err = l.stream.Close()
		l.closed()
	})
	return err
}
