package portaudio

// #include "shim.h"
import "C"

import (
	"sync"
	"sync/atomic"
	"time"

	pa "github.com/gordonklaus/portaudio"

	"endpin/dsp/sound"
)

// stream is one that is open. Its callback copies and counts and does nothing
// else. The wrapper around it takes a lock for reading, calls by reflection and
// allocates a little each time; that is its own affair, and some µs of the 10 ms
// and more that a block lasts.
type stream struct {
	driver   *Driver
	pa       *pa.Stream
	rate     int
	channels int
	mono     []float32 // the callback's own
	call     func([]float32, sound.Moment)
	blocks   atomic.Int64 // that the callback brought so far

	mu      sync.Mutex
	running bool
	seen    int64         // blocks at the last look that found new ones
	looked  time.Time     // for them last
	waited  time.Duration // for the next
}

const (
	longestBlock = 8192                   // a longer one goes in parts
	patience     = 3 * time.Second        // without a block before a device counts as gone: a sound server that ran dry is silent for two
	glance       = 100 * time.Millisecond // most that one look counts: whoever was not let look was let have no block
)

func newStream(d *Driver, rate, channels int, call func([]float32, sound.Moment)) *stream {
	return &stream{driver: d, rate: rate, channels: channels, mono: make([]float32, longestBlock), call: call}
}

// open takes a callback of the types by which the wrapper knows what is asked.
func (s *stream) open(p pa.StreamParameters, callback any) (sound.Stream, error) {
	s.driver.mu.Lock()
	defer s.driver.mu.Unlock()
	p.SampleRate = float64(s.rate)
	p.FramesPerBuffer = pa.FramesPerBufferUnspecified
	C.endpin_hush()
	opened, err := pa.OpenStream(p, callback)
	C.endpin_speak()
	if err != nil {
		return nil, failed(err)
	}
	s.pa = opened
	s.driver.streams.Lock()
	s.driver.open = append(s.driver.open, s)
	s.driver.streams.Unlock()
	return s, nil
}

// hear is the callback of a microphone: from all channels to one.
func (s *stream) hear(in []float32, at pa.StreamCallbackTimeInfo, flags pa.StreamCallbackFlags) {
	s.blocks.Add(1)
	moment := sound.Moment{Time: at.InputBufferAdcTime.Seconds(), Lost: flags&pa.InputOverflow != 0}
	for len(in) > 0 {
		mono := s.mono[:min(longestBlock, len(in)/s.channels)]
		s.mix(mono, in)
		s.call(mono, moment)
		in = in[len(mono)*s.channels:]
		moment = sound.Moment{Time: moment.Time + float64(len(mono))/float64(s.rate)}
	}
}

// play is the callback of a loudspeaker: from one channel to all.
func (s *stream) play(out []float32, at pa.StreamCallbackTimeInfo, flags pa.StreamCallbackFlags) {
	s.blocks.Add(1)
	moment := sound.Moment{Time: at.OutputBufferDacTime.Seconds(), Lost: flags&pa.OutputUnderflow != 0}
	for len(out) > 0 {
		mono := s.mono[:min(longestBlock, len(out)/s.channels)]
		s.call(mono, moment)
		s.spread(out, mono)
		out = out[len(mono)*s.channels:]
		moment = sound.Moment{Time: moment.Time + float64(len(mono))/float64(s.rate)}
	}
}

func (s *stream) mix(mono, all []float32) {
	scale := 1 / float32(s.channels)
	for i := range mono {
		sum := float32(0)
		for _, v := range all[i*s.channels : (i+1)*s.channels] {
			sum += v
		}
		mono[i] = sum * scale
	}
}

func (s *stream) spread(all, mono []float32) {
	for i, v := range mono {
		for c := range s.channels {
			all[i*s.channels+c] = v
		}
	}
}

// Rate implements sound.Stream.
func (s *stream) Rate() int { return s.rate }

// Start implements sound.Stream.
func (s *stream) Start() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.pa.Start(); err != nil {
		return failed(err)
	}
	s.running, s.seen, s.looked, s.waited = true, 0, time.Now(), 0
	return nil
}

// Err implements sound.Stream. A device that went away brings no blocks; by no
// other sign do all systems tell it.
func (s *stream) Err() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch n, now := s.blocks.Load(), time.Now(); {
	case !s.running:
		return nil
	case n != s.seen:
		s.seen, s.looked, s.waited = n, now, 0
	default:
		s.waited += min(glance, now.Sub(s.looked))
		if s.looked = now; s.waited > patience {
			return &sound.Fault{Trouble: sound.Pulled}
		}
	}
	return nil
}

// Close implements sound.Stream.
func (s *stream) Close() error {
	s.mu.Lock()
	s.running = false
	s.mu.Unlock()
	s.driver.gone(s)
	s.pa.Abort() // Close alone would wait for what is still to be played
	return failed(s.pa.Close())
}
