package room

import (
	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/ui/desk/attempt"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/score"
)

// Room is what hears and sounds at a desk, and the attempt that goes on there. It belongs
// to the desk's goroutine.
type Room struct {
	Running bool         // an attempt goes on
	Live    attempt.Live // of it
	Loud    Loudness     // of the microphone, while it is open

	host     Host
	computer *Computer
	run      *run

	trial     *trial         // the microphone, open to see its level
	measuring *errand.Errand // of the delay
	measured  string         // how that goes, or what it came to
}

// Host is the desk that the room is around. Its methods are called on the desk's goroutine.
type Host interface {
	Post(func())           // on that goroutine
	Changed()              // what is seen is another
	Say(sentence string)   // empty takes away what was said
	Fault(sentence string) // likewise; what does not go, and the mend
	Add(sentence string)   // behind what was said already
	Chosen() Devices
	KeepLatency(pair string, seconds float64)
	Hearing() bool // a take is being heard
}

// Devices are the microphone and the loudspeaker that were chosen, by name: "" is the
// system's own choice.
type Devices struct {
	Microphone, Loudspeaker string
	Latency                 map[string]float64 // the measured round trip, s, by pair (see Pair)
}

// Computer is what a room is given of this computer.
type Computer struct {
	Card *sound.Card // nil for none

	// Instead gives what plays a piece in the place of a microphone that is not there,
	// nil for nothing, and its name for the user; it may be nil. Where the desk leads,
	// its first note is to sound after what at gives, in s, once the source is read.
	Instead func(s *score.Score, at func() float64) (source dsp.Source, name string, err error)

	// Listening is called once a stream runs, from its goroutine; may be nil.
	Listening func()
}

// New is the room around a desk.
func New(h Host, c *Computer) *Room { return &Room{host: h, computer: c} }

// Begin begins an attempt; what came of it is told at its end.
func (m *Room) Begin(a Asked, ended func(Played)) error {
	m.EndMicrophoneTrial()
	r, err := m.open(a)
	if err != nil {
		return err
	}
	m.run, m.Running, m.Live = r, true, r.live()
	go m.listen(r, ended)
	return nil
}

// End ends the attempt that goes on.
func (m *Room) End() {
	if m.run != nil {
		m.run.end()
	}
}

// Cueing gives the cues now; ok is false unless somebody bows silently.
func (m *Room) Cueing() (c attempt.Cueing, ok bool) {
	r := m.run
	if !m.Running || r == nil || r.asked.Bows == nil {
		return c, false
	}
	if r.cued == nil {
		r.cued = r.attempt.Cued(r.asked.Bows)
	}
	return r.cued.At(m.Live), true
}
