package tuner

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

const strungRate = 44100

// strung is a check that hears what the test pushes, as its goroutine would.
type strung struct {
	desk *table
	*Tuner
}

// table is a desk that the check is made at.
type table struct {
	a4      float64
	playing bool
	card    *sound.Card // nil for none
	posted  chan func()
	changed []func()
	checked []tuning.Outcome
}

func (b *table) Post(f func())            { b.posted <- f }
func (b *table) OnChange(f func())        { b.changed = append(b.changed, f) }
func (b *table) Playing() bool            { return b.playing }
func (b *table) Offers() bool             { return false }
func (b *table) A4() float64              { return b.a4 }
func (b *table) SetA4(hz float64)         { b.a4 = hz }
func (b *table) Tolerance() float64       { return 10 }
func (b *table) Checked(o tuning.Outcome) { b.checked = append(b.checked, o) }
func (b *table) Changed() {
	for _, f := range b.changed {
		f()
	}
}

func (b *table) Microphone() (*sound.Microphone, string, error) {
	if b.card == nil {
		return nil, "", &sound.Fault{Trouble: sound.None}
	}
	m, err := b.card.Microphone("")
	return m, "", err
}

func (b *table) Loudspeaker() (*sound.Loudspeaker, string, error) {
	if b.card == nil {
		return nil, "", &sound.Fault{Trouble: sound.None, Output: true}
	}
	l, err := b.card.Loudspeaker("")
	return l, "", err
}

// pump does what was posted until something is true.
func (b *table) pump(t testing.TB, until func() bool) {
	t.Helper()
	end := time.After(time.Minute)
	for !until() {
		select {
		case f := <-b.posted:
			f()
		case <-end:
			t.Fatal("nothing more happened")
		}
	}
}

func newTable() *table { return &table{a4: 440, posted: make(chan func(), 10000)} }

func newStrung(t *testing.T) *strung {
	t.Helper()
	b := newTable()
	s := &strung{b, New(b)}
	ear, err := newEar(s.check, strungRate)
	require.NoError(t, err)
	s.ear, s.Open, s.Hears = ear, true, true
	s.hear(silentRoom(0.6))
	return s
}

func (s *strung) hear(x []float32) {
	for n := 0; n < len(x); n += strungRate / 50 {
		s.ear.push(x[n:min(len(x), n+strungRate/50)])
	}
	s.Live = s.ear.live()
}

// pretended is a check with a sound card that pretends, and what passes through it.
func pretended(t *testing.T) (*table, *Tuner, *sound.Pretend) {
	t.Helper()
	b, card := newTable(), sound.NewPretend(strungRate)
	b.card = sound.New(card)
	return b, New(b), card
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

func TestTwoStringsAtOnceAreAskedForOneAtATime(t *testing.T) {
	s := newStrung(t)
	both := openString(55, 0, 3)
	for i, v := range openString(73.4162, -20, 3) {
		both[i] = (both[i] + v) / 2
	}
	s.hear(both[:len(both)-strungRate/5])
	b := s.Board()
	assert.Equal(t, "one at a time", b.Word)
	assert.Equal(t, "No string stands out alone. Sound one after the other, and damp the rest with your hand.", b.Note)
	assert.Empty(t, b.Name)
	for _, r := range s.Live.Strings {
		assert.Empty(t, r.Trust, r.Name)
	}
	s.Leave()
}

func TestTheStringsAreCheckedAndKeptForTheSitting(t *testing.T) {
	s := newStrung(t)
	assert.Equal(t, "Play one string.", s.Board().Word)
	s.hear(openString(55, -12, 2))
	b := s.Board()
	assert.Equal(t, Board{Name: "A", Shape: tuning.Flat, Word: "12 cents flat", Turn: "Bring it up."}, b)
	s.hear(silentRoom(0.6))
	assert.Equal(t, b, s.Board(), "it stays while the peg is turned")
	for _, hz := range []float64{41.2034, 55, 73.4162, 97.9989} {
		s.hear(openString(hz, 2, 2))
		s.hear(silentRoom(0.5))
	}
	assert.Equal(t, "All four are in tune.", s.Board().Word)
	assert.Equal(t, "As they stand A is 440.5 Hz.", s.Board().Turn)
	s.Leave()
	assert.Equal(t, "All four are in tune.", s.Live.Outcome.Say(), "kept for the sitting")
	assert.InDelta(t, 440*dsp.Cents(2), s.Live.Outcome.A4, 0.2)
	require.Len(t, s.desk.checked, 1, "what the bass is tuned to is told")
	assert.Len(t, s.desk.checked[0].Strings, 4)
	s.Enter()
	s.Leave()
	assert.Len(t, s.desk.checked, 1, "nothing new was heard")
	s.Anew()
	assert.Empty(t, s.Live.Outcome.Say())
}

func TestTheMicrophoneIsOpenWhileTheScreenStandsThere(t *testing.T) {
	b, tuner, card := pretended(t)
	assert.True(t, tuner.Offer(), "before the first take of a session")
	before := runtime.NumGoroutine()
	for range 3 {
		tuner.Enter()
		require.True(t, tuner.Hears, tuner.Said)
		assert.False(t, tuner.Offer())
		card.Step(strungRate / 5)
		b.pump(t, func() bool { return tuner.Live.Time > 0.1 })
		tuner.Leave()
		assert.False(t, tuner.Hears)
	}
	for end := time.Now().Add(5 * time.Second); runtime.NumGoroutine() > before && time.Now().Before(end); {
		time.Sleep(5 * time.Millisecond)
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), before, "it is closed")
}

func TestTwoHarmonicsTellTheirBeats(t *testing.T) {
	s := newStrung(t)
	s.hear(openString(220, 0, 1.6))
	s.hear(silentRoom(0.5))
	assert.Equal(t, "A–D", s.Board().Name)
	assert.Equal(t, "A is heard.", s.Board().Word)
	assert.Equal(t, "Next: the harmonic of D, touched at a third of the string.", s.Board().Turn)
	s.hear(openString(220.249, 12, 1.6)) // 3 × 73.4162 and 12 cents: 221.78, 1.78 from 220
	b := s.Board()
	assert.Equal(t, "beats 1.8 a second", b.Word)
	assert.Equal(t, tuning.Sharp, b.Shape)
	assert.Equal(t, "D is 12 cents sharp against A. Next: A again.", b.Turn)
	assert.Contains(t, b.Note, "beat 0.2 a second")
}

func TestTheReferenceIsChangedAndRemembered(t *testing.T) {
	s := newStrung(t)
	s.hear(openString(55*442/440., 0, 2))
	assert.Equal(t, "in tune, +8 cents", s.Board().Word)
	s.SetA4(442)
	s.hear(silentRoom(0.3))
	assert.Equal(t, "in tune, 0 cents", s.Board().Word)
	assert.Equal(t, 442.0, s.desk.a4)
	s.Leave()
	s.SetA4(1)
	assert.Equal(t, 392.0, s.desk.a4, "no lower than can be asked for")
}

func TestWhileAToneSoundsTheEarDecides(t *testing.T) {
	s := newStrung(t)
	s.desk.card = sound.New(sound.NewPretend(strungRate))
	s.Sound(s.Chosen)
	require.Equal(t, 3, s.Tone, s.Said)
	s.hear(openString(220, 0, 2)) // what the microphone hears of it
	assert.Equal(t, Board{Name: "A", Shape: "♪", Word: "the tone sounds", Turn: "Two octaves above the open string.",
		Note: "While the tone sounds your ear decides. Stop it to have the string read."}, s.Board())
	s.Next()
	assert.Equal(t, 2, s.Tone, "the next string's tone")
	s.Sound(2)
	assert.Zero(t, s.Tone)
	s.hear(openString(293.66, 0, 0.5)) // it rings on in the room
	for _, r := range s.Live.Strings {
		assert.Empty(t, r.Trust, "the tone is nobody's string")
	}
	s.hear(silentRoom(0.8))
	s.hear(openString(73.4162, 0, 2))
	assert.Equal(t, "in tune, 0 cents", s.Board().Word)
	s.Leave()
}

// The desk makes its listener anew every two minutes, so as not to grow: that must
// be nothing that the player notices.
func TestAPegTurnedAfterMinutesIsHeardAsAtFirst(t *testing.T) {
	s := newStrung(t)
	for _, at := range []float64{5, 125, 250} {
		s.hear(silentRoom(at - s.ear.time()))
		heard, looks := 0, 0
		peg := openString(55, -12, 2)
		for n := 0; n+strungRate/100 <= len(peg); n += strungRate / 100 {
			s.ear.push(peg[n : n+strungRate/100])
			if looks++; s.ear.live().Now.Sounding {
				heard++
			}
		}
		assert.Greater(t, heard, looks*9/10, "looks at a string that sounds, after %g s", at)
		s.Live = s.ear.live()
		assert.Equal(t, "12 cents flat", s.Board().Word, "after %g s", at)
		s.hear(silentRoom(0.6))
		s.hear(openString(55, 0, 2))
		assert.Equal(t, "in tune, 0 cents", s.Board().Word, "the peg turned, after %g s", at)
		s.Anew()
	}
	s.Leave()
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
	tuner := New(newTable()) // no sound card
	tuner.Enter()
	assert.False(t, tuner.Hears)
	assert.Contains(t, tuner.Board().Note, "There is no microphone")
	assert.Empty(t, tuner.Board().Word)
	tuner.Sound(3)
	assert.Contains(t, tuner.Said, "loudspeaker")
	tuner.Leave()
}

func TestAMicrophonePulledOutIsOneSentence(t *testing.T) {
	b, tuner, card := pretended(t)
	tuner.Enter()
	require.True(t, tuner.Hears)
	card.Step(strungRate / 10)
	card.Pull()
	b.pump(t, func() bool { return !tuner.Hears })
	assert.Contains(t, tuner.Board().Note, "Microphone")
	tuner.Anew()
	assert.Contains(t, tuner.Board().Note, "There is no microphone")
	card.Plug = sound.NewPretend(strungRate).Plug
	tuner.Anew()
	assert.True(t, tuner.Hears, "plugged in again")
	assert.Empty(t, tuner.Said)
	tuner.Leave()
}

func TestAMicrophoneThatGivesNothingIsToldAfterTwoSeconds(t *testing.T) {
	s := newStrung(t)
	s.hear(make([]float32, 3*strungRate))
	assert.Contains(t, s.Board().Note, "Nothing is heard")
}

func TestTheOfferEndsWithTheFirstTake(t *testing.T) {
	b := newTable()
	tuner := New(b)
	assert.True(t, tuner.Offer())
	b.playing = true
	b.Changed()
	tuner.Enter()
	assert.False(t, tuner.Open, "not while an attempt goes on")
	b.playing = false
	assert.False(t, tuner.Offer())
}
