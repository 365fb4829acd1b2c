package dsp

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// look pushes sound as a microphone gives it and looks every 20 ms.
func look(t testing.TB, x []float32, rate int, each func(now float64, p Provisional)) *Listener {
	l, err := NewListener(Bass.Live(), rate)
	require.NoError(t, err)
	block := rate / 50
	for at := 0; at < len(x); at += block {
		l.Push(x[at:min(len(x), at+block)])
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

// BenchmarkProvisional is listening live with a look every 20 ms. 200 ms/s would be
// the fifth of a core that a desk may take for it.
func BenchmarkProvisional(b *testing.B) {
	x := minute(44100)
	for i := 0; i < b.N; i++ {
		look(b, x, 44100, func(float64, Provisional) {})
	}
	perSecond(b, 60)
}
