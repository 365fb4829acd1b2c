package recording

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// WriteWAV writes mono sound as a 16-bit WAV. Samples are between -1 and 1, rate
// is in samples a second. What is louder is clipped; what is no number is silent.
func WriteWAV(w io.Writer, rate int, sound []float32) error {
	const header = 44
	size := 2 * int64(len(sound))
	if size > math.MaxUint32-header {
		return fmt.Errorf("%d samples are more than a WAV can hold", len(sound))
	}
	b := make([]byte, 0, header)
	b = append(b, "RIFF"...)
	b = binary.LittleEndian.AppendUint32(b, uint32(header-8+size))
	b = append(b, "WAVEfmt "...)
	b = binary.LittleEndian.AppendUint32(b, 16)
	b = binary.LittleEndian.AppendUint16(b, wavPCM)
	b = binary.LittleEndian.AppendUint16(b, 1)
	b = binary.LittleEndian.AppendUint32(b, uint32(rate))
	b = binary.LittleEndian.AppendUint32(b, uint32(2*rate))
	b = binary.LittleEndian.AppendUint16(b, 2)
	b = binary.LittleEndian.AppendUint16(b, 16)
	b = append(b, "data"...)
	b = binary.LittleEndian.AppendUint32(b, uint32(size))

	out := bufio.NewWriterSize(w, bufferSize)
	out.Write(b)
	for _, x := range sound {
		v := int16(max(-1<<15, min(1<<15-1, math.RoundToEven(float64(tame(x))*(1<<15)))))
		out.Write(binary.LittleEndian.AppendUint16(out.AvailableBuffer(), uint16(v)))
	}
	return out.Flush()
}
