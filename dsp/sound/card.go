package sound

import (
	"errors"
	"slices"
	"strings"
	"sync"
)

// Card is the sound of this computer. It may be used by several goroutines.
type Card struct {
	mu      sync.Mutex
	driver  Driver
	devices []Device
	open    int // streams
}

// New takes the sound from a driver. Nothing is opened yet.
func New(driver Driver) *Card { return &Card{driver: driver} }

// Devices gives what is plugged in, the system's own choice first, then by name.
// While a stream is open it gives what was there before: a list made anew would
// end the stream.
func (c *Card) Devices() ([]Device, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	err := c.look()
	return slices.Clone(c.devices), err
}

func (c *Card) look() error {
	if c.open > 0 {
		return nil
	}
	found, err := c.driver.Devices()
	if err != nil {
		return &Fault{Trouble: Refused, Err: err}
	}
	slices.SortStableFunc(found, func(a, b Device) int {
		if d := rank(a) - rank(b); d != 0 {
			return d
		}
		return strings.Compare(a.Name, b.Name)
	})
	c.devices = found
	return nil
}

func rank(d Device) int {
	if d.DefaultInput || d.DefaultOutput {
		return 0
	}
	return 1
}

// Microphone opens a device by its name; "" is what the system would choose.
func (c *Card) Microphone(name string) (*Microphone, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	d, err := c.find(name, false)
	if err != nil {
		return nil, err
	}
	m := &Microphone{Name: d.Name}
	stream, err := c.driver.OpenInput(d, m.hear)
	if err != nil {
		return nil, fault(err, d.Name, false)
	}
	m.begin(stream, c.closed)
	c.open++
	if err := stream.Start(); err != nil {
		stream.Close()
		c.open--
		return nil, fault(err, d.Name, false)
	}
	return m, nil
}

// Loudspeaker opens a device by its name; "" is what the system would choose.
func (c *Card) Loudspeaker(name string) (*Loudspeaker, error) { return c.loudspeaker(name, false) }

// Calm is Loudspeaker for what nobody plays along with: much of it is kept in hand, so that it
// does not break up on a busy computer.
func (c *Card) Calm(name string) (*Loudspeaker, error) { return c.loudspeaker(name, true) }

func (c *Card) loudspeaker(name string, calm bool) (*Loudspeaker, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	d, err := c.find(name, true)
	if err != nil {
		return nil, err
	}
	l := &Loudspeaker{Name: d.Name, ahead: aheadSeconds}
	if calm {
		l.ahead = calmSeconds
	}
	stream, err := c.driver.OpenOutput(d, calm, l.fill)
	if err != nil {
		return nil, fault(err, d.Name, true)
	}
	if o, tells := c.driver.(outlets); tells {
		l.outlet = o.Outlet
	}
	l.begin(stream, c.driver.Time, c.closed)
	c.open++
	if err := stream.Start(); err != nil {
		stream.Close()
		c.open--
		return nil, fault(err, d.Name, true)
	}
	go l.feed()
	return l, nil
}

func (c *Card) closed() {
	c.mu.Lock()
	c.open--
	c.mu.Unlock()
}

// find looks a device up by name, anew where no stream is open, so that what
// was plugged in since is found.
func (c *Card) find(name string, output bool) (Device, error) {
	if err := c.look(); err != nil {
		return Device{}, err
	}
	var first *Device
	for i, d := range c.devices {
		if output && d.Outputs == 0 || !output && d.Inputs == 0 {
			continue
		}
		chosen := output && d.DefaultOutput || !output && d.DefaultInput
		if d.Name == name || name == "" && chosen {
			return d, nil
		}
		if first == nil {
			first = &c.devices[i]
		}
	}
	switch {
	case first == nil:
		return Device{}, &Fault{Trouble: None, Output: output}
	case name == "":
		return *first, nil
	}
	return Device{}, &Fault{Trouble: Absent, Output: output, Device: name}
}

// fault puts a driver's error in our words.
func fault(err error, name string, output bool) error {
	var f *Fault
	if errors.As(err, &f) {
		return &Fault{Trouble: f.Trouble, Output: output, Device: name, Err: f.Err}
	}
	return &Fault{Trouble: Refused, Output: output, Device: name, Err: err}
}
