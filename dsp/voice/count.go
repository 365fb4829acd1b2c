package voice

import (
	"bytes"
	"embed"
	"encoding/binary"
	"fmt"
	"math"

	"endpin/dsp"
)

//go:embed count/*.wav
var numbers embed.FS

// MostCounted is the highest number that Count can say.
const MostCounted = 8

const (
	countRate  = 11025
	countLevel = 0.6
	vowelShare = 0.5 // of its loudest 10 ms, at which a spoken number is felt to begin
)

// Count says a number from 1 to MostCounted, and gives how many samples after its
// beginning it is felt to fall: at its vowel, not at the hiss before it. Start it
// that much before the beat.
func Count(rate, number int) (said Clip, beat int, err error) {
	if number < 1 || number > MostCounted {
		return nil, 0, fmt.Errorf("voice: there is no number %d to say, only 1 to %d", number, MostCounted)
	}
	file, err := numbers.ReadFile(fmt.Sprintf("count/%d.wav", number))
	if err != nil {
		return nil, 0, err
	}
	at := bytes.Index(file, []byte("data"))
	if at < 0 || at+8 > len(file) {
		return nil, 0, fmt.Errorf("voice: number %d is no WAV file", number)
	}
	pcm := file[at+8:]
	spoken := make([]float32, len(pcm)/2)
	for i := range spoken {
		spoken[i] = countLevel * float32(int16(binary.LittleEndian.Uint16(pcm[2*i:]))) / (1 << 15)
	}
	return dsp.Resample(spoken, countRate, rate), int(vowel(spoken) * float64(rate) / countRate), nil
}

// vowel is the first sample of the 10 ms that come within vowelShare of the
// loudest.
func vowel(x []float32) float64 {
	const step = countRate / 100
	var loud []float64
	most := 0.0
	for i := 0; i+step <= len(x); i += step {
		sum := 0.0
		for _, v := range x[i : i+step] {
			sum += float64(v) * float64(v)
		}
		loud = append(loud, math.Sqrt(sum))
		most = math.Max(most, math.Sqrt(sum))
	}
	for i, v := range loud {
		if v >= vowelShare*most {
			return float64(i * step)
		}
	}
	return 0
}
