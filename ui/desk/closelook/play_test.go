package closelook

import (
	"bytes"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/dsp/sound"
	"endpin/ui/desk/playback"
)

// listened is a bench whose loudspeaker pretends; what it plays is kept.
type listened struct {
	*table
	card   *sound.Pretend
	played []float32
}

func newListened(t *testing.T, rate int) *listened {
	t.Helper()
	l := &listened{table: newTable(demoTake(t)), card: sound.NewPretend(rate)}
	l.player.Card = sound.New(l.card)
	l.player.Open = func(string) (playback.Recording, error) {
		return recording.Decode("demo.flac", bytes.NewReader(assets.DemoTake))
	}
	// What the loudspeaker plays comes back to a microphone, where it is kept.
	l.card.Gain = 1
	mic, err := l.player.Card.Microphone("")
	require.NoError(t, err)
	t.Cleanup(func() { mic.Close() })
	go func() {
		buf := make([]float32, 4096)
		for {
			n, err := mic.Read(buf)
			if err != nil {
				return
			}
			block := append([]float32(nil), buf[:n]...)
			l.posted <- func() { l.played = append(l.played, block...) }
		}
	}()
	return l
}

// hearOut lets time pass until nothing plays any more.
func (l *listened) hearOut(t *testing.T, rate int, each func()) {
	t.Helper()
	for end := time.Now().Add(30 * time.Second); l.Playback.What != ""; {
		l.card.Step(rate / 100)
		time.Sleep(2 * time.Millisecond)
		for len(l.posted) > 0 {
			(<-l.posted)()
		}
		each()
		require.True(t, time.Now().Before(end), "it never ended")
	}
	for i := 0; i < 20; i++ {
		time.Sleep(2 * time.Millisecond)
		for len(l.posted) > 0 {
			(<-l.posted)()
		}
	}
}

func pitches(t *testing.T, x []float32, rate int) (all []float64) {
	t.Helper()
	ear, err := dsp.NewListener(dsp.Bass, rate)
	require.NoError(t, err)
	ear.Push(x)
	for _, n := range ear.Finish().Notes {
		if n.Offset-n.Onset > 0.25 {
			all = append(all, n.Pitch)
		}
	}
	return all
}

// The loudspeaker has another rate than the recording: measure 5 must sound a
// third of a semitone sharp in it all the same, since so it was played.
func TestWhatWasRecordedSoundsAsItWasPlayed(t *testing.T) {
	const rate = 48000
	l := newListened(t, rate)
	l.LookCloser(4)
	l.Play(Recorded)
	require.Equal(t, Recorded, l.Playback.What)
	var at []float64
	l.hearOut(t, rate, func() {
		if x := l.Playback.At; l.Playback.What != "" && !math.IsNaN(x) {
			at = append(at, x)
		}
	})
	assert.Empty(t, l.message)
	heard := pitches(t, l.played, rate)
	require.Subset(t, rounded(heard), []float64{50, 48, 45})
	sharp := 0
	for _, p := range heard {
		if c := 100 * (p - math.Round(p)); c > 20 && c < 40 {
			sharp++
		}
	}
	assert.GreaterOrEqual(t, sharp, 3)
	require.NotEmpty(t, at)
	c := l.Closer()
	assert.Less(t, at[0], c.Begin, "from a little before the measure")
	assert.Greater(t, at[len(at)-1], c.End, "to a little after it")
}

func TestTheLineSoundsAtThePlayersOwnReferenceAndTempo(t *testing.T) {
	const rate = 48000
	l := newListened(t, rate)
	l.LookCloser(4)
	l.Play(Written)
	l.hearOut(t, rate, func() {})
	heard := pitches(t, l.played, rate)
	require.Equal(t, []float64{50, 48, 45}, rounded(heard))
	for i, p := range heard {
		assert.InDelta(t, l.Closer().Notes[i].At, p, 0.03)
	}
}

func rounded(x []float64) (all []float64) {
	for _, v := range x {
		all = append(all, math.Round(v))
	}
	return all
}

func TestBothSoundInTurnAndStopEndsThem(t *testing.T) {
	const rate = 44100
	l := newListened(t, rate)
	l.LookCloser(4)
	l.Play(InTurn)
	l.hearOut(t, rate, func() {})
	c := l.Closer()
	assert.InDelta(t, (c.To-c.From+2*around)+breath+4*60/c.Tempo, float64(len(trimmed(l.played)))/rate, 0.5)

	l.played = nil
	l.Play(InTurn)
	for i := 0; i < 30; i++ {
		l.card.Step(rate / 100)
		time.Sleep(2 * time.Millisecond)
	}
	l.StopPlaying()
	assert.Empty(t, l.Playback.What)
	l.Play(Written)
	l.LookAway()
	assert.Empty(t, l.Playback.What, "nothing plays where nobody looks")
	l.hearOut(t, rate, func() {})
}

// trimmed leaves out the silence at either end.
func trimmed(x []float32) []float32 {
	loud := func(v float32) bool { return v > 0.003 || v < -0.003 }
	for len(x) > 0 && !loud(x[0]) {
		x = x[1:]
	}
	for len(x) > 0 && !loud(x[len(x)-1]) {
		x = x[:len(x)-1]
	}
	return x
}

func TestWithoutALoudspeakerThereIsOneSentence(t *testing.T) {
	b := newTable(demoTake(t))
	b.LookCloser(4)
	b.Play(Recorded)
	assert.Equal(t, "There is no loudspeaker to play on.", b.message)
	assert.Empty(t, b.Playback.What)

	l := newListened(t, 44100)
	l.card.Plug = l.card.Plug[:1]
	l.player.Card = sound.New(l.card)
	l.LookCloser(4)
	l.Play(Recorded)
	for l.Playback.What != "" {
		(<-l.posted)()
	}
	assert.Regexp(t, `^[A-Z].*loudspeaker.*\.$`, l.message)
	require.NotNil(t, l.Closer(), "and the measure is still there")
}

func TestARecordingThatIsGoneIsNamed(t *testing.T) {
	l := newListened(t, 44100)
	l.player.Open = func(path string) (playback.Recording, error) { return recording.Open(path) }
	l.take.Sound = "gone/take.wav"
	l.LookCloser(4)
	l.Play(Recorded)
	for l.Playback.What != "" {
		(<-l.posted)()
	}
	assert.Equal(t, "gone/take.wav: there is no such file: look at the name.", l.message)
}

func TestAMeasureSoundsSlowerAtThePitchAtWhichItWasPlayed(t *testing.T) {
	const rate = 48000
	l := newListened(t, rate)
	l.LookCloser(4)
	sounds := func() (long int, heard []float64) {
		l.played = nil
		l.Play(Recorded)
		l.hearOut(t, rate, func() {})
		for i, v := range l.played {
			if v > 0.01 || v < -0.01 {
				long = i
				break
			}
		}
		for i := len(l.played) - 1; i > long; i-- {
			if v := l.played[i]; v > 0.01 || v < -0.01 {
				return i - long, pitches(t, l.played, rate)
			}
		}
		return 0, nil
	}
	asPlayed, before := sounds()
	l.PlaySlowly(true)
	slowly, after := sounds()
	assert.InDelta(t, slower, float64(slowly)/float64(asPlayed), 0.08)
	require.Subset(t, rounded(after), []float64{50, 48, 45})
	assert.InDelta(t, before[0]-math.Round(before[0]), after[0]-math.Round(after[0]), 0.05)
}
