package recording

import (
	"encoding/binary"
	"math"
)

// The conversions fill dst from the little-endian samples in src. Full scale of
// an integer is its most negative value, which becomes -1.

func unsigned8(dst []float32, src []byte) {
	src = src[:len(dst)]
	for i, b := range src {
		dst[i] = float32(int(b)-128) / (1 << 7)
	}
}

func signed16(dst []float32, src []byte) {
	for i := range dst {
		dst[i] = float32(int16(binary.LittleEndian.Uint16(src[2*i:]))) / (1 << 15)
	}
}

func signed24(dst []float32, src []byte) {
	for i := range dst {
		b := src[3*i : 3*i+3]
		dst[i] = float32(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)) / (1 << 31)
	}
}

func signed32(dst []float32, src []byte) {
	for i := range dst {
		dst[i] = float32(int32(binary.LittleEndian.Uint32(src[4*i:]))) / (1 << 31)
	}
}

func float32s(dst []float32, src []byte) {
	for i := range dst {
		dst[i] = tame(math.Float32frombits(binary.LittleEndian.Uint32(src[4*i:])))
	}
}

func float64s(dst []float32, src []byte) {
	for i := range dst {
		dst[i] = tame(float32(math.Float64frombits(binary.LittleEndian.Uint64(src[8*i:]))))
	}
}

// tame brings what a float file may hold beyond full scale back to it, and
// makes silence of what is no number.
func tame(x float32) float32 {
	switch {
	case x > 1:
		if x > math.MaxFloat32 {
			return 0
		}
		return 1
	case x < -1:
		if x < -math.MaxFloat32 {
			return 0
		}
		return -1
	case x != x:
		return 0
	}
	return x
}
