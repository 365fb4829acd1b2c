package voice

import (
	"bytes"
	"embed"
	"encoding/binary"
	"fmt"
	"math"
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
	spoken := make([]float64, len(pcm)/2)
	for i := range spoken {
		spoken[i] = countLevel * float64(int16(binary.LittleEndian.Uint16(pcm[2*i:]))) / 32768
	}
	said = make(Clip, int(float64(len(spoken))*float64(rate)/countRate))
	for i := range said {
		said[i] = float32(between(spoken, float64(i)*countRate/float64(rate)))
	}
	return said, int(vowel(spoken) * float64(rate) / countRate), nil
}

// between interpolates with a windowed sinc over eight samples.
func between(x []float64, at float64) float64 {
	const reach = 4
	first := int(math.Floor(at)) - reach + 1
	sum := 0.0
	for k := first; k < first+2*reach; k++ {
		if k < 0 || k >= len(x) {
			continue
		}
		d := at - float64(k)
		w := (1 + math.Cos(math.Pi*d/reach)) / 2
		if d != 0 {
			w *= math.Sin(math.Pi*d) / (math.Pi * d)
		}
		sum += w * x[k]
	}
	return sum
}

// vowel is the first sample of the 10 ms that come within vowelShare of the
// loudest.
func vowel(x []float64) float64 {
	const step = countRate / 100
	var loud []float64
	most := 0.0
	for i := 0; i+step <= len(x); i += step {
		sum := 0.0
		for _, v := range x[i : i+step] {
			sum += v * v
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
