package align_test

import (
	"math"
	"math/rand"
	"sort"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/notation"
)

// ferry is our own: quarters and halves, no two measures alike.
const ferry = `X:1
M:4/4
L:1/4
Q:1/4=80
K:G
G, A, B, A, | D, E, F, G, | C D C B, | A, B, A, G, | D, E, G, E, | C D G, D | B, C D2 | B, A, G,2 |
A,, B,, C, D, | E, F, G, A, | B, G, E, F, | G,4 |]
`

// A line is what is on the page and when each note of it is due.
type line struct {
	notes []piece.Expected
	clock []float64
}

func written(t testing.TB, abc string) line {
	t.Helper()
	p, err := notation.Read("tune.abc", []byte(abc))
	require.NoError(t, err)
	notes, _ := p.Line()
	return line{notes, align.Clock(p, notes, 80)}
}

// composed is a tune by chance: steps and small leaps over two octaves, in
// quarters, eighths and halves, four quarters a measure, at ♩ = 80.
func composed(rng *rand.Rand, notes int) line {
	var l line
	midi, at := 36+rng.Intn(12), piece.Ticks(0)
	for i := range notes {
		length := []piece.Ticks{piece.Quarter, piece.Quarter, piece.Quarter / 2, 2 * piece.Quarter}[rng.Intn(4)]
		measure := int(at / (4 * piece.Quarter))
		l.notes = append(l.notes, piece.Expected{Measure: measure, Number: strconv.Itoa(measure + 1), Pass: 1, Note: i,
			Beat: 1 + float64(at%(4*piece.Quarter))/float64(piece.Quarter), Onset: at, Length: length, MIDI: midi})
		l.clock = append(l.clock, at.Quarters()*0.75)
		at += length
		midi += []int{-5, -3, -2, -2, -1, 1, 2, 2, 3, 5}[rng.Intn(10)]
		midi = max(28, min(52, midi))
	}
	return l
}

// at finds a note by measure and beat.
func (l line) at(t testing.TB, number string, beat float64) int {
	for i, e := range l.notes {
		if e.Number == number && e.Beat == beat {
			return i
		}
	}
	require.Fail(t, "no such note")
	return -1
}

func (l line) length(i int) float64 { return l.notes[i].Length.Quarters() * 0.75 }

// A sound is one note heard; note is where it stands on the page, -1 for none.
type sound struct {
	note     int
	midi     float64
	on, off  float64
	strength float64
	trust    dsp.Trust
}

type take []sound

// played is a take without a fault, from note a to before note b.
func (l line) played(a, b int) take {
	var tk take
	for i := a; i < b; i++ {
		on := 1 + l.clock[i] - l.clock[a]
		tk = append(tk, sound{i, float64(l.notes[i].MIDI), on, on + l.length(i), 4, dsp.Sure})
	}
	return tk
}

func (l line) whole() take { return l.played(0, len(l.notes)) }

// then goes on with another take after so many seconds.
func (tk take) then(seconds float64, next take) take {
	by := tk[len(tk)-1].off + seconds - next[0].on
	out := append(take{}, tk...)
	for _, s := range next {
		s.on, s.off = s.on+by, s.off+by
		out = append(out, s)
	}
	return out
}

func (tk take) bend(to func(float64) float64) take {
	out := append(take{}, tk...)
	for k := range out {
		out[k].on, out[k].off = 1+to(out[k].on-1), 1+to(out[k].off-1)
	}
	return out
}

func (tk take) sway(rng *rand.Rand, cents, ms float64) take {
	out := append(take{}, tk...)
	for k := range out {
		out[k].midi += cents / 100 * rng.NormFloat64()
		out[k].on += ms / 1000 * rng.NormFloat64()
	}
	return out
}

// inOrder is a take in the order in which its notes begin.
func (tk take) inOrder() take {
	s := append(take{}, tk...)
	sort.SliceStable(s, func(a, b int) bool { return s[a].on < s[b].on })
	return s
}

// heard is what the listening makes of a take: notes in order of time, one at
// a time, and frames that agree with them.
func (tk take) heard() *dsp.Heard {
	s := tk.inOrder()
	h := &dsp.Heard{Rate: 44100, Floor: -70, Peak: 0.5}
	for k := range s {
		if k+1 < len(s) {
			s[k].off = math.Min(s[k].off, s[k+1].on)
		}
		s[k].off = math.Max(s[k].off, s[k].on+0.05)
		n := dsp.Note{Onset: s[k].on, Offset: s[k].off, Pitch: s[k].midi, Landing: s[k].midi, Spread: 2, SteadyFrom: s[k].on + 0.08,
			SteadyTo: s[k].off - 0.02, Level: -20, Aperiodicity: 0.03, Kind: dsp.Attack, Strength: s[k].strength, Trust: s[k].trust}
		h.Notes = append(h.Notes, n)
		h.Duration = s[k].off + 1
		for at := float64(len(h.Frames)) * 0.01; at < s[k].off; at += 0.01 {
			f := dsp.Frame{Time: at, Aperiodicity: 1, Level: -70}
			if at >= s[k].on {
				f = dsp.Frame{Time: at, Voiced: true, Freq: dsp.Hz(s[k].midi), Aperiodicity: 0.03, Level: -20}
			}
			h.Frames = append(h.Frames, f)
		}
	}
	return h
}

func (l line) align(t testing.TB, tk take) *align.Alignment {
	t.Helper()
	a, err := align.Align(l.notes, l.clock, tk.heard(), 440)
	require.NoError(t, err)
	return a
}

// right counts the notes of the page matched to a sound that was that note.
func right(a *align.Alignment, tk take) (right, wrong int) {
	s := tk.inOrder()
	for i, m := range a.Matches {
		if m.Heard < 0 || m.Guessed || m.Recovered {
			continue
		}
		if s[m.Heard].note == i {
			right++
		} else {
			wrong++
		}
	}
	return right, wrong
}
