package desk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/sound"
	"endpin/piece/words/pseudo"
	"endpin/ui/desk/said"
	"endpin/ui/desk/work"
)

func TestEveryWordOnTheDeskIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	reads := func(text string, own ...string) {
		t.Helper()
		assert.NotEmpty(t, text)
		assert.Empty(t, pseudo.Plain(text, own...), text)
	}
	message := func(d *Desk, own ...string) {
		t.Helper()
		reads(d.Message, own...)
		d.Say("")
	}
	b := newBench(t)
	d := b.Desk

	for _, w := range work.Ways {
		d.SetWay(w)
		reads(w.Name())
		reads(w.About())
		for _, s := range w.Sounds() {
			reads(s.Name())
			reads(s.NameIn(w))
			d.SetSound(s)
			for _, x := range d.Between() {
				reads(x.Name)
			}
		}
	}
	_, err := work.WayByName("loudly")
	reads(err.Error(), "loudly", "play-along", "play-alone", "echo", "bow-silently", "bring-up")
	for _, x := range Drones {
		reads(x.About())
	}
	d.SetWay(work.PlayAlong)
	d.Change(func(s *Settings) { s.Headphones = false })
	d.SetSound(work.SoundLine)
	message(d)
	require.Error(t, d.TypeQPM("quick"))
	message(d, "quick")

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
	for _, seconds := range []float64{-0.02, 0, 0.137} {
		d.measured("Big room", "Box", sound.Latency{Seconds: seconds, Ticks: 1}, nil)
		reads(d.DelaySaid())
		d.measured("Big room", "Box", sound.Latency{}, sound.ErrNoTick)
		reads(d.DelaySaid())
		d.measuring.said = ""
		reads(d.DelaySaid(), "Big room", "Box")
	}
	d.Settings.Latency["another → pair"] = 0
	reads(d.DelaySaid())

	d.Running = true
	assert.True(t, d.busy("open"))
	message(d)
	assert.True(t, d.busy("remove"))
	message(d)
	d.Running, d.Judging = false, true
	assert.True(t, d.busy("open"))
	message(d)
	assert.True(t, d.busy("remove"))
	message(d)
	d.Judging = false
	reads(d.HearingOf())
}
