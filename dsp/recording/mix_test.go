package recording

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/dsp/sourcetest"
)

const mixRate = 44100

// tracks is sound of several channels in memory.
type tracks struct {
	channels [][]float32
	at       int
}

func (s *tracks) read(buf []float32) (int, error) {
	n := 0
	for ; n+len(s.channels) <= len(buf) && s.at < len(s.channels[0]); s.at++ {
		for _, c := range s.channels {
			buf[n] = c[s.at]
			n++
		}
	}
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}
func (s *tracks) warning() *dsp.Error { return nil }
func (s *tracks) close() error        { return nil }

func mixedSource(channels ...[]float32) dsp.Source {
	is := format{rate: mixRate, channels: len(channels)}
	return &Recording{format: is, sound: newMix(&tracks{channels: channels}, is)}
}

func mixed(t *testing.T, channels ...[]float32) []float32 {
	return heard(t, mixedSource(channels...).(*Recording))
}

func times(sound []float32, by float32) []float32 {
	out := make([]float32, len(sound))
	for i, x := range sound {
		out[i] = x * by
	}
	return out
}

func plus(a, b []float32) []float32 {
	out := make([]float32, len(a))
	for i := range a {
		out[i] = a[i] + b[i]
	}
	return out
}

func noise(seed uint64, seconds, level float64) []float32 {
	r := rand.New(rand.NewPCG(seed, 0))
	out := make([]float32, int(seconds*mixRate))
	for i := range out {
		out[i] = float32(level * r.NormFloat64())
	}
	return out
}

func silence(seconds float64) []float32 { return make([]float32, int(seconds*mixRate)) }

func join(parts ...[]float32) []float32 {
	out := []float32{}
	for _, p := range parts {
		out = append(out, p...)
	}
	return out
}

// same holds one sound against another, sample by sample.
func same(t *testing.T, want, got []float32, of ...any) {
	t.Helper()
	assert.Len(t, got, len(want), of...)
	for i := range min(len(want), len(got)) {
		if want[i] != got[i] {
			assert.Fail(t, fmt.Sprintf("sample %d is %g, not %g", i, got[i], want[i]), of...)
			return
		}
	}
}

// quietest is the level of the quietest tenth of a second, dB re that of want.
func quietest(got, want []float32) float64 {
	const tenth = mixRate / 10
	least := math.Inf(1)
	for i := 0; i+tenth <= len(got); i += tenth {
		least = min(least, 20*math.Log10(rms(got[i:i+tenth])/rms(want[i:i+tenth])))
	}
	return least
}

// sharpest is the largest second difference, in terms of that of a tone of full
// scale: a click is many times that of the tone itself.
func sharpest(sound []float32, freq float64) float64 {
	most := 0.0
	for i := 2; i < len(sound); i++ {
		most = max(most, math.Abs(float64(sound[i]-2*sound[i-1]+sound[i-2])))
	}
	return most / math.Pow(2*math.Pi*freq/mixRate, 2)
}

func TestSameSoundInBothChannelsIsThatSound(t *testing.T) {
	bass := tone(98, mixRate, 2.05, 0.5)
	same(t, bass, mixed(t, bass, bass))
}

func TestInvertedChannelDoesNotCancel(t *testing.T) {
	bass := tone(98, mixRate, 3, 0.5)
	same(t, bass, mixed(t, bass, times(bass, -1)))
	assert.InDelta(t, 0, quietest(mixed(t, bass, times(bass, -0.5)), bass), 2.6, "0.5 and 0.25 averaged")
	room := plus(times(bass, -0.8), noise(1, 3, 0.01))
	assert.Greater(t, quietest(mixed(t, bass, room), bass), -1.5)
}

func TestDeadChannelDoesNotHalveTheSound(t *testing.T) {
	bass := tone(98, mixRate, 3, 0.5)
	for what, dead := range map[string][]float32{
		"silent":    silence(3),
		"hissing":   noise(1, 3, 0.003),
		"an offset": plus(silence(3), times(tone(0.001, mixRate, 3, 1), 40)),
		"crosstalk": times(bass, 0.05),
		"humming":   tone(50, mixRate, 3, 0.02),
	} {
		same(t, bass, mixed(t, bass, dead), what)
		same(t, bass, mixed(t, dead, bass), what)
	}
}

func TestOffsetsDoNotMakeInvertedChannelsAlike(t *testing.T) {
	bass := tone(98, mixRate, 3, 0.2)
	offset := make([]float32, len(bass))
	for i := range offset {
		offset[i] = 0.5
	}
	got := mixed(t, plus(bass, offset), plus(times(bass, -1), offset))
	assert.InDelta(t, 0, quietest(got, bass), 0.1)
}

func TestChannelsWithDifferentSoundGiveTheLouder(t *testing.T) {
	bass, piano := tone(98, mixRate, 3, 0.5), tone(220, mixRate, 3, 0.4)
	same(t, bass, mixed(t, bass, piano))
	same(t, bass, mixed(t, piano, bass))
}

func TestOneOfSixChannelsIsEnough(t *testing.T) {
	bass := tone(98, mixRate, 2, 0.5)
	hush := func(seed uint64) []float32 { return noise(seed, 2, 0.001) }
	same(t, bass, mixed(t, hush(1), hush(2), hush(3), bass, hush(4), hush(5)))
	got := mixed(t, bass, times(bass, -1), bass, hush(1), bass, times(bass, -1))
	assert.InDelta(t, 0, quietest(got, bass), 0.01)
}

// The room before the first note says nothing of the channels, however long.
func TestFirstNoteAfterALongWaitIsWhole(t *testing.T) {
	bass := tone(98, mixRate, 2, 0.5)
	for what, room := range map[string]func(seed uint64) []float32{
		"silence": func(uint64) []float32 { return silence(20) },
		"hiss":    func(seed uint64) []float32 { return noise(seed, 20, 0.0005) },
	} {
		for name, right := range map[string][]float32{
			"inverted": times(bass, -1), "dead": silence(2), "louder": times(bass, 1.5), "the same": bass,
		} {
			got := mixed(t, join(room(1), bass), join(room(2), right))[20*mixRate:]
			assert.Greater(t, quietest(got, bass), -0.1, "%s, then %s", what, name)
			assert.Less(t, sharpest(got, 98), 0.5*1.6, "%s, then %s", what, name)
		}
	}
}

func TestTalkBesideOneMicrophoneLeavesTheBassAlone(t *testing.T) {
	// A teacher talks into the right channel, which hears no bass.
	bass := tone(98, mixRate, 6, 0.3)
	got := mixed(t, join(noise(1, 5, 0.001), bass), join(noise(2, 5, 0.2), noise(3, 6, 0.001)))[5*mixRate:]
	assert.Greater(t, quietest(got[mixRate/5:], bass[mixRate/5:]), -0.1)
}

func TestChangeInTheTakeNeitherClicksNorFallsSilent(t *testing.T) {
	a := tone(98, mixRate, 12, 0.5)
	head, tail := 6*mixRate, len(a)-6*mixRate
	fade := func(sound []float32, from, to float32) []float32 { // over a second in the middle
		out := append([]float32(nil), sound...)
		for i := range out {
			at := min(max(float32(i-head)/mixRate, 0), 1)
			out[i] *= from + (to-from)*at
		}
		return out
	}
	for what, c := range map[string]struct {
		left, right []float32
		least       float64 // dB; where they give way, each is at -6 dB in the middle
	}{
		"right fades out":               {a, fade(a, 1, 0), -6.1},
		"left fades out":                {fade(a, 1, 0), a, -6.1},
		"left fades out, right inverse": {fade(a, 1, 0), times(a, -1), -6.1},
		"left gives way to the right":   {fade(a, 1, 0), fade(a, 0, 1), -9},
		"gives way, inverse":            {fade(a, 1, 0), fade(a, 0, -1), -9},
	} {
		got := mixed(t, c.left, c.right)
		assert.Len(t, got, head+tail)
		assert.Greater(t, quietest(got, a), c.least, what)
		assert.Less(t, sharpest(got, 98), 0.5*1.6, what)
	}
}

func TestMixIsASource(t *testing.T) {
	bass := tone(98, mixRate, 2.345, 0.5)
	sourcetest.Check(t, func() dsp.Source {
		return mixedSource(bass, plus(times(bass, -0.5), noise(1, 2.345, 0.05)))
	})
	one := []float32{1, 1, -1}
	sourcetest.Check(t, func() dsp.Source { return mixedSource(one, one, one) })
}
