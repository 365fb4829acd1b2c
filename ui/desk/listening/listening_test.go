package listening

import (
	"bytes"
	"math"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/dsp/sound"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/score"
)

const rate = 48000 // of the loudspeaker; the demo take has another

var demo struct {
	sync.Once
	take *Take
	err  error
}

func demoTake(t *testing.T) *Take {
	t.Helper()
	demo.Do(func() {
		p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
		if err != nil {
			demo.err = err
			return
		}
		x := &Take{Score: score.New(p, "demo.musicxml"), Sound: "demo.flac", Name: "today's"}
		r, err := recording.Decode(assets.DemoTakeName, bytes.NewReader(assets.DemoTake))
		if err == nil {
			x.Heard, err = dsp.Listen(r, dsp.Bass)
		}
		if err == nil {
			x.Hearing, err = finding.Judge(p, x.Heard, finding.Options{Level: finding.Intermediate})
		}
		demo.take, demo.err = x, err
	})
	require.NoError(t, demo.err)
	own := *demo.take
	return &own
}

// ears are a desk with a loudspeaker that pretends; what it plays is kept.
type ears struct {
	*Listening
	take    *Take
	player  playback.Player
	message string
	posted  chan func()
	card    *sound.Pretend
	played  []float32
	read    atomic.Int64 // of the recording opened last, µs
}

func (e *ears) Post(f func())           { e.posted <- f }
func (e *ears) Changed()                {}
func (e *ears) Say(sentence string)     { e.message = sentence }
func (e *ears) Fault(sentence string)   { e.Say(sentence) }
func (e *ears) Playing() bool           { return false }
func (e *ears) Hearing() bool           { return false }
func (e *ears) Player() playback.Player { return e.player }
func (e *ears) Listened() *Take         { return e.take }
func (e *ears) Others() []Choice        { return []Choice{{"yesterday.flac", "yesterday's"}} }
func (e *ears) HearOther(sound string, then func(*Take, error)) *errand.Errand {
	other := *e.take
	other.Sound, other.Name = sound, "yesterday's"
	return errand.Send(e.Post, func(*errand.Errand) func() { return func() { then(&other, nil) } })
}

func newEars(t *testing.T) *ears {
	e := &ears{take: demoTake(t), posted: make(chan func(), 100000), card: sound.NewPretend(rate)}
	e.Listening = New(e)
	e.player.Card = sound.New(e.card)
	e.player.Open = func(string) (playback.Recording, error) {
		r, err := recording.Decode("demo.flac", bytes.NewReader(assets.DemoTake))
		if err != nil {
			return nil, err
		}
		e.read.Store(0)
		return &counted{r, &e.read}, nil
	}
	e.card.Gain = 1 // what the loudspeaker plays comes back to a microphone
	mic, err := e.player.Card.Microphone("")
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
			e.posted <- func() { e.played = append(e.played, block...) }
		}
	}()
	return e
}

// hear lets time pass until something is so, or nothing sounds any more, and gives the places
// that were told.
func (e *ears) hear(t *testing.T, until func() bool) (places []Place, of []string) {
	t.Helper()
	for n := 0; e.Listening.Playing() && !until(); n++ {
		require.Less(t, n, 100*100, "it goes on and on")
		end := time.Now().Add(time.Minute)
		for !e.card.Ready(rate / 100) {
			time.Sleep(time.Millisecond)
			require.True(t, time.Now().Before(end), "it does not go on")
		}
		e.card.Step(rate / 100)
		time.Sleep(2 * time.Millisecond)
		for len(e.posted) > 0 {
			(<-e.posted)()
			if e.Listening.Playing() && (len(places) == 0 || places[len(places)-1] != e.Place) {
				places, of = append(places, e.Place), append(of, e.Of)
			}
		}
	}
	time.Sleep(20 * time.Millisecond)
	for len(e.posted) > 0 {
		(<-e.posted)()
	}
	return places, of
}

// at is so once the take has come to a measure.
func (e *ears) at(measure int) func() bool {
	return func() bool { return e.Place.Measure == measure }
}

func (e *ears) pitches(t *testing.T) (all []float64) {
	t.Helper()
	ear, err := dsp.NewListener(dsp.Bass, rate)
	require.NoError(t, err)
	ear.Push(e.played)
	for _, n := range ear.Finish().Notes {
		if n.Offset-n.Onset > 0.25 {
			all = append(all, n.Pitch)
		}
	}
	return all
}

// sounding is what was played without the silence at either end.
func (e *ears) sounding() []float32 {
	loud := func(v float32) bool { return v > 0.005 || v < -0.005 }
	first := slices.IndexFunc(e.played, loud)
	last := len(e.played) - 1
	for last > first && !loud(e.played[last]) {
		last--
	}
	return e.played[max(0, first) : last+1]
}

func measures(places []Place) (all []int) {
	for _, p := range places {
		all = append(all, p.Measure)
	}
	return slices.Compact(all)
}

// The hand lies 31 cents sharp from measure 5 on (assets/README.md), and so it must sound.
func TestATakeIsHeardFromAMeasureOnAndThePageGoesAlong(t *testing.T) {
	e := newEars(t)
	e.From(4)
	places, of := e.hear(t, e.at(6))
	require.Empty(t, e.message)
	assert.Equal(t, []int{4, 5, 6}, measures(places))
	assert.Subset(t, []string{"today's"}, of)
	assert.True(t, slices.IsSortedFunc(places, func(a, b Place) int {
		return int(math.Copysign(1, float64(a.Measure)+a.Share-float64(b.Measure)-b.Share))
	}), "the playhead goes on and never back")
	e.Stop()
	at := e.Place.Measure
	sharp := 0
	for _, p := range e.pitches(t) {
		if c := 100 * (p - math.Round(p)); c > 20 && c < 42 {
			sharp++
		}
	}
	assert.GreaterOrEqual(t, sharp, 5, "nothing is out of tune but what was")
	e.Toggle()
	assert.Equal(t, at, e.Place.Measure, "it goes on where it was stopped")
	e.Close()
	assert.Equal(t, -1, e.Place.Measure)
}

// counted is a recording that tells how far it was read.
type counted struct {
	playback.Recording
	read *atomic.Int64
}

func (c *counted) Read(buf []float32) (int, error) {
	n, err := c.Recording.Read(buf)
	c.read.Add(int64(n) * 1e6 / int64(c.Rate()))
	return n, err
}

// ready lets time pass only when what sounds in the next seconds was read, however slow this
// computer is; from is where in the recording it begins.
func (e *ears) ready(t *testing.T, from float64, until func() bool) func() bool {
	steps := 0.0
	return func() bool {
		const seconds = 6
		for end := time.Now().Add(time.Minute); e.Listening.Playing() && float64(e.read.Load())/1e6 < from+steps/100+seconds; {
			require.True(t, time.Now().Before(end), "what sounds is not made ready %d s before", seconds)
			time.Sleep(time.Millisecond)
		}
		steps++
		return until()
	}
}

// begin is when a measure begins in the recording.
func (e *ears) begin(t *testing.T, measure int) float64 {
	require.True(t, e.Listening.take())
	at, _, _ := e.track.span(e.track.turns(measure, measure)[0])
	return at
}

// A busy computer may get to nothing for some seconds: they were made ready before.
func TestWhatSoundsWasMadeReadyLongBefore(t *testing.T) {
	e := newEars(t)
	at := e.begin(t, 4)
	e.From(4)
	places, _ := e.hear(t, e.ready(t, at, e.at(6)))
	assert.Equal(t, []int{4, 5, 6}, measures(places))
}

func TestItEndsByItselfAndFromTheStartItIsAllOfIt(t *testing.T) {
	e := newEars(t)
	e.From(15)
	e.hear(t, func() bool { return false })
	assert.False(t, e.Listening.Playing(), "the take is over")
	e.Toggle()
	assert.Equal(t, 0, e.Place.Measure, "and begins anew")
}

func TestSlowerIsTheSamePitch(t *testing.T) {
	if testing.Short() {
		t.Skip("stretching sound takes the race detector half a minute, in which the place told falls behind")
	}
	e := newEars(t)
	e.Slowly = true
	e.Range(0, 0)
	places, _ := e.hear(t, func() bool { return e.Place.Share > 0.9 })
	e.Stop()
	assert.Equal(t, []int{0}, measures(places))
	assert.Greater(t, len(e.sounding()), int(1.3*2.9*rate), "2.9 seconds take 1.6 times as long")
	var rounded []float64
	for _, p := range e.pitches(t) {
		rounded = append(rounded, math.Round(p))
		assert.InDelta(t, math.Round(p), p, 0.12)
	}
	assert.Subset(t, []float64{43, 45, 47}, rounded, "G A B")
	assert.Contains(t, rounded, 43.0)
}

func TestALoopComesRound(t *testing.T) {
	e := newEars(t)
	e.Range(4, 5)
	assert.True(t, e.Loop)
	rounds := 0
	places, _ := e.hear(t, func() bool {
		if e.Place.Measure == 5 && rounds%2 == 0 || e.Place.Measure == 4 && rounds%2 == 1 {
			rounds++
		}
		return rounds == 3
	})
	assert.Equal(t, []int{4, 5, 4, 5}, measures(places))
	e.From(9)
	assert.False(t, e.Loop, "whoever presses another measure leaves it")
	e.Close()
}

func TestTwoTakesSoundInTurnMeasureByMeasure(t *testing.T) {
	e := newEars(t)
	e.From(4)
	e.InTurn("yesterday.flac")
	assert.True(t, e.Waiting)
	places, of := e.hear(t, e.at(6))
	assert.False(t, e.Waiting)
	var order []string
	for i := range places {
		if x := of[i] + " " + e.take.Piece.Measures[places[i].Measure].Number; len(order) == 0 || order[len(order)-1] != x {
			order = append(order, x)
		}
	}
	require.GreaterOrEqual(t, len(order), 4)
	i := slices.Index(order, "yesterday's 5")
	require.GreaterOrEqual(t, i, 0, "%q", order)
	assert.Equal(t, []string{"yesterday's 5", "today's 6", "yesterday's 6"}, order[i:i+3])
	e.InTurn("")
	assert.Nil(t, e.Other)
	e.Close()
}

// The line is what is written, at the player's own A: the same take with the line under it has
// more of it, and never so much that it hides the take.
func TestTheWrittenLineSoundsSoftlyUnderIt(t *testing.T) {
	loud := func(line bool) float64 {
		sum := 0.0
		e := newEars(t)
		e.Line = line
		at := e.begin(t, 4)
		e.From(4)
		e.hear(t, e.ready(t, at, e.at(5)))
		e.Stop()
		x := e.sounding()
		require.Greater(t, len(x), 2*rate)
		for _, v := range x[:2*rate] { // it stops a little sooner or later
			sum += float64(v) * float64(v)
		}
		return sum
	}
	without, with := loud(false), loud(true)
	assert.Greater(t, with, 1.02*without)
	assert.Less(t, with, 1.6*without)
}

func TestWithoutALoudspeakerOneSentenceSaysSo(t *testing.T) {
	e := newEars(t)
	e.player.Card = nil
	e.From(-1)
	assert.Equal(t, "There is no loudspeaker to play on.", e.message)
	assert.False(t, e.Listening.Playing())
}

func TestWhereItSoundsElsewhereItIsSoftAgain(t *testing.T) {
	e := newEars(t)
	e.player.Loud = &playback.Volume{}
	e.card.Set(func(p *sound.Pretend) { p.Out = "box" })
	e.From(0)
	e.hear(t, e.at(1))
	e.player.Loud.Louder(2)
	e.hear(t, e.at(2))
	require.Equal(t, 2, e.player.Loud.Step())
	e.card.Set(func(p *sound.Pretend) { p.Out = "headphones" })
	e.hear(t, func() bool { return e.player.Loud.Step() == 0 })
	require.Zero(t, e.player.Loud.Step())
	e.hear(t, e.at(4))
	assert.Equal(t, "It sounds from another device now, so it is soft again.", e.message)
	e.Stop()
	e.player.Loud.Louder(1)
	e.card.Set(func(p *sound.Pretend) { p.Out = "box" })
	e.Toggle()
	e.hear(t, e.at(5))
	assert.Zero(t, e.player.Loud.Step(), "while nothing played, too")
}

func TestWhereTheLoudspeakerStopsItGoesOnFromThere(t *testing.T) {
	e := newEars(t)
	e.From(2)
	e.hear(t, e.at(4))
	require.Equal(t, 4, e.Place.Measure)
	e.card.Fail(true, sound.Pulled)
	require.Eventually(t, func() bool {
		e.hear(t, func() bool { return true })
		return !e.Listening.Playing()
	}, time.Minute, time.Millisecond)
	assert.Equal(t, `The loudspeaker "Loudspeaker" stopped; plug it in again to go on.`, e.message)
	e.Toggle()
	assert.GreaterOrEqual(t, e.Place.Measure, 4)
	e.hear(t, e.at(6))
	assert.Equal(t, 6, e.Place.Measure)
}
