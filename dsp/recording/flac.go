package recording

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"log"
	"sync"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"

	"endpin/dsp"
)

// flacSound decodes FLAC (RFC 9639).
type flacSound struct {
	stream *flac.Stream
	scale  float32
	frame  *frame.Frame
	at     int   // in the frame
	done   int64 // frames of all channels handed on, or lying in frame
	warn   *dsp.Error
}

func openFLAC(r *bufio.Reader) (samples, format, error) {
	s := &flacSound{}
	err := guard(func() (err error) {
		s.stream, err = flac.New(r)
		return err
	})
	if err != nil {
		return nil, format{}, ended(err, "recording.header")
	}
	info := s.stream.Info
	is := format{
		rate:     int(info.SampleRate),
		channels: int(info.NChannels),
		name:     fmt.Sprintf("FLAC, %d-bit", info.BitsPerSample),
	}
	if info.SampleRate == 0 || info.BitsPerSample < 4 || info.NChannels == 0 {
		return nil, format{}, dsp.Fault("recording.header")
	}
	if info.BitsPerSample > 24 {
		return nil, format{}, flavour{dsp.Fault("recording.is.flac-bits", "bits", info.BitsPerSample)}
	}
	is.seconds = float64(info.NSamples) / float64(is.rate)
	s.scale = 1 / float32(int64(1)<<(info.BitsPerSample-1))
	hushFLAC()
	if err := s.next(); err != nil {
		return nil, format{}, ended(err, "recording.damaged-start")
	}
	return s, is, nil
}

// ended tells a stream that is over too soon from one that is wrong.
func ended(err error, wrong string) error {
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return dsp.Fault("recording.ends-after-header", "err", err)
	}
	return dsp.Fault(wrong, "err", err)
}

// next decodes the next frame.
func (s *flacSound) next() error {
	info := s.stream.Info
	err := guard(func() (err error) {
		s.frame, err = s.stream.Next()
		if err != nil {
			return err
		}
		if s.frame.BitsPerSample == 0 { // as the stream's header says
			s.frame.BitsPerSample = info.BitsPerSample
		}
		if err := s.frame.Parse(); err != nil {
			return err
		}
		if s.frame.Channels.Count() != int(info.NChannels) ||
			s.frame.BitsPerSample != info.BitsPerSample ||
			s.frame.SampleRate != 0 && s.frame.SampleRate != info.SampleRate {
			return fmt.Errorf("a frame differs from the stream's header")
		}
		for _, sub := range s.frame.Subframes {
			if len(sub.Samples) != int(s.frame.BlockSize) {
				return fmt.Errorf("a frame is short of samples")
			}
		}
		return nil
	})
	promised := int64(info.NSamples)
	switch {
	case err == nil:
		s.at = 0
		s.done += int64(s.frame.BlockSize)
		return nil
	case promised > 0 && s.done >= promised:
		return io.EOF // tags and padding may follow the sound
	case err == io.ErrUnexpectedEOF && s.done > 0, err == io.EOF && promised > 0 && s.done > 0:
		s.warn = dsp.Fault("recording.warn.short")
		if promised > 0 {
			s.warn = dsp.Fault("recording.warn.cut-short", "promised", s.seconds(promised), "held", s.seconds(s.done))
		}
		return io.EOF
	case err == io.EOF || err == io.ErrUnexpectedEOF:
		return io.EOF
	case s.done == 0:
		return err
	}
	return dsp.Fault("recording.damaged-at", "at", s.seconds(s.done), "err", err)
}

func (s *flacSound) seconds(frames int64) float64 {
	return float64(frames) / float64(s.stream.Info.SampleRate)
}

// read implements samples.
func (s *flacSound) read(buf []float32) (int, error) {
	for s.at == int(s.frame.BlockSize) {
		if err := s.next(); err != nil {
			s.at = int(s.frame.BlockSize)
			return 0, err
		}
	}
	channels := len(s.frame.Subframes)
	n := min(len(buf)/channels, int(s.frame.BlockSize)-s.at)
	for c, sub := range s.frame.Subframes {
		for i, x := range sub.Samples[s.at : s.at+n] {
			buf[i*channels+c] = max(-1, min(1, float32(x)*s.scale))
		}
	}
	s.at += n
	return n * channels, nil
}

func (s *flacSound) warning() *dsp.Error { return s.warn }
func (s *flacSound) close() error        { return nil }

// hushFLAC keeps from the user's terminal the library's request for fixtures,
// which it logs with each frame at 24 and 176.4 kHz. Nothing else is withheld.
var hushFLAC = sync.OnceFunc(func() { log.SetOutput(flacHush{log.Writer()}) })

type flacHush struct{ io.Writer }

func (h flacHush) Write(line []byte) (int, error) {
	if bytes.Contains(line, []byte("The flac library test cases do not yet include")) {
		return len(line), nil
	}
	return h.Writer.Write(line)
}
