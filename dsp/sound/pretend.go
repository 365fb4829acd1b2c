package sound

import "sync"

// Pretend is a Driver without a sound card, for tests: time passes by Step, and
// what is played comes back to the microphones after a delay. A test that does not
// want to lose sound on a busy computer asks Ready before each step.
type Pretend struct {
	mu     sync.Mutex
	Plug   []Device                   // what is plugged in
	Out    string                     // where it sounds, see Loudspeaker.Outlet
	Refuse error                      // what opening fails with, nil for nothing
	Delay  int                        // samples from loudspeaker to microphone
	Gain   float32                    // of that way
	Room   func(sample int64) float32 // what the microphone hears besides; may be nil

	rate    int
	at      int64
	streams []*pretended
	line    []float32 // what is on its way
}

// NewPretend is a driver with one microphone and one loudspeaker.
func NewPretend(rate int) *Pretend {
	return &Pretend{rate: rate, Plug: []Device{
		{Name: "Microphone", ID: 0, Inputs: 1, Rate: rate, DefaultInput: true},
		{Name: "Loudspeaker", ID: 1, Outputs: 2, Rate: rate, DefaultOutput: true},
	}}
}

type pretended struct {
	driver *Pretend
	output bool
	call   func([]float32, Moment)
	on     bool
	err    error
	ready  func(n int) bool // whether n more samples find their place; nil for always
}

// patient is a stream that waits, since its time is not the world's: it is told
// how to ask whether the next samples find their place.
type patient interface{ wait(ready func(n int) bool) }

func (s *pretended) wait(ready func(n int) bool) {
	s.driver.mu.Lock()
	defer s.driver.mu.Unlock()
	s.ready = ready
}

// Ready reports whether n samples may pass without one getting lost: what was
// heard has been read but for a tenth of a second, and what is to be played is
// there.
func (p *Pretend) Ready(n int) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, s := range p.streams {
		if s.on && s.ready != nil && !s.ready(n) {
			return false
		}
	}
	return true
}

// Devices implements Driver.
func (p *Pretend) Devices() ([]Device, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]Device(nil), p.Plug...), nil
}

// OpenInput implements Driver.
func (p *Pretend) OpenInput(_ Device, hear func([]float32, Moment)) (Stream, error) {
	return p.open(hear, false)
}

// OpenOutput implements Driver.
func (p *Pretend) OpenOutput(_ Device, _ bool, play func([]float32, Moment)) (Stream, error) {
	return p.open(play, true)
}

func (p *Pretend) open(call func([]float32, Moment), output bool) (Stream, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.Refuse != nil {
		return nil, p.Refuse
	}
	s := &pretended{driver: p, output: output, call: call}
	p.streams = append(p.streams, s)
	return s, nil
}

// Time implements Driver.
func (p *Pretend) Time() float64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.time()
}

func (p *Pretend) time() float64 { return 1 + float64(p.at)/float64(p.rate) }

// Step lets n samples pass.
func (p *Pretend) Step(n int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	at := Moment{Time: p.time()}
	heard := make([]float32, n)
	for _, s := range p.streams {
		if s.on && s.output {
			out := make([]float32, n)
			s.call(out, at)
			copy(heard, out)
		}
	}
	if len(p.line) == 0 {
		p.line = make([]float32, p.Delay)
	}
	p.line = append(p.line, heard...)
	for i := range heard {
		heard[i] = p.Gain * p.line[i]
		if p.Room != nil {
			heard[i] += p.Room(p.at + int64(i))
		}
	}
	p.line = append(p.line[:0], p.line[n:]...)
	for _, s := range p.streams {
		if s.on && !s.output {
			s.call(heard, at)
		}
	}
	p.at += int64(n)
}

// Outlet is Out.
func (p *Pretend) Outlet() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.Out
}

// Pull pulls everything out.
func (p *Pretend) Pull() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.Plug = nil
	for _, s := range p.streams {
		s.on, s.err = false, &Fault{Trouble: Pulled}
	}
}

// Fail lets what hears, or what plays, meet a trouble.
func (p *Pretend) Fail(output bool, trouble Trouble) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, s := range p.streams {
		if s.output == output {
			s.on, s.err = false, &Fault{Trouble: trouble}
		}
	}
}

// Set changes what is plugged in, or the way from loudspeaker to microphone,
// while time passes.
func (p *Pretend) Set(f func(*Pretend)) {
	p.mu.Lock()
	defer p.mu.Unlock()
	f(p)
}

func (s *pretended) Rate() int { return s.driver.rate }

func (s *pretended) Start() error {
	s.driver.mu.Lock()
	defer s.driver.mu.Unlock()
	s.on = true
	return nil
}

func (s *pretended) Err() error {
	s.driver.mu.Lock()
	defer s.driver.mu.Unlock()
	return s.err
}

func (s *pretended) Close() error {
	s.driver.mu.Lock()
	defer s.driver.mu.Unlock()
	s.on = false
	return nil
}
