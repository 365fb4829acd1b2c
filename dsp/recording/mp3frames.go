package recording

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"io"

	"endpin/dsp"
)

// mp3Header is the four-byte header of an MPEG-1 or MPEG-2 Layer III frame
// (ISO/IEC 11172-3, 2.4.1.3; ISO/IEC 13818-3, 2.4.2.3).
type mp3Header struct {
	lsf      bool // MPEG-2, low sampling frequency: one granule a frame
	rate     int
	channels int
	crc      bool
	size     int // bytes, header included
}

var (
	mp3Kbits    = [15]int{0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320}
	mp3KbitsLSF = [15]int{0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160}
	mp3Rates    = [3]int{44100, 48000, 32000}
)

// parseMP3Header reads the header that b begins with. MPEG-2.5, the other
// layers and free bit rates are not understood: they are ffmpeg's.
func parseMP3Header(b []byte) (h mp3Header, ok bool) {
	if len(b) < 4 || b[0] != 0xff || b[1]&0xf6 != 0xf2 { // sync, MPEG-1 or 2, Layer III
		return h, false
	}
	kbits, rate := int(b[2]>>4), int(b[2]>>2&3)
	if kbits == 0 || kbits == 15 || rate == 3 || b[3]&3 == 2 {
		return h, false
	}
	h.lsf = b[1]&0x08 == 0
	h.crc = b[1]&0x01 == 0
	h.channels = 2
	if b[3]>>6 == 3 {
		h.channels = 1
	}
	padding := int(b[2] >> 1 & 1)
	h.rate = mp3Rates[rate]
	if h.lsf {
		h.rate /= 2
		h.size = 72000*mp3KbitsLSF[kbits]/h.rate + padding
	} else {
		h.size = 144000*mp3Kbits[kbits]/h.rate + padding
	}
	return h, h.size > 4+2+h.sideInfo() // a frame holds its own side information
}

// follows reports whether h may come after first in one stream.
func (h mp3Header) follows(first mp3Header) bool {
	return h.lsf == first.lsf && h.rate == first.rate
}

// samples is the number of samples of each channel in the frame.
func (h mp3Header) samples() int {
	if h.lsf {
		return 576
	}
	return 1152
}

// sideInfo is the length of the side information, bytes.
func (h mp3Header) sideInfo() int {
	switch {
	case h.lsf && h.channels == 1:
		return 9
	case h.lsf || h.channels == 1:
		return 17
	}
	return 32
}

// mp3Frames hands a decoder the frames of an MP3 stream and nothing else: not
// the tags and pictures between and after them, in which a decoder that looks
// for sync words alone finds frames that are none.
//
// A frame may continue main data begun in frames before it. Where those are
// lost (the stream was cut, or is damaged) it is emptied, to sound as silence,
// so that the time of everything after stays true.
type mp3Frames struct {
	r       *bufio.Reader
	first   mp3Header // whose like the others are
	known   int       // bytes of main data that the decoder holds for the next frame
	out     []byte    // of the current frame, still to be handed on
	frame   []byte
	at      int64 // samples handed on
	skipped int64 // bytes that were no frames, tags aside
	warn    *dsp.Error
}

// Read implements io.Reader.
func (m *mp3Frames) Read(p []byte) (int, error) {
	for len(m.out) == 0 {
		if err := m.next(); err != nil {
			return 0, err
		}
	}
	n := copy(p, m.out)
	m.out = m.out[n:]
	return n, nil
}

func (m *mp3Frames) next() error {
	lost := int64(0)
	for {
		b, err := m.r.Peek(4)
		if len(b) == 0 && err != nil {
			return err
		}
		if h, ok := parseMP3Header(b); ok && h.follows(m.first) {
			whole, err := m.r.Peek(h.size + 4)
			if len(whole) < h.size {
				if err == io.EOF {
					m.warn = dsp.Fault("recording.warn.last-frame")
				}
				return err
			}
			// After damage a lone sync word is not believed.
			if after, ok := parseMP3Header(whole[h.size:]); lost == 0 || ok && after.follows(m.first) {
				m.take(h, whole[:h.size], lost)
				_, err = m.r.Discard(h.size)
				return err
			}
		}
		if tag, err := m.skipTag(); err != nil || tag {
			if err != nil {
				return err
			}
			continue
		}
		if _, err := m.r.Discard(1); err != nil {
			return err
		}
		lost++
	}
}

// skipTag passes over the tags that may stand between and after the frames.
func (m *mp3Frames) skipTag() (bool, error) {
	b, _ := m.r.Peek(32)
	switch {
	case len(b) >= 10 && bytes.HasPrefix(b, []byte("ID3")):
		_, err := m.r.Discard(id3Length(b))
		return true, err
	case bytes.HasPrefix(b, []byte("TAG")):
		_, err := m.r.Discard(128)
		return true, err
	case len(b) == 32 && bytes.HasPrefix(b, []byte("APETAGEX")):
		size := int64(binary.LittleEndian.Uint32(b[12:])) // from the end of this header
		if _, err := m.r.Discard(32); err != nil {
			return true, err
		}
		_, err := io.CopyN(io.Discard, m.r, size)
		return true, err
	case bytes.HasPrefix(b, []byte("LYRICSBEGIN")):
		return true, io.EOF
	}
	return false, nil
}

// take makes frame the next one to hand on.
func (m *mp3Frames) take(h mp3Header, frame []byte, lost int64) {
	m.out = append(m.frame[:0], frame...)
	m.frame = m.out
	if lost > 0 {
		m.known = 0
		if m.at > 0 && m.skipped == 0 {
			m.warn = dsp.Fault("recording.warn.damaged-at", "at", float64(m.at)/float64(h.rate))
		}
		m.skipped += lost
	}
	m.at += int64(h.samples())

	side := m.out[4:]
	if h.crc {
		side = side[2:]
	}
	side, main := side[:h.sideInfo()], side[h.sideInfo():]
	// The main data begins that many bytes before this frame: 9 bits, MPEG-2 8.
	begin, most := int(side[0])<<1|int(side[1]>>7), 511
	if h.lsf {
		begin, most = int(side[0]), 255
	}
	if begin > m.known {
		clear(side)
		begin = min(m.known, most)
		if h.lsf {
			side[0] = byte(begin)
		} else {
			side[0], side[1] = byte(begin>>1), byte(begin<<7)
		}
	}
	m.known = begin + len(main)
}
