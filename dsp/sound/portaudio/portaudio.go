package portaudio

/*
#cgo pkg-config: portaudio-2.0
#cgo linux LDFLAGS: -ldl
#include "shim.h"
*/
import "C"

import (
	"errors"
	"math"
	"strings"
	"sync"
	"sync/atomic"
	"unsafe"

	"endpin/dsp/sound"
)

// Driver is the sound.Driver over PortAudio. There is one PortAudio in a
// process, so there should be one Driver.
type Driver struct {
	mu sync.Mutex
}

// New gives the driver. PortAudio begins with the first question for devices.
func New() *Driver { return &Driver{} }

// Devices implements sound.Driver.
func (d *Driver) Devices() ([]sound.Device, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	C.endpin_hush()
	defer C.endpin_speak()
	if err := failed(C.endpin_look()); err != nil {
		return nil, err
	}
	var found []sound.Device
	seen := map[string]int{}
	for i := range int(max(0, C.Pa_GetDeviceCount())) {
		info := C.Pa_GetDeviceInfo(C.PaDeviceIndex(i))
		api := C.Pa_GetHostApiInfo(info.hostApi)
		if info == nil || api == nil {
			continue
		}
		one := sound.Device{
			ID: i, Name: readable(C.GoString(info.name)),
			Inputs: int(info.maxInputChannels), Outputs: int(info.maxOutputChannels),
			Rate:          int(math.Round(float64(info.defaultSampleRate))),
			DefaultInput:  C.PaDeviceIndex(i) == C.Pa_GetDefaultInputDevice(),
			DefaultOutput: C.PaDeviceIndex(i) == C.Pa_GetDefaultOutputDevice(),
		}
		if plumbing(one.Name) || one.Inputs+one.Outputs == 0 {
			continue
		}
		// The same card may be offered by several of the system's ways to it; by
		// name alone they could not be told apart.
		if seen[one.Name]++; seen[one.Name] > 1 {
			one.Name += " (" + C.GoString(api.name) + ")"
			if seen[one.Name]++; seen[one.Name] > 1 {
				continue
			}
		}
		found = append(found, one)
	}
	return found, nil
}

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
	for i := range slots {
		if s := slots[i].Load(); s != nil && s.pa != nil {
			return float64(C.Pa_GetStreamTime(s.pa))
		}
	}
	return 0
}

// OpenInput implements sound.Driver.
func (d *Driver) OpenInput(from sound.Device, hear func([]float32, sound.Moment)) (sound.Stream, error) {
	return d.open(from, hear, true)
}

// OpenOutput implements sound.Driver.
func (d *Driver) OpenOutput(to sound.Device, play func([]float32, sound.Moment)) (sound.Stream, error) {
	return d.open(to, play, false)
}

// stream is one that is open.
type stream struct {
	pa       unsafe.Pointer
	rate     int
	slot     int
	input    bool
	channels int
	mono     []float32
	call     func([]float32, sound.Moment)
	running  atomic.Bool
}

// slots are the open streams, for the callback to find without a lock.
var slots [16]atomic.Pointer[stream]

// longestBlock is what a callback may bring at once; a longer one goes in parts.
const longestBlock = 8192

func (d *Driver) open(device sound.Device, call func([]float32, sound.Moment), input bool) (sound.Stream, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	info := C.Pa_GetDeviceInfo(C.PaDeviceIndex(device.ID))
	if info == nil {
		return nil, &sound.Fault{Trouble: sound.Absent}
	}
	s := &stream{rate: device.Rate, input: input, call: call, mono: make([]float32, longestBlock)}
	latency := info.defaultLowOutputLatency
	s.channels = min(2, device.Outputs) // with one, a card would play on the left alone
	if input {
		latency, s.channels = info.defaultLowInputLatency, min(2, device.Inputs)
	}
	// The least that a driver offers breaks up on a busy computer.
	latency = max(latency, 0.04)
	for s.slot = range slots {
		if slots[s.slot].CompareAndSwap(nil, s) {
			break
		}
		if s.slot == len(slots)-1 {
			return nil, errors.New("too many streams are open")
		}
	}
	C.endpin_hush()
	err := failed(C.endpin_open(&s.pa, C.int(device.ID), boolean(input), C.int(s.channels), C.double(s.rate), C.double(latency), C.int(s.slot)))
	C.endpin_speak()
	if err != nil {
		slots[s.slot].Store(nil)
		return nil, err
	}
	return s, nil
}

func boolean(b bool) C.int {
	if b {
		return 1
	}
	return 0
}

//export endpinBlock
func endpinBlock(slot C.int, in, out unsafe.Pointer, frames C.long, time C.double, flags C.ulong) {
	s := slots[slot].Load()
	if s == nil {
		return
	}
	n := int(frames)
	at := sound.Moment{Time: float64(time), Lost: flags&(C.paInputOverflow|C.paOutputUnderflow) != 0}
	data := in
	if !s.input {
		data = out
	}
	all := unsafe.Slice((*float32)(data), n*s.channels)
	for from := 0; from < n; from += longestBlock {
		part := all[from*s.channels : min(n, from+longestBlock)*s.channels]
		s.pass(part, at)
		at = sound.Moment{Time: at.Time + longestBlock/float64(s.rate)}
	}
}

// pass takes one part of a block from its channels to one, or the other way.
func (s *stream) pass(part []float32, at sound.Moment) {
	mono := s.mono[:len(part)/s.channels]
	if !s.input {
		s.call(mono, at)
		for i, v := range mono {
			for c := range s.channels {
				part[i*s.channels+c] = v
			}
		}
		return
	}
	scale := 1 / float32(s.channels)
	for i := range mono {
		sum := float32(0)
		for c := range s.channels {
			sum += part[i*s.channels+c]
		}
		mono[i] = sum * scale
	}
	s.call(mono, at)
}

// Rate implements sound.Stream.
func (s *stream) Rate() int { return s.rate }

// Start implements sound.Stream.
func (s *stream) Start() error {
	err := failed(C.Pa_StartStream(s.pa))
	s.running.Store(err == nil)
	return err
}

// Err implements sound.Stream.
func (s *stream) Err() error {
	if s.running.Load() && C.Pa_IsStreamActive(s.pa) != 1 {
		return &sound.Fault{Trouble: sound.Pulled}
	}
	return nil
}

// Close implements sound.Stream.
func (s *stream) Close() error {
	s.running.Store(false)
	C.Pa_AbortStream(s.pa) // Close alone would wait for what is still to be played
	err := failed(C.Pa_CloseStream(s.pa))
	slots[s.slot].Store(nil)
	return err
}

// failed puts PortAudio's errors in terms of package sound.
func failed(err C.PaError) error {
	switch err {
	case C.paNoError:
		return nil
	case C.paDeviceUnavailable:
		return &sound.Fault{Trouble: sound.Busy}
	case C.paInvalidDevice:
		return &sound.Fault{Trouble: sound.Absent}
	case C.paInvalidSampleRate:
		return &sound.Fault{Trouble: sound.Changed}
	case C.paUnanticipatedHostError:
		if info := C.Pa_GetLastHostErrorInfo(); info != nil && info.errorText != nil {
			text := C.GoString(info.errorText)
			if strings.Contains(text, "busy") {
				return &sound.Fault{Trouble: sound.Busy}
			}
			return errors.New(text)
		}
	}
	return errors.New(C.GoString(C.Pa_GetErrorText(err)))
}
