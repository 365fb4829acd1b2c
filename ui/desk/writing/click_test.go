package writing

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/sound"
	"endpin/piece"
)

func TestTheClickGoesRoundInWhatOneCountsIn(t *testing.T) {
	const rate = 48000
	for _, c := range []struct {
		time  piece.Time
		qpm   float64
		every int // samples
		n     int
	}{{piece.Time{Beats: 3, Unit: 4}, 90, 32000, 3}, {piece.Time{Beats: 6, Unit: 8}, 90, 48000, 2}, {piece.Time{Beats: 2, Unit: 2}, 120, 48000, 2}} {
		round := clicks(rate, c.time, c.qpm)
		assert.Len(t, round, c.n*c.every)
		heard := make([]float32, 2*len(round))
		assert.True(t, round.Play(heard, 0), "it has no end")
		var at []int
		for i, v := range heard {
			if v*v > 1e-4 && (len(at) == 0 || i-at[len(at)-1] > rate/10) {
				at = append(at, i)
			}
		}
		assert.Len(t, at, 2*c.n)
		for i := range at {
			assert.InDelta(t, i*c.every, at[i], rate/100, "click %d of %v", i, c.time)
		}
	}
}

// What the microphone hears of the click tells where its first beat lies in what is recorded.
func TestTheFirstBeatOfTheClickIsKnownInWhatIsRecorded(t *testing.T) {
	const rate, delay = 48000, 2400
	pretend := sound.NewPretend(rate)
	pretend.Delay, pretend.Gain = delay, 1
	card := sound.New(pretend)
	mic, err := card.Microphone("")
	require.NoError(t, err)
	pass := func(seconds float64) (heard []float32) {
		buf := make([]float32, rate)
		for n := 0; n < int(seconds*rate); n += 480 {
			for !pretend.Ready(480) {
				time.Sleep(time.Millisecond)
			}
			pretend.Step(480)
			k, err := mic.Read(buf[:480])
			require.NoError(t, err)
			heard = append(heard, buf[:k]...)
		}
		return heard
	}
	heard := pass(0.3) // the microphone runs first
	speaker, err := card.Loudspeaker("")
	require.NoError(t, err)
	tape := taping{mic: mic, speaker: speaker, latency: sound.Latency{Seconds: float64(delay) / rate}}
	tape.click = speaker.Start(clicks(rate, piece.Time{Beats: 3, Unit: 4}, 90), speaker.Next()).At
	heard = append(heard, pass(1.5)...)
	at := tape.clicked()
	require.NotNil(t, at)
	first := slices.IndexFunc(heard, func(v float32) bool { return v*v > 1e-4 })
	assert.InDelta(t, float64(first)/rate, *at, 0.02)
	tape.speaker = nil
	assert.Nil(t, tape.clicked(), "without a click nothing is known")
	require.NoError(t, speaker.Close())
	require.NoError(t, mic.Close())
}
