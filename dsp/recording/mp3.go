package recording

import (
	"bufio"
	"encoding/binary"
	"io"

	"github.com/hajimehoshi/go-mp3"

	"endpin/dsp"
)

// mp3Sound decodes MPEG-1 and MPEG-2 Layer III.
type mp3Sound struct {
	frames  *mp3Frames
	decoder *mp3.Decoder
	mono    bool
	skip    int   // frames of all channels to leave out: the encoder's delay
	left    int64 // frames still to come; unknown where < 0
	raw     [mp3Stereo * 1152]byte
	pending []byte // of raw
}

// mp3Stereo is the bytes in a frame as the decoder gives it: always two
// channels of 16 bits.
const mp3Stereo = 4

func openMP3(r *bufio.Reader) (samples, format, error) {
	s := &mp3Sound{frames: &mp3Frames{r: r}, left: -1}
	info := s.readInfo(r)
	if h := s.frames.first; h.rate == 22050 {
		// The library rounds the length of MPEG-2 frames after padding instead of
		// before, and so loses a byte of frames at this rate, where they are padded.
		return nil, format{}, flavour{dsp.Fault("recording.is.mp3-22050")}
	}
	err := guard(func() (err error) {
		s.decoder, err = mp3.NewDecoder(s.frames)
		return err
	})
	if err == io.EOF {
		return nil, format{}, dsp.Fault("recording.soundless", "err", err)
	}
	if err != nil {
		return nil, format{}, flavour{dsp.Fault("recording.is.mp3-kind")}
	}
	h := s.frames.first
	is := format{rate: h.rate, channels: h.channels, name: "MP3"}
	s.mono = h.channels == 1
	s.skip = info.delay
	if info.frames > 0 {
		whole := info.frames*int64(h.samples()) - int64(info.delay+info.padding)
		is.seconds = float64(max(whole, 0)) / float64(h.rate)
	}
	return s, is, nil
}

// mp3Info is what the frame of data about the stream tells, which encoders put
// before the first frame of sound.
type mp3Info struct {
	frames         int64
	delay, padding int // samples added at the front and at the end
}

// mp3DecoderDelay is what every decoder adds to the encoder's delay, samples.
const mp3DecoderDelay = 528 + 1

// readInfo reads and drops that frame ("Xing" for variable bit rates, "Info"
// for constant ones, with LAME's extension: the delays, 12 bits each, 21 bytes
// into it). Source of its layout: Mp3 Info Tag specification, revision 1,
// from memory; the outcome is held against ffmpeg's by a test.
func (s *mp3Sound) readInfo(r *bufio.Reader) (info mp3Info) {
	const (
		hasFrames, hasBytes, hasIndex, hasQuality = 1, 2, 4, 8
		delays                                    = 21
	)
	head, _ := r.Peek(4)
	h, ok := parseMP3Header(head)
	if !ok {
		return info
	}
	s.frames.first = h
	frame, err := r.Peek(h.size)
	if err != nil {
		return info
	}
	body := frame[4:]
	if h.crc {
		body = body[2:]
	}
	body = body[h.sideInfo():]
	if len(body) < 8 || string(body[:4]) != "Xing" && string(body[:4]) != "Info" {
		return info
	}
	defer r.Discard(h.size)
	flags := binary.BigEndian.Uint32(body[4:])
	body = body[8:]
	if flags&hasFrames != 0 && len(body) >= 4 {
		info.frames = int64(binary.BigEndian.Uint32(body))
	}
	for flag, length := range map[uint32]int{hasFrames: 4, hasBytes: 4, hasIndex: 100, hasQuality: 4} {
		if flags&flag != 0 {
			body = body[min(length, len(body)):]
		}
	}
	if len(body) >= delays+3 && body[0] != 0 { // the encoder's name
		b := body[delays:]
		info.delay = int(b[0])<<4 | int(b[1]>>4)
		info.padding = int(b[1]&0xf)<<8 | int(b[2])
		info.delay += mp3DecoderDelay
		info.padding = max(info.padding-mp3DecoderDelay, 0)
		if info.frames > 0 {
			s.left = max(info.frames*int64(h.samples())-int64(info.delay+info.padding), 0)
		}
	}
	return info
}

// read implements samples.
func (s *mp3Sound) read(buf []float32) (int, error) {
	if s.left == 0 {
		return 0, io.EOF
	}
	for len(s.pending) < mp3Stereo {
		if err := s.fill(); err != nil {
			return 0, err
		}
	}
	channels := 2
	if s.mono {
		channels = 1
	}
	n := min(len(buf)/channels, len(s.pending)/mp3Stereo)
	if s.left > 0 {
		n = int(min(int64(n), s.left))
		s.left -= int64(n)
	}
	for i := range n {
		b := s.pending[mp3Stereo*i:]
		left := float32(int16(binary.LittleEndian.Uint16(b))) / (1 << 15)
		if s.mono {
			buf[i] = left
			continue
		}
		buf[2*i] = left
		buf[2*i+1] = float32(int16(binary.LittleEndian.Uint16(b[2:]))) / (1 << 15)
	}
	s.pending = s.pending[mp3Stereo*n:]
	return n * channels, nil
}

// fill decodes the next frame and leaves out the encoder's delay.
func (s *mp3Sound) fill() error {
	n := 0
	err := guard(func() (err error) {
		n, err = io.ReadFull(s.decoder, s.raw[:])
		return err
	})
	if n == 0 && err != nil && err != io.EOF {
		return dsp.Fault("recording.damaged", "err", err)
	}
	s.pending = s.raw[:n-n%mp3Stereo]
	drop := min(s.skip, len(s.pending)/mp3Stereo)
	s.skip -= drop
	s.pending = s.pending[mp3Stereo*drop:]
	if n == 0 {
		return io.EOF
	}
	return nil
}

func (s *mp3Sound) warning() *dsp.Error { return s.frames.warn }
func (s *mp3Sound) close() error        { return nil }
