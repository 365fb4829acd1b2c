package recording

import (
	"encoding/binary"
	"io"
	"math"
	"slices"

	"endpin/dsp"
)

// WAVHeaderSize is how many bytes stand before the samples that this package writes.
const WAVHeaderSize = 44

// WAVHeader is that of mono 16-bit PCM (RIFF WAVE, Microsoft and IBM 1991). Of more
// samples than a WAV can hold it tells of as many as it can.
func WAVHeader(rate int, samples int64) []byte {
	size := uint32(min(2*samples, math.MaxUint32-WAVHeaderSize))
	b := append(make([]byte, 0, WAVHeaderSize), "RIFF"...)
	b = binary.LittleEndian.AppendUint32(b, WAVHeaderSize-8+size)
	b = append(b, "WAVEfmt "...)
	b = binary.LittleEndian.AppendUint32(b, 16)
	b = binary.LittleEndian.AppendUint16(b, wavPCM)
	b = binary.LittleEndian.AppendUint16(b, 1)
	b = binary.LittleEndian.AppendUint32(b, uint32(rate))
	b = binary.LittleEndian.AppendUint32(b, uint32(2*rate))
	b = binary.LittleEndian.AppendUint16(b, 2)
	b = binary.LittleEndian.AppendUint16(b, 16)
	b = append(b, "data"...)
	return binary.LittleEndian.AppendUint32(b, size)
}

// AppendPCM16 appends samples between -1 and 1 as a WAV holds them, two bytes each.
// What is louder is clipped; what is no number is silent.
func AppendPCM16(to []byte, samples []float32) []byte {
	for _, x := range samples {
		v := int16(max(-1<<15, min(1<<15-1, math.RoundToEven(float64(tame(x))*(1<<15)))))
		to = binary.LittleEndian.AppendUint16(to, uint16(v))
	}
	return to
}

// PCM16 appends to samples those that AppendPCM16 wrote, as they are read from a WAV.
func PCM16(to []float32, pcm []byte) []float32 {
	n := len(to)
	to = slices.Grow(to, len(pcm)/2)[:n+len(pcm)/2]
	signed16(to[n:], pcm)
	return to
}

// WriteWAV writes mono sound as a 16-bit WAV. Samples are between -1 and 1, rate
// is in samples a second.
func WriteWAV(w io.Writer, rate int, sound []float32) error {
	if int64(len(sound)) > (math.MaxUint32-WAVHeaderSize)/2 {
		return dsp.Fault("recording.too-large", "samples", len(sound))
	}
	buf := WAVHeader(rate, int64(len(sound)))
	for some := range slices.Chunk(sound, bufferSize) {
		if _, err := w.Write(buf); err != nil {
			return err
		}
		buf = AppendPCM16(buf[:0], some)
	}
	_, err := w.Write(buf)
	return err
}
