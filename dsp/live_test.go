package dsp

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// look pushes sound as a microphone gives it and looks every 20 ms. What sounds now
// is asked as well: it may change nothing.
func look(t testing.TB, x []float32, rate int, each func(now float64, p Provisional)) *Listener {
	l, err := NewListener(Bass.Live(), rate)
	require.NoError(t, err)
	block := rate / 50
	for at := 0; at < len(x); at += block {
		l.Push(x[at:min(len(x), at+block)])
		l.Now()
		each(float64(min(len(x), at+block))/float64(rate), l.Provisional())
	}
	return l
}

func TestALookChangesNothingOfTheEnd(t *testing.T) {
	x := lesson(44100)
	want, err := Listen(&Samples{SampleRate: 44100, Data: x}, Bass.Live())
	require.NoError(t, err)
	require.Equal(t, want, look(t, x, 44100, func(float64, Provisional) {}).Finish())
}

func TestWhatIsHandedOutIsNotTheListenersOwn(t *testing.T) {
	l := look(t, minute(44100)[:2*44100], 44100, func(float64, Provisional) {})
	for i, f := range l.Latest(8) {
		l.Latest(8)[i].Time += 100
		assert.Equal(t, f, l.Latest(8)[i])
	}
}

func TestASettledNoteStays(t *testing.T) {
	x := minute(44100)[:20*44100]
	var kept []Note
	look(t, x, 44100, func(_ float64, p Provisional) {
		require.GreaterOrEqual(t, p.Settled, len(kept))
		require.Equal(t, kept, append([]Note(nil), p.Notes[:len(kept)]...))
		kept = append([]Note(nil), p.Notes[:p.Settled]...)
	})
	assert.Greater(t, len(kept), 20)
}

func TestNothingIsLostWhereNobodyLooksForAWhile(t *testing.T) {
	x := minute(44100)
	often := look(t, x, 44100, func(float64, Provisional) {}).Provisional()
	l, err := NewListener(Bass.Live(), 44100)
	require.NoError(t, err)
	l.Push(x)
	once := l.Provisional()
	assert.InDelta(t, len(often.Notes), len(once.Notes), 0.03*float64(len(often.Notes)))
	assert.Equal(t, often.Duration, once.Duration)
	near := 0
	for _, n := range once.Notes {
		if slices.ContainsFunc(often.Notes, func(o Note) bool {
			return math.Abs(o.Onset-n.Onset) < liveJitter && math.Abs(o.Pitch-n.Pitch) < 0.1
		}) {
			near++
		}
	}
	assert.GreaterOrEqual(t, float64(near), 0.95*float64(len(often.Notes)))
}

func TestALongNoteIsOneLook(t *testing.T) {
	x := sound(44100, 30, bowed(0.5, 28, 33))
	longest := 0
	look(t, x, 44100, func(_ float64, p Provisional) { longest = max(longest, len(p.Notes)) })
	assert.LessOrEqual(t, longest, 4, "a note of half a minute may be cut, into pieces of some seconds")
}

// The times are of the sound, from the tenth of a stroke's amplitude to the look
// that tells its beginning, and to the one that tells its note.
func TestABeginningIsToldSoon(t *testing.T) {
	for what, strokes := range map[string][]stroke{
		"bowed":   row(bowed, 0.6, 0.85, 28, 33, 38, 43, 40, 35, 31, 36, 41, 45, 28, 40),
		"plucked": row(plucked, 0.6, 0.85, 28, 33, 38, 43, 40, 35, 31, 36, 41, 45, 28, 40),
	} {
		x := sound(44100, 9, strokes...)
		Noise(x, -60, 1)
		began, told := make([]float64, len(strokes)), make([]float64, len(strokes))
		l := look(t, x, 44100, func(now float64, p Provisional) {
			for i, s := range strokes {
				for _, o := range p.Onsets {
					if began[i] == 0 && math.Abs(o.Time-s.heardAt()) < 0.1 {
						began[i] = now - s.heardAt()
					}
				}
				for _, n := range p.Notes {
					if told[i] == 0 && math.Abs(n.Onset-s.heardAt()) < 0.1 && math.Abs(n.Pitch-MIDI(s.freq(0.3))) < 0.3 {
						told[i] = now - s.heardAt()
					}
				}
			}
		})
		end, near := l.Finish(), 0
		p := l.Provisional()
		for _, n := range end.Notes {
			if slices.ContainsFunc(p.Notes, func(q Note) bool {
				return math.Abs(q.Onset-n.Onset) < 0.02 && math.Abs(q.Pitch-n.Pitch) < 0.1
			}) {
				near++
			}
		}
		slices.Sort(began)
		slices.Sort(told)
		t.Logf("%s: a beginning is told after %.0f ms (median), %.0f (most); the note after %.0f, %.0f; %d of %d notes within 20 ms and 10 cents of the end's",
			what, 1000*began[6], 1000*began[11], 1000*told[6], 1000*told[11], near, len(end.Notes))
		assert.NotZero(t, began[0], "%s: one was never told", what)
		assert.NotZero(t, told[0], "%s: one was never told", what)
		assert.Less(t, told[11], 0.35, what)
		assert.GreaterOrEqual(t, near, len(end.Notes)-1, what)
	}
}

// Tones of a string with strong upper partials: that the octave is right matters
// most, since two periods say little of it.
func TestWhatSoundsNowIsToldWithinTwoPeriodsAndSixtyMilliseconds(t *testing.T) {
	keys := []float64{28, 33, 38, 43, 40, 35, 31, 36, 41, 45, 28, 40}
	for what, strokes := range map[string][]stroke{
		"bowed":   row(bowed, 0.6, 0.85, keys...),
		"plucked": row(plucked, 0.6, 0.85, keys...),
	} {
		x := sound(44100, 9, strokes...)
		Noise(x, -60, 1)
		l, err := NewListener(Bass.Live(), 44100)
		require.NoError(t, err)
		told := make([]float64, len(strokes))
		right, wrong := 0, 0
		for at := 0; at+441 <= len(x); at += 441 {
			l.Push(x[at : at+441])
			n := l.Now()
			for i, s := range strokes {
				since, hz := n.Time-s.heardAt(), s.freq(0.3)
				if since < 0 || since > 0.4 {
					continue
				}
				near := n.Pitch > 0 && math.Abs(n.Pitch-MIDI(hz)) < 0.3
				if told[i] == 0 && near && math.Abs(n.Began-s.heardAt()) < 0.1 {
					told[i] = since - 2/hz
				}
				if since > 2/hz+0.06 && near {
					right++
				} else if since > 2/hz+0.06 && n.Pitch > 0 {
					wrong++
				}
			}
		}
		slices.Sort(told)
		t.Logf("%s: told two periods and %.0f ms (median), %.0f (most) after the beginning; %d moments right, %d wrong", what, 1000*told[6], 1000*told[11], right, wrong)
		assert.NotZero(t, told[0], "%s: one was never told", what)
		assert.Less(t, told[6], 0.06, what)
		assert.Less(t, float64(wrong), 0.02*float64(right), what)
	}
}

func TestNothingSoundsNowInAQuietRoom(t *testing.T) {
	x := sound(44100, 4, bowed(1, 1.5, 33))
	Noise(x, -60, 2)
	l, err := NewListener(Bass.Live(), 44100)
	require.NoError(t, err)
	for at := 0; at+441 <= len(x); at += 441 {
		l.Push(x[at : at+441])
		if n := l.Now(); n.Time < 0.95 || n.Time > 2.7 {
			require.Zero(t, n.Pitch, "%+v, the room at %.1f dB", n, l.live.now.floor)
		}
	}
}

// BenchmarkProvisional is listening live as the desk does: what sounds now every 10 ms,
// what was heard four times a second. 200 ms/s would be
// the fifth of a core that a desk may take for it.
func BenchmarkProvisional(b *testing.B) {
	x := minute(44100)
	for i := 0; i < b.N; i++ {
		l, err := NewListener(Bass.Live(), 44100)
		require.NoError(b, err)
		for at := 0; at+441 <= len(x); at += 441 {
			l.Push(x[at : at+441])
			l.Now()
			if at/441%25 == 0 {
				l.Provisional()
			}
		}
	}
	perSecond(b, 60)
}

// BenchmarkNow is one moment of it.
func BenchmarkNow(b *testing.B) {
	x := minute(44100)
	l, err := NewListener(Bass.Live(), 44100)
	require.NoError(b, err)
	l.Push(x[:10*44100])
	b.ResetTimer()
	for i := 0; i < b.N; i++ {
		l.Now()
	}
}
