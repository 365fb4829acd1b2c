package portaudio

/*
#cgo linux LDFLAGS: -ldl
#include "shim.h"
*/
import "C"

import (
	"errors"
	"math"
	"slices"
	"strings"
	"sync"
	"time"

	pa "github.com/gordonklaus/portaudio"

	"endpin/dsp/sound"
)

// Driver is the sound.Driver over PortAudio. There is one PortAudio in a
// process, so there should be one Driver.
type Driver struct {
	mu      sync.Mutex // one goroutine at a time in PortAudio
	started bool

	outlet outlet

	streams sync.Mutex // held while a stream is asked, so that it does not go
	open    []*stream
}

// New gives the driver. PortAudio begins with the first question for devices.
func New() *Driver { return &Driver{} }

// Devices implements sound.Driver. PortAudio looks only as it starts, so each
// time it starts anew.
func (d *Driver) Devices() ([]sound.Device, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	C.endpin_hush()
	defer C.endpin_speak()
	if err := d.restart(); err != nil {
		return nil, failed(err)
	}
	all, err := pa.Devices()
	if err != nil {
		return nil, failed(err)
	}
	input, _ := pa.DefaultInputDevice() // none is no error: there may be devices nevertheless
	output, _ := pa.DefaultOutputDevice()
	var found []sound.Device
	seen := map[string]int{}
	for _, info := range all {
		one := sound.Device{
			ID: info.Index, Name: readable(info.Name),
			Inputs: info.MaxInputChannels, Outputs: info.MaxOutputChannels,
			Rate:         int(math.Round(info.DefaultSampleRate)),
			DefaultInput: info == input, DefaultOutput: info == output,
			Alias: info.Name == "default",
		}
		if plumbing(one.Name) || one.Inputs+one.Outputs == 0 {
			continue
		}
		// The same card may be offered by several of the system's ways to it; by
		// name alone they could not be told apart.
		if seen[one.Name]++; seen[one.Name] > 1 {
			one.Name += " (" + info.HostApi.Name + ")"
			if seen[one.Name]++; seen[one.Name] > 1 {
				continue
			}
		}
		found = append(found, one)
	}
	return found, nil
}

func (d *Driver) restart() error {
	if d.started {
		d.started = false
		if err := pa.Terminate(); err != nil {
			return err
		}
	}
	if err := pa.Initialize(); err != nil {
		return err
	}
	d.started = true
	passSmallNumbers()
	return nil
}

// passSmallNumbers lets the wrapper count its streams from 4096 on. It hands a
// stream's number to C as if it were a pointer, and Go's runtime ends the program
// where it meets a pointer below 4096 as a stack grows ("invalid pointer found on
// stack") or as -race checks pointers. A stream refused for want of a callback
// takes a number too. Take this away when the wrapper hands on a cgo.Handle.
var passSmallNumbers = sync.OnceFunc(func() {
	for range 4096 {
		pa.OpenStream(pa.StreamParameters{})
	}
})

// readable is a device's name without ALSA's address behind it, which changes
// from one plugging in to the next.
func readable(name string) string {
	name = strings.TrimSpace(name)
	if at := strings.LastIndex(name, " (hw:"); at > 0 {
		name = name[:at]
	}
	switch name {
	case "default":
		return "System default"
	case "pulse":
		return "PulseAudio"
	case "pipewire":
		return "PipeWire"
	case "jack":
		return "JACK"
	}
	return strings.TrimSuffix(name, ": -")
}

// plumbing are names that ALSA defines for converting and mixing, no devices.
func plumbing(name string) bool {
	switch name {
	case "sysdefault", "front", "rear", "center_lfe", "side", "dmix", "dsnoop", "null", "samplerate", "speexrate",
		"lavrate", "upmix", "vdownmix", "speex", "oss", "hdmi", "iec958", "spdif", "modem", "phoneline":
		return true
	}
	return strings.HasPrefix(name, "surround")
}

// Time implements sound.Driver. A stream's time is PortAudio's own clock, the
// same for all; a stream that is open is asked for it.
func (d *Driver) Time() float64 {
	d.streams.Lock()
	defer d.streams.Unlock()
	if len(d.open) == 0 {
		return 0
	}
	return d.open[0].pa.Time().Seconds()
}

// OpenInput implements sound.Driver.
func (d *Driver) OpenInput(from sound.Device, hear func([]float32, sound.Moment)) (sound.Stream, error) {
	info, err := d.device(from)
	if err != nil {
		return nil, err
	}
	s := newStream(d, from.Rate, min(2, from.Inputs), hear)
	return s.open(pa.StreamParameters{Input: pa.StreamDeviceParameters{
		Device: info, Channels: s.channels, Latency: max(heardAfter, info.DefaultLowInputLatency),
	}}, s.hear)
}

// OpenOutput implements sound.Driver.
func (d *Driver) OpenOutput(to sound.Device, calm bool, play func([]float32, sound.Moment)) (sound.Stream, error) {
	info, err := d.device(to)
	if err != nil {
		return nil, err
	}
	after := playedAfter
	if calm {
		after = calmlyAfter
	}
	s := newStream(d, to.Rate, min(2, to.Outputs), play) // with one channel, a card would play on the left alone
	return s.open(pa.StreamParameters{Output: pa.StreamDeviceParameters{
		Device: info, Channels: s.channels, Latency: max(after, info.DefaultLowOutputLatency),
	}}, s.play)
}

// Asked for where a driver offers less: that breaks up on a busy computer. A card
// is served four times in each, and every time wakes half a dozen threads. What is
// heard is waited for; what is played is mixed ahead anyhow, and where it sounds is
// reckoned with.
const (
	heardAfter  = 40 * time.Millisecond
	playedAfter = 120 * time.Millisecond
	calmlyAfter = 500 * time.Millisecond // at 120 and a load of 8 a sound server ran dry every few seconds
)

func (d *Driver) device(of sound.Device) (*pa.DeviceInfo, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if !d.started {
		return nil, &sound.Fault{Trouble: sound.Absent}
	}
	all, err := pa.Devices()
	if err != nil {
		return nil, failed(err)
	}
	if of.ID < 0 || of.ID >= len(all) {
		return nil, &sound.Fault{Trouble: sound.Absent}
	}
	return all[of.ID], nil
}

func (d *Driver) gone(s *stream) {
	d.streams.Lock()
	defer d.streams.Unlock()
	d.open = slices.DeleteFunc(d.open, func(o *stream) bool { return o == s })
}

// failed puts PortAudio's errors in terms of package sound.
func failed(err error) error {
	var host pa.UnanticipatedHostError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, pa.DeviceUnavailable), errors.As(err, &host) && strings.Contains(host.Text, "busy"):
		return &sound.Fault{Trouble: sound.Busy}
	case errors.Is(err, pa.InvalidDevice):
		return &sound.Fault{Trouble: sound.Absent}
	case errors.Is(err, pa.InvalidSampleRate):
		return &sound.Fault{Trouble: sound.Changed}
	}
	return err
}
