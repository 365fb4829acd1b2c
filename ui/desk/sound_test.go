package desk

import (
	"bytes"
	"context"
	"errors"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece/finding"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/room"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/timetable"
	"endpin/ui/desk/work"
)

// hall is a desk in a room that pretends: what its loudspeaker plays comes back
// to its microphone, and somebody may play besides. Time passes faster than
// outside, where the computer keeps up with it.
type hall struct {
	*bench
	*sound.Pretend
}

func newHall(t testing.TB) *hall {
	h := &hall{newBench(t), sound.NewPretend(44100)}
	h.means.Card, h.means.Instead = sound.New(h.Pretend), nil
	quit, gone := make(chan bool), make(chan bool)
	go func() {
		defer close(gone)
		for {
			select {
			case <-quit:
				return
			default:
			}
			if h.Ready(441) {
				h.Step(441)
			}
			time.Sleep(time.Millisecond)
		}
	}()
	t.Cleanup(func() {
		h.Leave()
		close(quit)
		<-gone
	})
	return h
}

// plays has somebody play sound in the room from a time on that is told in
// seconds from now. The room itself is never quite still.
func (h *hall) plays(x []float32, after float64) {
	begin := int64((h.Time() - 1 + after) * 44100)
	h.Set(func(p *sound.Pretend) {
		noise := uint32(1)
		p.Room = func(i int64) float32 {
			noise = noise*1664525 + 1013904223
			still := 0.001 * float32(int32(noise)) / (1 << 31)
			if i -= begin; i >= 0 && i < int64(len(x)) {
				return x[i] + still
			}
			return still
		}
	})
}

// back has what the loudspeaker plays come back.
func (h *hall) back(gain, seconds float64) {
	h.Set(func(p *sound.Pretend) { p.Gain, p.Delay = float32(gain), int(seconds*44100) })
}

func demoTake(t testing.TB) []float32 {
	x, rate := demoSound(t)
	require.Equal(t, 22050, rate)
	return twice(x)
}

// demoSound is the demo take as it is kept; it is decoded once.
func demoSound(t testing.TB) (x []float32, rate int) {
	t.Helper()
	r, err := decoded()
	require.NoError(t, err)
	return r.Data, r.SampleRate
}

var decoded = sync.OnceValues(func() (*dsp.Samples, error) {
	r, err := recording.Decode("demo", bytes.NewReader(assets.DemoTake))
	if err != nil {
		return nil, err
	}
	s := &dsp.Samples{SampleRate: r.Rate()}
	for buf := make([]float32, 4096); ; {
		n, err := r.Read(buf)
		if s.Data = append(s.Data, buf[:n]...); errors.Is(err, io.EOF) {
			return s, nil
		} else if err != nil {
			return nil, err
		}
	}
})

// twice is sound at twice its rate: between two samples stands what a windowed
// sinc gives.
func twice(x []float32) []float32 {
	const reach = 16
	var w [reach]float64
	for k := range w {
		d := float64(k) + 0.5
		w[k] = math.Sin(math.Pi*d) / (math.Pi * d) * (1 + math.Cos(math.Pi*d/reach)) / 2
	}
	out := make([]float32, 2*len(x))
	for i := range x {
		sum := 0.0
		for k, v := range w {
			if i-k >= 0 && i+k+1 < len(x) {
				sum += v * float64(x[i-k]+x[i+k+1])
			}
		}
		out[2*i], out[2*i+1] = x[i], float32(sum)
	}
	return out
}

func peak(x []float32) float64 {
	top := 0.0
	for _, v := range x {
		top = math.Max(top, math.Abs(float64(v)))
	}
	return top
}

// once makes one attempt, from start to the end of judging.
func (h *hall) once(t testing.TB) {
	h.Shown = nil
	h.Start()
	require.True(t, h.Running, h.Message)
	h.pump(t, func() bool { return !h.Running && !h.Judging })
}

// Click, drone and spoken numbers come back from a loudspeaker, as loud as 12 dB
// below the playing and 80 ms late. They may change nothing.
func TestWhatTheDeskSoundsIsNotTakenForPlaying(t *testing.T) {
	if testing.Short() {
		t.Skip("listens to six takes")
	}
	x := demoTake(t)
	loud := peak(x) * math.Pow(10, -12.0/20)
	heard := func(t *testing.T, level float64, set func(*remembered.Settings)) *finding.Hearing {
		h := newHall(t)
		h.back(level, 0.08)
		h.Change(set)
		lead := timetable.LeadIn
		if h.Settings.Sounds == work.SoundDrone {
			lead += timetable.DroneLeadIn
		}
		h.plays(x, lead+4*60/84+0.1)
		h.once(t)
		require.NotNil(t, h.Shown, h.Message)
		require.Empty(t, h.Message, "no trouble")
		return h.Shown.Hearing
	}
	alone := heard(t, 0, func(*remembered.Settings) {})
	require.Equal(t, mistakes, kinds(alone.Findings))
	for name, c := range map[string]struct {
		level float64
		set   func(*remembered.Settings)
	}{
		"click":          {loud / 0.5, func(*remembered.Settings) {}},
		"spoken numbers": {loud / 0.5, func(s *remembered.Settings) { s.Spoken = true }},
		"drone":          {loud / 0.25, func(s *remembered.Settings) { s.Sounds = work.SoundDrone }},
		"drone on the A of the piece": {loud / 0.25, func(s *remembered.Settings) {
			s.Sounds, s.Drone, s.DroneUp, s.Spoken = work.SoundDrone, "A", 1, true
		}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			with := heard(t, c.level, c.set)
			require.Equal(t, kinds(alone.Findings), kinds(with.Findings))
			for i, f := range alone.Findings {
				within := map[finding.Kind]float64{finding.SharpAfterShift: 3, finding.Late: 15, finding.HeldShort: 0.05}[f.Kind]
				assert.InDelta(t, f.Value, with.Findings[i].Value, within, f.Text)
			}
		})
	}
	t.Run("a drone left in would be", func(t *testing.T) { // or the test above could not fail
		t.Parallel()
		h := newHall(t)
		mixed := append([]float32(nil), x...)
		voice.Drone(44100, voice.DroneHz(33, 1, 440)).Play(mixed, 0)
		for i, v := range mixed {
			mixed[i] = x[i] + float32(loud/0.25)*(v-x[i])
		}
		h.plays(mixed, timetable.LeadIn+4*60/84+0.1)
		h.once(t)
		if h.Shown != nil {
			assert.NotEqual(t, kinds(alone.Findings), kinds(h.Shown.Hearing.Findings))
		}
	})
}

// The pupil here plays back what the desk played, to the sample: it comes back
// from the loudspeaker just when the turn is the pupil's.
func TestAnEchoGoesRoundUntilSomebodyStopsIt(t *testing.T) {
	h := newHall(t)
	require.NoError(t, h.TypeRange("1-2"))
	h.SetWay(work.Echo)
	h.SetQPM(120)
	h.Change(func(s *remembered.Settings) { s.Sounds = work.SoundLine; s.Headphones = true })
	table := timetable.New(h.Score, h.Work)
	h.back(1, table.Turn-table.Start)
	counted := map[bool]int{}
	h.OnChange(func() {
		if h.Live.Count > 0 {
			counted[h.Live.First] = h.Live.Count
		}
	})
	h.Start()
	h.pump(t, func() bool { return len(h.Takes) == 2 && h.Running && h.Live.First })
	assert.Equal(t, 3, h.Round())
	assert.Equal(t, map[bool]int{true: 4, false: 4}, counted, "a count-in before the desk, and one before the player")
	for _, take := range h.Takes {
		assert.Equal(t, "nothing stood out", take.Found)
		assert.InDelta(t, table.End-table.Start+2, take.Seconds, 0.5, "the answer alone, with two beats before it and a silence")
	}
	h.StartStop()
	h.pump(t, func() bool { return !h.Running && !h.Judging })
	assert.Zero(t, h.Round())
	assert.False(t, h.Going())
	assert.Len(t, h.Takes, 2, "the round that was stopped had no answer")
	assert.NotContains(t, h.Message, "Nothing was heard", "nobody's turn had come")
}

func TestAnEchoThatNobodyAnswersEnds(t *testing.T) {
	h := newHall(t)
	require.NoError(t, h.TypeRange("1"))
	h.SetWay(work.Echo)
	h.SetQPM(240)
	h.Work.Silence = 1
	h.Start()
	h.pump(t, func() bool { return !h.Going() })
	assert.Empty(t, h.Takes)
	assert.Contains(t, h.Message, "Nothing was heard")
	require.NotNil(t, h.Result)
	assert.Equal(t, "No answer was heard.", h.Result.Says)
	assert.Nil(t, h.Shown, "and not what another take came to")
}

func TestADevicePulledOutKeepsTheTakeAndTheNextStartGoesOn(t *testing.T) {
	h := newHall(t)
	h.SetWay(work.PlayAlone)
	h.Change(func(s *remembered.Settings) { s.Microphone = "Microphone" })
	h.plays(demoTake(t), 0)
	h.Start()
	h.pump(t, func() bool { return h.Live.Time > 26 })
	var plugged []sound.Device
	h.Set(func(p *sound.Pretend) { plugged = p.Plug })
	h.Pull()
	h.pump(t, func() bool { return !h.Running && !h.Judging })
	assert.Equal(t, `The microphone "Microphone" stopped; plug it in again to go on. What was played so far is kept.`, h.Message)
	require.NotNil(t, h.Shown)
	assert.Contains(t, kinds(h.Shown.Hearing.Findings), mistakes[0], "judged as far as it goes")
	assert.Greater(t, h.Shown.Hearing.Duration, 25.0)

	h.Start()
	assert.False(t, h.Running)
	assert.Contains(t, h.Message, "no microphone")

	h.Set(func(p *sound.Pretend) { p.Plug = plugged })
	h.plays(demoTake(t), 0)
	h.Start()
	require.True(t, h.Running, h.Message)
	assert.Empty(t, h.Message)
	h.pump(t, func() bool { return h.Live.Time > 6 })
	h.Stop()
	h.pump(t, func() bool { return !h.Running && !h.Judging })
	assert.Len(t, h.Takes, 2)
}

// What the loudspeaker plays is the playing here, so the take tells when it played.
// It is away from measure 3 to measure 7.
func TestALoudspeakerPluggedInAgainGoesOnWhereTheBeatIs(t *testing.T) {
	if testing.Short() {
		t.Skip("listens to half a minute")
	}
	h := newHall(t)
	h.back(1, 0.1)
	h.Settings.Latency[room.Pair("Microphone", "Loudspeaker")] = 0.1
	h.SetQPM(160)
	h.Change(func(s *remembered.Settings) { s.Sounds, s.Headphones = work.SoundLine, true })
	h.Work.Silence = 10
	var said []string
	h.OnChange(func() {
		if h.Running && h.Message != "" && (len(said) == 0 || said[len(said)-1] != h.Message) {
			said = append(said, h.Message)
		}
	})
	h.Start()
	require.True(t, h.Running, h.Message)
	h.pump(t, func() bool { return h.Live.Time > 6 })
	h.Set(func(p *sound.Pretend) { p.Refuse = &sound.Fault{Trouble: sound.Busy} })
	h.Fail(true, sound.Pulled)
	h.pump(t, func() bool { return h.Live.Time > 12 })
	h.Set(func(p *sound.Pretend) { p.Refuse = nil })
	h.pump(t, func() bool { return !h.Running && !h.Judging })
	assert.Equal(t, []string{
		`The loudspeaker "Loudspeaker" stopped; plug it in again to go on.`,
		`The loudspeaker "Loudspeaker" sounds again.`,
	}, said)
	require.Len(t, h.Takes, 1)
	var before, after []float64 // where the notes lie beside the beat
	for _, n := range h.Shown.Hearing.Notes {
		measure, err := strconv.Atoi(n.Measure)
		require.NoError(t, err)
		switch {
		case measure >= 3 && measure <= 8: // it may come back within a note
		case assert.NotNil(t, n.Onset, "measure %d, beat %g", measure, n.Beat):
			at := *n.Onset - (float64(4*(measure-1))+n.Beat-1)*60/160
			if measure < 3 {
				before = append(before, at)
			} else {
				after = append(after, at)
			}
		}
	}
	require.NotEmpty(t, before)
	require.NotEmpty(t, after)
	slices.Sort(before)
	slices.Sort(after)
	assert.InDelta(t, before[len(before)/2], after[len(after)/2], 0.01, "seconds")
}

func TestWhereTheRememberedDeviceIsMissingAnotherIsUsedAndNamed(t *testing.T) {
	h := newHall(t)
	h.Change(func(s *remembered.Settings) { s.Microphone, s.Loudspeaker = "Big room", "Small box" })
	h.Start()
	require.True(t, h.Running)
	assert.Equal(t, `The microphone "Big room" is not plugged in: "Microphone" hears in its place. `+
		`The loudspeaker "Small box" is not plugged in: "Loudspeaker" sounds in its place.`, h.Message)
	assert.Equal(t, "Big room", h.Settings.Microphone, "it stays remembered")
}

func TestTroubleWithTheSoundIsOneSentence(t *testing.T) {
	for trouble, says := range map[sound.Trouble]string{
		sound.Busy: "in use by another program", sound.Refused: "cannot be opened",
	} {
		h := newHall(t)
		h.Set(func(p *sound.Pretend) { p.Refuse = &sound.Fault{Trouble: trouble} })
		h.Start()
		assert.False(t, h.Running)
		assert.Contains(t, h.Message, says)
	}
	t.Run("another sampling rate", func(t *testing.T) {
		h := newHall(t)
		h.SetWay(work.PlayAlone)
		h.plays(demoTake(t), 0)
		h.Start()
		h.pump(t, func() bool { return h.Live.Time > 6 })
		h.Fail(false, sound.Changed)
		h.pump(t, func() bool { return !h.Running && !h.Judging })
		assert.Contains(t, h.Message, "changed its sampling rate; start again to go on")
		assert.NotNil(t, h.Shown, "what was played before is judged")
	})
	t.Run("the loudspeaker alone", func(t *testing.T) {
		h := newHall(t)
		h.Start()
		h.pump(t, func() bool { return h.Live.Time > 1 })
		h.Set(func(p *sound.Pretend) { p.Refuse = &sound.Fault{Trouble: sound.Absent} })
		h.Fail(true, sound.Pulled)
		h.pump(t, func() bool { return h.Live.Time > 3 })
		assert.True(t, h.Running, "the take goes on, and the cursor leads")
		assert.Contains(t, h.Message, `The loudspeaker "Loudspeaker" stopped`)
	})
	t.Run("too much at once", func(t *testing.T) {
		h := newHall(t)
		h.SetWay(work.PlayAlone)
		h.plays(demoTake(t), 0)
		h.Start()
		h.pump(t, func() bool { return h.Live.Time > 5 })
		h.Step(3 * 44100)
		h.pump(t, func() bool { return h.Live.Time > 12 })
		h.Stop()
		h.pump(t, func() bool { return !h.Running && !h.Judging })
		assert.Contains(t, h.Message, "seconds of the take are silent")
		assert.InDelta(t, 3.5, h.Takes[0].Lost, 0.5)
		assert.Greater(t, h.Takes[0].Seconds, 11.9, "time stays right")
	})
}

func TestTheDelayIsMeasuredFromTheWindowAndUsed(t *testing.T) {
	h := newHall(t)
	h.back(0.1, 0.137)
	assert.Contains(t, h.DelaySaid(), "Not measured yet")
	h.MeasureDelay()
	require.True(t, h.Measuring())
	assert.Contains(t, h.DelaySaid(), "Play nothing")
	h.pump(t, func() bool { return !h.Measuring() })
	assert.Contains(t, h.DelaySaid(), "137 ms later")
	pair := room.Pair("Microphone", "Loudspeaker")
	assert.InDelta(t, 0.137, h.Settings.Latency[pair], 0.0005)

	h.back(0, 0)
	h.MeasureDelay()
	h.pump(t, func() bool { return !h.Measuring() })
	assert.Contains(t, h.DelaySaid(), "the ticks were not heard")
	assert.Contains(t, h.DelaySaid(), "137 ms later, is kept")
	assert.Contains(t, New(h.Score, h.means).DelaySaid(), "Measured for Microphone → Loudspeaker: the sound is heard 137 ms later")
	again, err := remembered.Load(h.means.Settings)
	require.NoError(t, err)
	assert.InDelta(t, 0.137, again.Latency[pair], 0.0005)

	h.MeasureDelay()
	h.EndMeasuring()
	h.pump(t, func() bool { return !h.Measuring() })
	assert.Contains(t, h.DelaySaid(), "Stopped")
}

// The line itself comes back as the playing, 100 ms late. Once the delay is known
// that is nobody's lateness.
func TestTheSoundCardsDelayIsNotThePlayers(t *testing.T) {
	var late [2]float64
	for i, measured := range []bool{false, true} {
		h := newHall(t)
		h.back(1, 0.1)
		if measured {
			h.Settings.Latency[room.Pair("Microphone", "Loudspeaker")] = 0.1
		}
		require.NoError(t, h.TypeRange("1-4"))
		h.SetQPM(160)
		h.Work.Silence = 1
		h.Change(func(s *remembered.Settings) { s.Sounds = work.SoundLine; s.Headphones = true })
		h.Work.Silence = 1
		h.once(t)
		require.NotNil(t, h.Shown, h.Message)
		b := h.Shown.Beside
		require.True(t, b.Known, "%+v %v", h.Shown.Take, h.Shown.Hearing.Findings)
		assert.Equal(t, measured, b.Measured)
		if late[i] = b.Seconds; measured {
			assert.Equal(t, "On the whole with the click.", b.Say())
		} else {
			assert.Regexp(t, "about .* behind the click", b.Say())
		}
		assert.Equal(t, map[bool]string{true: shelf.DelayMeasured, false: shelf.DelayDevices}[measured], shelf.Read(filepath.Join(h.folder, "takes"))[0].Delay)
	}
	assert.InDelta(t, 0.1, late[0]-late[1], 0.006, "the noise of the room is another each time")
	assert.InDelta(t, 0, late[1], 0.04, "the sound swells for some hundredths")
}

func TestTheLevelIsToldWhileListeningAndWhileChoosingAMicrophone(t *testing.T) {
	h := newHall(t)
	h.TryMicrophone()
	h.pump(t, func() bool { return h.Loud.On && h.Loud.Say != "" })
	assert.Equal(t, "Silent", h.Loud.Word)
	hum := func(level float64) func(*sound.Pretend) {
		return func(p *sound.Pretend) {
			p.Room = func(i int64) float32 {
				return float32(math.Max(-1, math.Min(1, level*math.Sin(float64(i)/60))))
			}
		}
	}
	h.Set(hum(0.2))
	h.pump(t, func() bool { return h.Loud.Say == "" && h.Loud.Level > -20 })
	assert.Equal(t, "Well heard", h.Loud.Word)
	h.Set(hum(0.003))
	h.pump(t, func() bool { return h.Loud.Say != "" })
	assert.Contains(t, h.Loud.Say, "very weak")
	h.Set(hum(2))
	h.pump(t, func() bool { return h.Loud.Level > -3 && h.Loud.Say != "" })
	assert.Contains(t, h.Loud.Say, "too loud")
	h.Fail(false, sound.Pulled)
	h.pump(t, func() bool { return !h.Loud.On })
	assert.Contains(t, h.Loud.Say, "stopped")

	h.Set(func(p *sound.Pretend) { p.Room = nil })
	h.TryMicrophone()
	h.Start()
	require.True(t, h.Running, "an attempt takes the microphone over")
	h.pump(t, func() bool { return h.Loud.On })
}

func TestABringUpTakesItsStepsOnThePathOfTheSound(t *testing.T) {
	h := newHall(t)
	fault := false
	hear := h.means.Hear
	h.means.Hear = func(ctx context.Context, s *score.Score, path string, o finding.Options, told func(float64)) (*finding.Hearing, *dsp.Heard, error) {
		g, x, err := hear(ctx, s, path, o, told)
		if err == nil && fault {
			g.Findings = append(g.Findings, finding.Finding{Measure: "1", ToMeasure: "1", Kind: finding.Late, Trust: dsp.Sure})
		}
		return g, x, err
	}
	h.back(1, 0.02) // what the desk plays is the playing
	h.Change(func(s *remembered.Settings) {
		s.Sounds, s.Headphones, s.CleanTimes, s.Step = work.SoundLine, true, 2, 6
	})
	require.NoError(t, h.TypeRange("1-2"))
	h.SetWay(work.BringUp)
	h.Work.Silence = 1
	from := h.Work.QPM
	assert.Equal(t, h.Steps.Tempo, from)
	h.once(t)
	assert.Equal(t, from, h.Work.QPM)
	assert.Contains(t, h.Steps.Say(), "Once more at")
	h.once(t)
	assert.Equal(t, from+6, h.Work.QPM, "clean twice, as was chosen: a step of six")
	fault = true
	h.Change(func(s *remembered.Settings) { s.CleanTimes = 3 })
	h.Work.Silence = 1
	assert.Equal(t, 3, h.Steps.BringUp.Clean, "also on the way")
	h.once(t)
	assert.Equal(t, from+6, h.Work.QPM)
	h.once(t)
	assert.Equal(t, from, h.Work.QPM, "two failures running go back one")
	assert.Contains(t, h.Steps.Say(), "back to")
}

func TestWhatSoundsIsChosenByAKeyAndRemembered(t *testing.T) {
	b := newBench(t)
	b.NextSound()
	assert.Equal(t, work.SoundDrone, b.Settings.Sounds)
	b.NextSound()
	assert.Contains(t, b.Message, "headphones")
	again, err := remembered.Load(b.means.Settings)
	require.NoError(t, err)
	assert.Equal(t, work.SoundLine, again.Sounds)
}

func TestEachDeviceIsListedOnce(t *testing.T) {
	h := newHall(t)
	h.Plug = []sound.Device{{Name: "Box", Inputs: 1, Outputs: 2, DefaultInput: true}, {Name: "System default", Inputs: 32, Outputs: 32, Alias: true}, {Name: "Box", Inputs: 1}}
	ins, outs := h.bench.Devices()
	assert.Equal(t, []string{"Box"}, ins)
	assert.Equal(t, []string{"Box"}, outs)
	h.Settings.Microphone = "System default" // as it was chosen before
	ins, _ = h.bench.Devices()
	assert.Equal(t, []string{"Box", "System default"}, ins)
}
