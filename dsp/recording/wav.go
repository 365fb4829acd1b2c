package recording

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"

	"endpin/dsp"
)

// wav reads RIFF WAVE and its 64-bit siblings RF64 and BW64.
//
// Sources: IBM and Microsoft, "Multimedia Programming Interface and Data
// Specifications 1.0" (1991); Microsoft, "Multiple channel audio data and WAVE
// files" (WAVE_FORMAT_EXTENSIBLE); EBU Tech 3306 (RF64) and ITU-R BS.2088 (BW64).
type wav struct {
	r       *bufio.Reader
	frame   int   // bytes in a frame: one sample of every channel
	sample  int   // bytes in a sample
	left    int64 // bytes of sound still promised; unknown where < 0
	got     int64 // bytes of sound read
	convert func(dst []float32, src []byte)
	raw     []byte
	bytesPS int        // bytes a second
	warn    *dsp.Error // see samples
}

// Tags of the fmt chunk.
const (
	wavPCM        = 1
	wavFloat      = 3
	wavExtensible = 0xFFFE
)

// unknownLength says that a data length means "to the end of the file": ffmpeg
// writes 0xFFFFFFFF into a pipe, sox about 0x7FFFFFFF. What lies between is meant.
func unknownLength(size int64) bool {
	return size >= 0x7FFF0000 && size <= 0x7FFFFFFF || size >= 0xFFFF0000
}

// openWAV reads a WAV up to its sound. most is how many bytes the file holds, 0 where
// nobody knows.
func openWAV(r *bufio.Reader, most int64) (samples, format, error) {
	var head [12]byte
	if _, err := io.ReadFull(r, head[:]); err != nil {
		return nil, format{}, noSound(err)
	}
	w := &wav{r: r}
	is := format{name: "WAV"}
	var long int64 // the length of the sound by an RF64 header
	seen := false  // the fmt chunk
	for range maxChunks {
		id, size, err := chunk(r)
		if err != nil {
			return nil, format{}, noSound(err)
		}
		left := size // of its body
		switch id {
		case "ds64":
			var body [16]byte
			if size < int64(len(body)) {
				return nil, format{}, dsp.Fault("recording.header.wav")
			}
			if _, err := io.ReadFull(r, body[:]); err != nil {
				return nil, format{}, noSound(err)
			}
			left -= int64(len(body))
			long = int64(binary.LittleEndian.Uint64(body[8:]))
		case "fmt ":
			body := make([]byte, min(size, 40))
			if _, err := io.ReadFull(r, body); err != nil {
				return nil, format{}, noSound(err)
			}
			left -= int64(len(body))
			if err := w.parseFormat(body, &is); err != nil {
				return nil, format{}, err
			}
			seen = true
		case "data":
			if !seen {
				return nil, format{}, dsp.Fault("recording.no-fmt")
			}
			w.promise(r, size, long, &is)
			if most > 0 { // whatever the header promises
				is.seconds = min(is.seconds, float64(most)/float64(w.bytesPS))
			}
			if _, err := r.Peek(1); err != nil || w.left == 0 {
				return nil, format{}, noSound(io.EOF)
			}
			return w, is, nil
		}
		if err := skip(r, left, size%2 != 0); err != nil {
			return nil, format{}, noSound(err)
		}
	}
	return nil, format{}, dsp.Fault("recording.damaged.wav")
}

// maxChunks bounds the search for the sound through hostile headers.
const maxChunks = 1 << 16

func noSound(err error) error {
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return dsp.Fault("recording.ends-after-header", "err", err)
	}
	return err
}

// chunk reads a chunk's header.
func chunk(r *bufio.Reader) (id string, size int64, err error) {
	var head [8]byte
	if _, err = io.ReadFull(r, head[:]); err != nil {
		return "", 0, err
	}
	return string(head[:4]), int64(binary.LittleEndian.Uint32(head[4:])), nil
}

// skip passes over what is left of a chunk's body. Odd bodies are padded to
// even ones, though some programs forget it.
func skip(r *bufio.Reader, left int64, odd bool) error {
	if _, err := io.CopyN(io.Discard, r, left); err != nil || !odd {
		return err
	}
	next, err := r.Peek(4)
	if err == nil && (string(next) == "data" || string(next) == "fmt ") {
		return nil
	}
	_, err = r.Discard(1)
	return err
}

// promise notes how much sound the header promises.
func (w *wav) promise(r *bufio.Reader, size, long int64, is *format) {
	if unknownLength(size) && long > 0 {
		size = long
	} else if unknownLength(size) || size == 0 && !w.trulyEmpty(r) {
		w.left = -1
		return
	}
	w.left = size
	is.seconds = float64(size) / float64(w.bytesPS)
}

// trulyEmpty tells a data chunk without sound from one whose length was never
// filled in: other chunks follow the first.
func (w *wav) trulyEmpty(r *bufio.Reader) bool {
	next, err := r.Peek(8)
	if err != nil {
		return true
	}
	switch string(next[:4]) {
	case "LIST", "fact", "cue ", "id3 ", "ID3 ", "bext", "smpl", "PEAK":
		return binary.LittleEndian.Uint32(next[4:]) < 1<<24
	}
	return false
}

// parseFormat reads the body of the fmt chunk.
func (w *wav) parseFormat(body []byte, is *format) error {
	if len(body) < 16 {
		return dsp.Fault("recording.header.wav")
	}
	tag := binary.LittleEndian.Uint16(body)
	is.channels = int(binary.LittleEndian.Uint16(body[2:]))
	is.rate = int(int32(binary.LittleEndian.Uint32(body[4:])))
	w.frame = int(binary.LittleEndian.Uint16(body[12:]))
	bits := int(binary.LittleEndian.Uint16(body[14:]))
	if tag == wavExtensible && len(body) >= 26 {
		tag = binary.LittleEndian.Uint16(body[24:])
	}
	if tag != wavPCM && tag != wavFloat {
		return flavour{dsp.Fault("recording.is.wav-compressed", "tag", fmt.Sprintf("0x%04X", tag))}
	}
	if is.channels == 0 || bits == 0 {
		return dsp.Fault("recording.header.wav")
	}
	// A sample may lie in more bytes than it needs, against their upper end.
	if w.frame%is.channels == 0 {
		w.sample = w.frame / is.channels
	}
	if need := (bits + 7) / 8; w.sample < need || w.sample > 8 {
		w.sample = need
	}
	w.frame = w.sample * is.channels
	w.bytesPS = w.frame * max(is.rate, 1)

	kind := ""
	switch {
	case tag == wavPCM && w.sample == 1:
		w.convert = unsigned8
	case tag == wavPCM && w.sample == 2:
		w.convert = signed16
	case tag == wavPCM && w.sample == 3:
		w.convert = signed24
	case tag == wavPCM && w.sample == 4:
		w.convert = signed32
	case tag == wavFloat && w.sample == 4:
		w.convert, kind = float32s, " float"
	case tag == wavFloat && w.sample == 8:
		w.convert, kind = float64s, " float"
	default:
		return flavour{dsp.Fault("recording.is.wav-bits", "bits", bits)}
	}
	is.name = fmt.Sprintf("WAV, %d-bit%s", bits, kind)
	return nil
}

// read implements samples.
func (w *wav) read(buf []float32) (int, error) {
	if w.left >= 0 && w.left < int64(w.frame) && w.goesOn() {
		w.warn = dsp.Fault("recording.warn.longer", "promised", w.seconds(w.got))
		w.left = -1
	}
	if w.left >= 0 && w.left < int64(w.frame) {
		if w.left > 0 {
			w.left, w.warn = 0, dsp.Fault("recording.warn.mid-sample")
		}
		return 0, io.EOF
	}
	want := len(buf) * w.sample / w.frame * w.frame
	if want > bufferSize {
		want = max(bufferSize/w.frame, 1) * w.frame
	}
	if w.left >= 0 {
		want = int(min(int64(want), w.left/int64(w.frame)*int64(w.frame)))
	}
	if len(w.raw) < want {
		w.raw = make([]byte, want)
	}
	n, err := io.ReadFull(w.r, w.raw[:want])
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return 0, err
	}
	w.got += int64(n)
	if w.left >= 0 {
		w.left -= int64(n)
	}
	if err != nil {
		w.cutShort(n)
	}
	n -= n % w.frame
	if n == 0 {
		return 0, io.EOF
	}
	n /= w.sample
	w.convert(buf[:n], w.raw)
	return n, nil
}

// goesOn tells whether sound follows where it should be over: a recorder that was
// switched off may have left a length of long before. Chunks follow with a name in
// plain letters, perhaps after a byte of padding, and tags and zeros may; anything
// else of some length is sound.
func (w *wav) goesOn() bool {
	next, _ := w.r.Peek(4096)
	if len(next) < 4096 || bytes.HasPrefix(next, []byte("TAG")) || len(bytes.Trim(next, "\x00")) == 0 {
		return false
	}
	return !isChunk(next) && !isChunk(next[1:])
}

// isChunk tells whether b begins with the name of a chunk.
func isChunk(b []byte) bool {
	for _, c := range b[:4] {
		if c < ' ' || c > '~' {
			return false
		}
	}
	return true
}

// bufferSize is how many bytes are converted at a time.
const bufferSize = 32 << 10

// cutShort notes that the file ended before its header said, n bytes after the
// last whole read.
func (w *wav) cutShort(n int) {
	got, promised := w.seconds(w.got), w.seconds(w.got+w.left)
	switch {
	case w.left > 0 && promised-got >= 0.1:
		w.warn = dsp.Fault("recording.warn.cut-short", "promised", promised, "held", got)
	case w.left > 0 || n%w.frame != 0:
		w.warn = dsp.Fault("recording.warn.mid-sample")
	}
	w.left = 0
}

func (w *wav) seconds(bytes int64) float64 { return float64(bytes) / float64(w.bytesPS) }

func (w *wav) warning() *dsp.Error { return w.warn }
func (w *wav) close() error        { return nil }
