package desk

import (
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/piece/tuning"
)

// strung is a desk with a sound card that pretends: the room sounds as it is told.
type strung struct {
	*bench
	*Tuner
	card *sound.Pretend
	room []float32 // what the microphone hears from now on
}

const strungRate = 44100

func newStrung(t *testing.T) *strung {
	t.Helper()
	s := &strung{bench: newBench(t), card: sound.NewPretend(strungRate)}
	quiet := make([]float32, strungRate)
	dsp.Noise(quiet, -66, 1)
	s.card.Room = func(int64) float32 {
		if len(s.room) == 0 {
			return quiet[0]
		}
		v := s.room[0]
		s.room = s.room[1:]
		return v
	}
	s.bench.Desk.means.Card = sound.New(s.card)
	s.Tuner = NewTuner(s.bench.Desk)
	return s
}

// hear lets sound pass and the goroutine that listens keep up with it.
func (s *strung) hear(t *testing.T, x []float32) {
	t.Helper()
	s.room = x
	for n := len(x); n > 0; n -= strungRate / 50 {
		s.card.Step(strungRate / 50)
		if n/(strungRate/50)%25 == 0 { // the ring holds two seconds
			s.drain()
		}
	}
	time.Sleep(30 * time.Millisecond)
	s.drain()
}

func (s *strung) drain() {
	for end := time.Now().Add(60 * time.Millisecond); time.Now().Before(end); {
		select {
		case f := <-s.posted:
			f()
		default:
			time.Sleep(time.Millisecond)
		}
	}
}

func silentRoom(seconds float64) []float32 {
	x := make([]float32, int(seconds*strungRate))
	dsp.Noise(x, -66, 3)
	return x
}

func openString(hz, cents, seconds float64) []float32 {
	x := dsp.Tone{Freq: dsp.Steady(hz * dsp.Cents(cents)), Partials: dsp.Sawtooth, Seconds: seconds, Rate: strungRate}.Samples()
	for i := range 1000 {
		x[i] *= float32(i) / 1000
		x[len(x)-1-i] *= float32(i) / 1000
	}
	dsp.Noise(x, -66, 4)
	return x
}

func TestTheStringsAreCheckedWhileTheScreenStandsThereAndKeptForTheSitting(t *testing.T) {
	s := newStrung(t)
	assert.True(t, s.Offer(), "before the first take of a session")
	before := runtime.NumGoroutine()
	s.Enter()
	require.True(t, s.Hears, s.Said)
	assert.False(t, s.Offer())
	s.hear(t, silentRoom(0.6))
	assert.Equal(t, "Play one string.", s.Board().Word)

	s.hear(t, openString(55, -12, 2))
	b := s.Board()
	assert.Equal(t, Board{Name: "A", Shape: tuning.Flat, Word: "12 cents flat", Turn: "Bring it up."}, b)
	s.hear(t, silentRoom(0.6))
	assert.Equal(t, b, s.Board(), "it stays while the peg is turned")

	for _, hz := range []float64{41.2034, 55, 73.4162, 97.9989} {
		s.hear(t, openString(hz, 2, 2))
		s.hear(t, silentRoom(0.5))
	}
	assert.Equal(t, "All four are in tune.", s.Live.Outcome.Say())
	assert.Equal(t, "All four are in tune.", s.Board().Word)
	assert.Equal(t, "As they stand A is 440.5 Hz.", s.Board().Turn)
	s.Leave()
	assert.False(t, s.Hears)
	assert.False(t, s.Running, "leaving begins nothing")
	assert.Equal(t, "All four are in tune.", s.Live.Outcome.Say(), "kept for the sitting")
	assert.InDelta(t, 440*dsp.Cents(2), s.Live.Outcome.A4, 0.2)
	time.Sleep(20 * time.Millisecond)
	assert.LessOrEqual(t, runtime.NumGoroutine(), before, "the microphone is closed")

	s.Enter()
	assert.True(t, s.Hears)
	assert.Equal(t, "All four are in tune.", s.Live.Outcome.Say())
	s.Leave()
}

func TestTwoHarmonicsTellTheirBeats(t *testing.T) {
	s := newStrung(t)
	s.Enter()
	defer s.Leave()
	s.hear(t, silentRoom(0.6))
	s.hear(t, openString(220, 0, 1.6))
	s.hear(t, silentRoom(0.5))
	assert.Equal(t, "A–D", s.Board().Name)
	assert.Equal(t, "A is heard.", s.Board().Word)
	assert.Equal(t, "Next: the harmonic of D, touched at a third of the string.", s.Board().Turn)
	s.hear(t, openString(220.249, 12, 1.6)) // 3 × 73.4162 and 12 cents: 221.78, 1.78 from 220
	b := s.Board()
	assert.Equal(t, "beats 1.8 a second", b.Word)
	assert.Equal(t, tuning.Sharp, b.Shape)
	assert.Equal(t, "D is 12 cents sharp against A. Next: A again.", b.Turn)
	assert.Contains(t, b.Note, "beat 0.2 a second")
}

func TestTheReferenceIsChangedAndRemembered(t *testing.T) {
	s := newStrung(t)
	s.Enter()
	s.hear(t, silentRoom(0.6))
	s.hear(t, openString(55*442/440., 0, 2))
	assert.Equal(t, "in tune, +8 cents", s.Board().Word)
	s.SetA4(442)
	s.hear(t, silentRoom(0.3))
	assert.Equal(t, "in tune, 0 cents", s.Board().Word)
	assert.Equal(t, 442.0, s.Settings.A4)
	kept, err := LoadSettings(s.means.Settings)
	require.NoError(t, err)
	assert.Equal(t, 442.0, kept.A4)
	s.Leave()
	s.SetA4(1)
	assert.Equal(t, 392.0, s.Settings.A4, "no lower than can be asked for")
}

func TestWhileAToneSoundsTheEarDecides(t *testing.T) {
	s := newStrung(t)
	s.card.Gain = 0.8 // the loudspeaker is well heard
	s.Enter()
	defer s.Leave()
	s.hear(t, silentRoom(0.6))
	s.Sound(s.Chosen)
	require.Equal(t, 3, s.Tone, s.Said)
	s.hear(t, silentRoom(3))
	assert.Equal(t, Board{Name: "A", Shape: "♪", Word: "the tone sounds", Turn: "Two octaves above the open string.",
		Note: "While the tone sounds your ear decides. Stop it to have the string read."}, s.Board())
	for _, r := range s.Live.Strings {
		assert.Empty(t, r.Trust, "the tone is nobody's string")
	}
	s.Next()
	assert.Equal(t, 2, s.Tone, "the next string's tone")
	s.Sound(2)
	assert.Zero(t, s.Tone)
	s.hear(t, silentRoom(1.2))
	s.hear(t, openString(73.4162, 0, 2))
	assert.Equal(t, "in tune, 0 cents", s.Board().Word)
}

func TestTwoPedalsGoThroughTheTonesAndBack(t *testing.T) {
	s := newStrung(t)
	var went []int
	for range 5 {
		s.Next()
		went = append(went, s.Chosen)
	}
	assert.Equal(t, []int{2, 1, 0, 4, 3}, went, "D, G, the page, E, A")
}

func TestNothingPlaysInThePlaceOfTheBass(t *testing.T) {
	b := newBench(t) // no sound card, and a demo take that would play
	tuner := NewTuner(b.Desk)
	tuner.Enter()
	assert.False(t, tuner.Hears)
	assert.Contains(t, tuner.Board().Note, "There is no microphone")
	assert.Empty(t, tuner.Board().Word)
	tuner.Sound(3)
	assert.Contains(t, tuner.Said, "loudspeaker")
	tuner.Leave()
}

func TestAMicrophonePulledOutIsOneSentence(t *testing.T) {
	s := newStrung(t)
	s.Enter()
	s.hear(t, silentRoom(0.6))
	s.card.Pull()
	s.drain()
	assert.NotEmpty(t, s.Said)
	assert.False(t, s.Hears)
	s.Leave()
}

func TestAMicrophoneThatGivesNothingIsToldAfterTwoSeconds(t *testing.T) {
	s := newStrung(t)
	s.Enter()
	defer s.Leave()
	s.hear(t, make([]float32, 3*strungRate))
	assert.Contains(t, s.Board().Note, "Nothing is heard")
}

func TestTheOfferEndsWithTheFirstTake(t *testing.T) {
	b := newBench(t)
	tuner := NewTuner(b.Desk)
	assert.True(t, tuner.Offer())
	b.SetWay(PlayAlone)
	b.Start()
	require.True(t, b.Running)
	tuner.Enter()
	assert.False(t, tuner.Open, "not while an attempt goes on")
	b.pump(t, func() bool { return b.Shown != nil })
	assert.False(t, tuner.Offer())
}
