package rig

import (
	"bytes"
	"encoding/binary"
	"math"
	"sort"
)

// A Standard MIDI File of 10 000 ticks a second, so that a tick is 0.1 ms.
const (
	ticksPerSecond  = 10000
	singleChannels  = 6  // single notes take turns, so that a release tail keeps its bend
	singleBendRange = 2  // semitones
	slurBendRange   = 12 // semitones, on the channels from singleChannels up
	slurChannels    = 3
)

type midiEvent struct {
	tick, order int
	data        []byte
}

// midiFile collects events and writes a format-0 file.
type midiFile struct {
	events []midiEvent
}

func (m *midiFile) add(seconds float64, order int, data ...byte) {
	tick := max(0, int(math.Round(seconds*ticksPerSecond)))
	m.events = append(m.events, midiEvent{tick, order, data})
}

// setUp chooses the program and the bend range (RPN 0) on every channel used.
func (m *midiFile) setUp(program int) {
	for channel := range singleChannels + slurChannels {
		bendRange := singleBendRange
		if channel >= singleChannels {
			bendRange = slurBendRange
		}
		for _, cc := range [][2]byte{{101, 0}, {100, 0}, {6, byte(bendRange)}, {38, 0}, {101, 127}, {100, 127}} {
			m.add(0, 0, 0xB0|byte(channel), cc[0], cc[1])
		}
		m.add(0, 1, 0xC0|byte(channel), byte(program))
	}
}

// bend sets a channel's bend to a whole number of cents and reports what was
// set. FluidSynth 2.3 plays 127/128 of the bend asked for and drops the
// fraction of a cent: hence 128/127, and 0.4 so as to land inside the cent
// (measured; from memory of its source).
func (m *midiFile) bend(seconds float64, channel int, cents float64) float64 {
	bendRange := singleBendRange
	if channel >= singleChannels {
		bendRange = slurBendRange
	}
	cents = math.Round(cents)
	value := 8192 + int(math.Round((cents+0.4)*128/127/(100*float64(bendRange))*8192))
	value = min(max(value, 0), 16383)
	m.add(seconds, 2, 0xE0|byte(channel), byte(value&0x7F), byte(value>>7))
	return cents
}

func (m *midiFile) note(on, off float64, channel, key, velocity int) {
	m.add(on, 4, 0x90|byte(channel), byte(key), byte(velocity))
	m.add(max(off, on+0.001), 3, 0x80|byte(channel), byte(key), 0)
}

// bytes writes the file, ending at end seconds.
func (m *midiFile) bytes(end float64) []byte {
	m.add(end, 9, 0xFF, 0x2F, 0x00)
	sort.SliceStable(m.events, func(i, j int) bool {
		a, b := m.events[i], m.events[j]
		return a.tick < b.tick || a.tick == b.tick && a.order < b.order
	})
	track := []byte{0x00, 0xFF, 0x51, 0x03, 0x0F, 0x42, 0x40} // one second a quarter note
	last := 0
	for _, e := range m.events {
		track = appendVariableLength(track, e.tick-last)
		track = append(track, e.data...)
		last = e.tick
	}
	var out bytes.Buffer
	out.WriteString("MThd")
	for _, v := range []any{uint32(6), uint16(0), uint16(1), uint16(ticksPerSecond)} {
		binary.Write(&out, binary.BigEndian, v)
	}
	out.WriteString("MTrk")
	binary.Write(&out, binary.BigEndian, uint32(len(track)))
	out.Write(track)
	return out.Bytes()
}

func appendVariableLength(to []byte, n int) []byte {
	var groups [5]byte
	at := len(groups) - 1
	groups[at] = byte(n & 0x7F)
	for n >>= 7; n > 0; n >>= 7 {
		at--
		groups[at] = byte(n&0x7F) | 0x80
	}
	return append(to, groups[at:]...)
}
