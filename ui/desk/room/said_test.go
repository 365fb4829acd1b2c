package room

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp/sound"
	"endpin/piece/words/pseudo"
	"endpin/ui/desk/said"
)

// still is a desk at which nothing goes on.
type still struct {
	Host
	chosen Devices
}

func (s still) Chosen() Devices                         { return s.chosen }
func (s still) KeepLatency(pair string, second float64) { s.chosen.Latency[pair] = second }

func TestEveryWordOfARoomIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	reads := func(text string, own ...string) {
		t.Helper()
		assert.NotEmpty(t, text)
		assert.Empty(t, pseudo.Plain(text, own...), text)
	}
	for _, x := range Drones {
		reads(x.About())
	}
	for _, output := range []bool{false, true} {
		for _, name := range []string{"", "Headset"} {
			for _, trouble := range []sound.Trouble{sound.None, sound.Absent, sound.Busy, sound.Pulled, sound.Changed, sound.Refused} {
				reads(said.Sentence(&sound.Fault{Trouble: trouble, Output: output, Device: name}), "Headset")
			}
		}
	}
	reads(said.Sentence(sound.ErrNoTick))
	meter := sound.NewMeter(100)
	for _, level := range []float32{0, 0.001, 0.3, 2} {
		for range 50 {
			meter.Push([]float32{level, -level, level, -level, level, -level, level, -level, level, -level})
		}
		l := loudness(meter)
		reads(l.Word)
		if meter.State().Wrong() {
			reads(l.Say)
		}
	}
	h := still{chosen: Devices{Latency: map[string]float64{}}}
	m := New(h, &Computer{})
	reads(m.DelaySaid())
	for _, seconds := range []float64{-0.02, 0, 0.137} {
		pair := Pair("Big room", "Box")
		reads(m.found(pair, sound.Latency{Seconds: seconds, Ticks: 1}, nil))
		reads(m.found(pair, sound.Latency{}, sound.ErrNoTick))
		reads(m.DelaySaid(), "Big room", "Box")
	}
	h.chosen.Latency["another → pair"] = 0
	reads(m.DelaySaid())
}
