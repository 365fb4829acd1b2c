package midi

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"endpin/piece/outside"
	"endpin/piece/words"
)

// File is what a MIDI file holds, its times in quarter notes from the beginning.
type File struct {
	Tracks []Track // those with notes; in a file of type 0, one for each channel
	Tempos []Tempo // in order; empty where the file gives none, which is 120
	Metres []Metre
	Keys   []Key
}

// Track is one part.
type Track struct {
	Name    string
	Program int // General MIDI, from 1; 0 where none is set
	Drums   bool
	Notes   []Note // in order of On, the lower first
}

// Note sounds from On to Off.
type Note struct {
	On, Off float64 // quarter notes
	Pitch   int     // MIDI number
}

// Tempo is in force from a place on.
type Tempo struct{ At, QPM float64 }

// Metre is in force from a place on.
type Metre struct {
	At          float64
	Beats, Unit int
}

// Key is in force from a place on.
type Key struct {
	At     float64
	Fifths int // sharps above zero, flats below
	Minor  bool
}

// Is tells whether a file's content begins as a MIDI file does.
func Is(data []byte) bool { return bytes.HasPrefix(data, []byte("MThd")) }

const (
	mostNotes  = 100000  // of one file
	longest    = 1 << 20 // quarter notes, a hundred hours at 180
	maxName    = 100     // characters of a track's name
	drums      = 9       // General MIDI's channel 10
	mostTracks = 1000
)

// Read reads a file. Errors name the byte where it is damaged.
func Read(data []byte) (*File, error) {
	r := &reader{data: data}
	if !Is(data) || len(data) < 14 {
		return nil, words.Fault("midi.none")
	}
	size := binary.BigEndian.Uint32(data[4:])
	format, division := binary.BigEndian.Uint16(data[8:]), int16(binary.BigEndian.Uint16(data[12:]))
	if format > 1 {
		return nil, words.Fault("midi.type", "n", int(format))
	}
	switch {
	case division > 0:
		r.quarter = float64(division)
	case division < 0: // frames a second and ticks a frame: a quarter note of half a second
		r.quarter = float64(-(division >> 8)) * float64(division&0xff) / 2
	}
	if r.quarter == 0 || size < 6 || int64(size) > int64(len(data))-8 {
		return nil, words.Fault("midi.damaged", "at", 4)
	}
	f := &File{}
	for r.at = 8 + int(size); r.at+8 <= len(data); {
		kind, size := string(data[r.at:r.at+4]), int64(binary.BigEndian.Uint32(data[r.at+4:]))
		r.at += 8
		r.end = int(min(int64(len(data)), int64(r.at)+size))
		r.cut = int64(r.at)+size > int64(len(data))
		if kind == "MTrk" {
			if err := r.track(f); err != nil {
				return nil, err
			}
		}
		r.at = r.end
		if len(f.Tracks) > mostTracks {
			return nil, words.Fault("midi.tracks", "most", mostTracks)
		}
	}
	if r.notes == 0 {
		return nil, words.Fault("midi.no-notes")
	}
	slices.SortStableFunc(f.Tempos, func(a, b Tempo) int { return cmp.Compare(a.At, b.At) })
	slices.SortStableFunc(f.Metres, func(a, b Metre) int { return cmp.Compare(a.At, b.At) })
	slices.SortStableFunc(f.Keys, func(a, b Key) int { return cmp.Compare(a.At, b.At) })
	return f, nil
}

// reader goes through the bytes of a file.
type reader struct {
	data    []byte
	at, end int
	cut     bool    // the file ends before the track does
	quarter float64 // ticks
	notes   int
}

func (r *reader) damaged() error { return words.Fault("midi.damaged", "at", r.at) }

// next is the next byte of the track; false at its end.
func (r *reader) next() (byte, bool) {
	if r.at >= r.end {
		return 0, false
	}
	r.at++
	return r.data[r.at-1], true
}

// number reads a number of variable length: four bytes at most.
func (r *reader) number() (n int, ok bool) {
	for range 4 {
		b, ok := r.next()
		if !ok {
			return 0, false
		}
		n = n<<7 | int(b&0x7f)
		if b < 0x80 {
			return n, true
		}
	}
	return 0, false
}

// channel gathers what one channel of a track plays.
type channel struct {
	program int
	notes   []Note
	open    map[byte][]int // by pitch: its notes that sound
}

// track reads one track. That one says where it ends is not asked for, unless the file ends
// in it.
func (r *reader) track(f *File) error {
	var channels [16]channel
	name, now, status := "", 0.0, byte(0)
	for r.at < r.end {
		wait, ok := r.number()
		if !ok {
			return r.damaged()
		}
		if now += float64(wait) / r.quarter; now > longest {
			return words.Fault("midi.endless", "at", r.at)
		}
		b, ok := r.next()
		switch {
		case !ok:
			return r.damaged()
		case b >= 0x80:
			status = b
		case status < 0x80 || status >= 0xf0:
			return r.damaged() // data without a status before it
		default:
			r.at-- // the running status
		}
		switch {
		case status == 0xff:
			ends, err := r.meta(f, now, &name)
			if err != nil {
				return err
			}
			if ends {
				r.at, r.cut = r.end, false
			}
		case status >= 0xf0:
			n, ok := r.number()
			if !ok || n > r.end-r.at {
				return r.damaged()
			}
			r.at += n
		default:
			if err := r.message(&channels[status&0xf], status>>4, now); err != nil {
				return err
			}
		}
	}
	if r.cut {
		return r.damaged()
	}
	f.keep(channels[:], name, now)
	return nil
}

// message reads what a channel is told.
func (r *reader) message(c *channel, kind byte, now float64) error {
	a, ok := r.next()
	b, both := byte(0), true
	if kind != 0xc && kind != 0xd {
		b, both = r.next()
	}
	if !ok || !both || a >= 0x80 || b >= 0x80 {
		return r.damaged()
	}
	switch {
	case kind == 0xc:
		if c.program == 0 {
			c.program = int(a) + 1
		}
	case kind == 9 && b > 0:
		if r.notes++; r.notes > mostNotes {
			return words.Fault("midi.notes", "most", mostNotes)
		}
		if c.open == nil {
			c.open = map[byte][]int{}
		}
		c.open[a] = append(c.open[a], len(c.notes))
		c.notes = append(c.notes, Note{On: now, Off: -1, Pitch: int(a)})
	case kind == 8 || kind == 9:
		if open := c.open[a]; len(open) > 0 {
			c.notes[open[0]].Off = now
			c.open[a] = open[1:]
		}
	}
	return nil
}

// meta reads what a file says beside its notes, and whether the track ends with it.
func (r *reader) meta(f *File, now float64, name *string) (ends bool, err error) {
	kind, ok := r.next()
	n, told := r.number()
	if !ok || !told || n > r.end-r.at {
		return false, r.damaged()
	}
	text := r.data[r.at : r.at+n]
	r.at += n
	switch {
	case kind == 0x2f:
		return true, nil
	case kind == 0x03 && *name == "":
		*name = outside.Short(readable(text), maxName)
	case kind == 0x51 && n == 3:
		if us := int(text[0])<<16 | int(text[1])<<8 | int(text[2]); us > 0 {
			f.Tempos = append(f.Tempos, Tempo{now, 60e6 / float64(us)})
		}
	case kind == 0x58 && n >= 2 && text[0] > 0 && text[1] <= 6:
		f.Metres = append(f.Metres, Metre{now, int(text[0]), 1 << text[1]})
	case kind == 0x59 && n == 2:
		if fifths := int(int8(text[0])); fifths >= -7 && fifths <= 7 && text[1] <= 1 {
			f.Keys = append(f.Keys, Key{now, fifths, text[1] == 1})
		}
	}
	return false, nil
}

// readable takes names that are no UTF-8 for Latin-1, as old files are.
func readable(text []byte) string {
	if utf8.Valid(text) {
		return string(text)
	}
	var b strings.Builder
	for _, c := range text {
		b.WriteRune(rune(c))
	}
	return b.String()
}

// keep makes a track of every channel that has notes; the last of them end with the track.
func (f *File) keep(channels []channel, name string, end float64) {
	playing := 0
	for i := range channels {
		if len(channels[i].notes) > 0 {
			playing++
		}
	}
	for i, c := range channels {
		if len(c.notes) == 0 {
			continue
		}
		t := Track{Name: name, Program: c.program, Drums: i == drums, Notes: c.notes}
		if playing > 1 {
			t.Name = strings.TrimSpace(name + " " + strconv.Itoa(i+1))
		}
		for k := range t.Notes {
			if n := &t.Notes[k]; n.Off < n.On {
				n.Off = end
			}
		}
		slices.SortStableFunc(t.Notes, func(a, b Note) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Pitch, b.Pitch)) })
		f.Tracks = append(f.Tracks, t)
	}
}
