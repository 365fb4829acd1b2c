package sound

import (
	"context"
	"errors"
	"io"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/sourcetest"
)

func wave(i int64) float32 { return float32(0.5 * math.Sin(float64(i)/20)) }

func TestTheMicrophoneIsASource(t *testing.T) {
	sourcetest.Check(t, func() dsp.Source {
		p := NewPretend(44100)
		p.Room = wave
		m, err := New(p).Microphone("")
		require.NoError(t, err)
		for n := 1; n < 900; n += 37 { // blocks of any size
			p.Step(n)
		}
		require.NoError(t, m.Close())
		return m
	})
}

func TestAMicrophoneIsReadWhileItHears(t *testing.T) {
	p := NewPretend(48000)
	p.Room = wave
	m, err := New(p).Microphone("Microphone")
	require.NoError(t, err)
	go func() {
		for range 2000 {
			p.Step(77)
		}
		m.Close()
	}()
	at := int64(0)
	for buf := make([]float32, 500); ; {
		n, err := m.Read(buf)
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		for _, v := range buf[:n] {
			if lost, _ := m.Lost(); lost == 0 {
				require.Equal(t, wave(at), v, "sample %d", at)
			}
			at++
		}
	}
	assert.Positive(t, at)
}

func TestWhatFindsNoRoomLeavesItsTime(t *testing.T) {
	p := NewPretend(8000)
	p.Room = func(i int64) float32 { return float32(i%1000) / 1000 }
	m, err := New(p).Microphone("")
	require.NoError(t, err)
	for range 50 {
		p.Step(500) // three seconds, and nobody reads
	}
	lost, _ := m.Lost()
	assert.EqualValues(t, 9000, lost)
	buf := make([]float32, 16000)
	n, err := m.Read(buf)
	require.NoError(t, err)
	require.Equal(t, 16000, n)
	p.Step(500)
	p.Step(500)
	m.Close()
	after, err := io.ReadAll(reader{m})
	require.NoError(t, err)
	assert.Len(t, after, 10000, "silence for what was lost, then the sound")
	assert.EqualValues(t, 99, after[len(after)-1], "in its own place")
}

// reader gives a byte a sample.
type reader struct{ s dsp.Source }

func (r reader) Read(b []byte) (int, error) {
	x := make([]float32, len(b))
	n, err := r.s.Read(x)
	for i := range n {
		b[i] = byte(100 * x[i])
	}
	return n, err
}

func TestTheCallbackAllocatesNothing(t *testing.T) {
	p := NewPretend(44100)
	c := New(p)
	m, err := c.Microphone("")
	require.NoError(t, err)
	l, err := c.Loudspeaker("")
	require.NoError(t, err)
	defer l.Close()
	x := make([]float32, 100)
	assert.Zero(t, testing.AllocsPerRun(100, func() { m.hear(x, Moment{Time: 1}) }))
	assert.Zero(t, testing.AllocsPerRun(100, func() { l.fill(x, Moment{Time: 1}) }))
}

func TestADevicePulledOutIsToldAndGoesOnAfterwards(t *testing.T) {
	p := NewPretend(44100)
	p.Room = wave
	c := New(p)
	m, err := c.Microphone("Microphone")
	require.NoError(t, err)
	p.Step(1000)
	plugged := p.Plug
	p.Pull()
	buf := make([]float32, 4000)
	n, err := m.Read(buf)
	assert.Equal(t, 1000, n, "what was heard is kept")
	require.NoError(t, err)
	_, err = m.Read(buf)
	assert.EqualError(t, err, `sound.pulled.microphone.named, device "Microphone"`)
	_, again := m.Read(buf)
	assert.Equal(t, err, again)
	m.Close()
	_, err = c.Microphone("Microphone")
	assert.EqualError(t, err, "sound.none.microphone")
	p.Plug = plugged
	m, err = c.Microphone("Microphone")
	require.NoError(t, err)
	p.Step(10)
	n, err = m.Read(buf)
	assert.Equal(t, 10, n)
	assert.NoError(t, err)
}

func TestEveryTroubleNamesTheDevice(t *testing.T) {
	for _, trouble := range []Trouble{Busy, Absent, Changed, Refused} {
		p := NewPretend(44100)
		p.Refuse = &Fault{Trouble: trouble}
		_, err := New(p).Loudspeaker("")
		assert.EqualError(t, err, `sound.`+string(trouble)+`.loudspeaker.named, device "Loudspeaker"`)
	}
	p := NewPretend(44100)
	p.Refuse = errors.New("ioctl failed")
	_, err := New(p).Microphone("")
	assert.EqualError(t, err, `sound.refused.microphone.named.said, device "Microphone", err ioctl failed`)
	_, err = New(NewPretend(44100)).Microphone("Headset")
	assert.EqualError(t, err, `sound.absent.microphone.named, device "Headset"`)
}

func TestASoundBeginsOnItsSample(t *testing.T) {
	p := NewPretend(44100)
	c := New(p)
	l, err := c.Loudspeaker("")
	require.NoError(t, err)
	defer l.Close()
	at := l.Next() + 1234
	s := l.Start(clip{0.5, 0.25}, at)
	assert.Equal(t, at, s.At)
	p.Gain = 1
	m, err := c.Microphone("")
	require.NoError(t, err)
	var heard []float32
	for len(heard) < int(at)+100 {
		l.mix()
		p.Step(99)
		buf := make([]float32, 99)
		n, _ := m.Read(buf)
		heard = append(heard, buf[:n]...)
	}
	for i, v := range heard {
		want := float32(0)
		switch int64(i) {
		case at:
			want = 0.5
		case at + 1:
			want = 0.25
		}
		require.Equal(t, want, v, "sample %d", i)
	}
	assert.Zero(t, l.Gaps())
}

func TestSoundThatComesTooLateDoesNotShiftTheRest(t *testing.T) {
	p := NewPretend(44100)
	l := &Loudspeaker{ahead: aheadSeconds}
	s, _ := p.OpenOutput(Device{}, false, l.fill)
	l.begin(s, p.Time, func() {})
	ready := l.ring.ready()
	out := make([]float32, ready+300)
	l.fill(out, Moment{})
	assert.EqualValues(t, 300, l.Gaps())
	l.Start(clip{1}, int64(ready+2000))
	l.mix()
	out = make([]float32, 3000)
	l.fill(out, Moment{})
	assert.EqualValues(t, 1, out[2000-300])
}

func TestTheRoundTripIsMeasured(t *testing.T) {
	for _, ms := range []float64{0, 20, 87.5, 150, 400} {
		p := NewPretend(44100)
		p.Delay, p.Gain = int(ms*44.1), 0.1
		noise := uint32(1)
		p.Room = func(int64) float32 {
			noise = noise*1664525 + 1013904223
			return 0.002 * float32(int32(noise)) / (1 << 31)
		}
		c := New(p)
		m, err := c.Microphone("")
		require.NoError(t, err)
		l, err := c.Loudspeaker("")
		require.NoError(t, err)
		quit, gone := make(chan bool), make(chan bool)
		go func() {
			defer close(gone)
			for {
				select {
				case <-quit:
					return
				default:
				}
				l.mix()
				if m.ring.room() > 44100 {
					p.Step(441)
				}
			}
		}()
		got, err := Measure(context.Background(), m, l)
		close(quit)
		<-gone
		l.Close()
		require.NoError(t, err)
		assert.InDelta(t, ms/1000, got.Seconds, 0.0001)
		assert.Equal(t, dsp.Sure, got.Trust(), "%+v", got)
	}
	assert.Equal(t, dsp.Fair, Latency{}.Trust(), "before it was measured")
}

func TestTheMeterSaysWhatIsWrong(t *testing.T) {
	say := func(amplitude float64) State {
		m := NewMeter(44100)
		x := make([]float32, 4410)
		for i := range x {
			x[i] = float32(max(-1, min(1, amplitude*math.Sin(float64(i)/30))))
		}
		for range 40 {
			m.Push(x)
		}
		return m.State()
	}
	assert.Equal(t, Silent, say(0))
	assert.Equal(t, VeryWeak, say(0.003))
	assert.Equal(t, WellHeard, say(0.2))
	assert.Equal(t, TooLoud, say(1.5))
}
