package midi

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"io"
	"math"
	"math/bits"
	"slices"

	"endpin/piece"
)

const (
	division = 480 // ticks a quarter note: exact for triplets and sixty-fourths
	contra   = 43  // General MIDI's contrabass, from 0
	velocity = 90
)

type event struct {
	at   int64
	rank int // what is said at one time: signs, then ends, then beginnings
	data []byte
}

// Write writes a piece as it is played, its repeats taken, as one track of a type 0 file
// with its tempos, metres and keys. Program is General MIDI's from 1; 0 is the contrabass.
func Write(w io.Writer, p *piece.Piece, program int) error {
	var events []event
	say := func(at piece.Ticks, rank int, data ...byte) {
		events = append(events, event{int64(math.Round(at.Quarters() * division)), rank, data})
	}
	meta := func(at piece.Ticks, kind byte, data ...byte) {
		say(at, 0, append([]byte{0xff, kind, byte(len(data))}, data...)...)
	}
	title := p.Title
	if len(title) > 127 {
		title = title[:127]
	}
	meta(0, 0x03, []byte(title)...)
	say(0, 0, 0xc0, byte(cmp.Or(program, contra+1)-1))
	line, played := p.Line()
	var before piece.Measure
	var metre piece.Time
	from, end := piece.Ticks(0), piece.Ticks(0)
	for i, pm := range played {
		m := p.Measures[pm.Measure]
		if t := printed(&m, i == 0); t.Unit > 0 && t.Beats < 256 {
			bar := t.Beat() * piece.Ticks(t.Beats)
			if t != metre || (pm.Onset-from)%bar != 0 && m.Length >= bar { // bar lines are counted from it on
				meta(pm.Onset, 0x58, byte(t.Beats), byte(bits.Len(uint(t.Unit))-1), 24, 8)
				metre, from = t, pm.Onset
			}
		}
		if i == 0 || m.Key != before.Key {
			mode := byte(0)
			if m.Key.Minor {
				mode = 1
			}
			meta(pm.Onset, 0x59, byte(int8(m.Key.Fifths)), mode)
		}
		if i == 0 && p.TempoAt(pm.Measure, 0) == 0 {
			m.Tempos = []piece.Tempo{{QPM: piece.Unhurried}}
		}
		for _, t := range m.Tempos {
			us := uint32(60e6 / t.QPM)
			meta(pm.Onset+t.At, 0x51, byte(us>>16), byte(us>>8), byte(us))
		}
		before, end = m, pm.Onset+m.Length
	}
	for _, n := range line {
		say(n.Onset, 2, 0x90, byte(n.MIDI), velocity)
		say(n.Onset+n.Length, 1, 0x80, byte(n.MIDI), 0)
	}
	slices.SortStableFunc(events, func(a, b event) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.rank, b.rank)) })
	var track bytes.Buffer
	now := int64(0)
	for _, e := range events {
		track.Write(varying(e.at - now))
		track.Write(e.data)
		now = e.at
	}
	track.Write(varying(max(0, int64(math.Round(end.Quarters()*division))-now)))
	track.Write([]byte{0xff, 0x2f, 0})
	var file bytes.Buffer
	file.WriteString("MThd")
	for _, field := range []any{uint32(6), uint16(0), uint16(1), uint16(division)} {
		_ = binary.Write(&file, binary.BigEndian, field) // a buffer takes everything
	}
	file.WriteString("MTrk")
	_ = binary.Write(&file, binary.BigEndian, uint32(track.Len()))
	file.Write(track.Bytes())
	_, err := w.Write(file.Bytes())
	return err
}

// printed is the metre of a measure. A pickup at the beginning is one of its own, so that
// bar lines are counted from its end.
func printed(m *piece.Measure, first bool) piece.Time {
	for t := m.Time; first && t.Unit > 0 && t.Unit <= 64 && m.Length < m.Time.Beat()*piece.Ticks(m.Time.Beats); t.Unit *= 2 {
		if m.Length > 0 && m.Length%t.Beat() == 0 {
			return piece.Time{Beats: int(m.Length / t.Beat()), Unit: t.Unit}
		}
	}
	return m.Time
}

// varying is a number of variable length.
func varying(n int64) []byte {
	out := []byte{byte(n & 0x7f)}
	for n >>= 7; n > 0; n >>= 7 {
		out = append([]byte{byte(n&0x7f) | 0x80}, out...)
	}
	return out
}
