package align_test

import (
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/align"
)

// measures are the notes with which measures begin, and the end of the line.
func (l line) measures() []int {
	var starts []int
	for i := range l.notes {
		if i == 0 || l.notes[i].Measure != l.notes[i-1].Measure || l.notes[i].Pass != l.notes[i-1].Pass {
			starts = append(starts, i)
		}
	}
	return append(starts, len(l.notes))
}

// wandering plays a tune and skips, repeats or begins anew a share of its measures.
func (l line) wandering(rng *rand.Rand, share float64) take {
	starts := l.measures()
	tk := l.played(starts[0], starts[1])
	for m := 1; m+1 < len(starts); m++ {
		from, to := starts[m], starts[m+1]
		if rng.Float64() >= share {
			tk = tk.then(0, l.played(from, to))
			continue
		}
		switch rng.Intn(3) {
		case 0: // skipped
		case 1:
			tk = tk.then(0, l.played(from, to)).then(0, l.played(from, to))
		case 2:
			tk = tk.then(0, l.played(from, from+1+rng.Intn(to-from))).then(2*rng.Float64(), l.played(from, to))
		}
	}
	return tk
}

// slips leaves out, changes and puts in a share of the notes each.
func (tk take) slips(rng *rand.Rand, share float64) take {
	var out take
	for _, s := range tk {
		if rng.Float64() < share {
			continue
		}
		if rng.Float64() < share {
			s.midi += []float64{-2, -1, 1, 2}[rng.Intn(4)]
		}
		out = append(out, s)
		if rng.Float64() < share {
			out = append(out, sound{-1, s.midi + float64(rng.Intn(9)-4), (s.on + s.off) / 2, s.off, 4, s.trust})
		}
	}
	return out
}

// found counts the notes of a take that belong to the line, and those matched to their
// own place in it, also where they were played again later.
func (tk take) found(a *align.Alignment) (found, all int) {
	found, _ = right(a, tk)
	s := tk.inOrder()
	for _, e := range a.Earlier {
		if s[e.Heard].note == e.Line {
			found++
		}
	}
	for _, s := range tk {
		if s.note >= 0 {
			all++
		}
	}
	return found, all
}

// Tuned on the tunes of seeds below 100; these are others. The bar is the issue's: of a
// hundred notes ninety-five.
func TestAPlayerWhoSkipsRepeatsAndBeginsAnewIsFollowed(t *testing.T) {
	for _, c := range []struct {
		what         string
		share, slips float64
	}{{"a fifth of the measures skipped, repeated or begun anew", 0.2, 0}, {"the same, and 3 of 100 notes each left out, wrong and put in", 0.2, 0.03}} {
		found, all := 0, 0
		for seed := int64(700); seed < 720; seed++ {
			rng := rand.New(rand.NewSource(seed))
			l := composed(rng, 60+rng.Intn(200))
			factor := 0.6 + rng.Float64()
			tk := l.wandering(rng, c.share).slips(rng, c.slips).bend(func(s float64) float64 { return s / factor }).sway(rng, 12, 25)
			f, n := tk.found(l.align(t, tk))
			found, all = found+f, all+n
		}
		t.Logf("%s, 20 tunes: %.1f %% of %d notes at their own place", c.what, 100*float64(found)/float64(all), all)
		assert.GreaterOrEqual(t, float64(found), 0.95*float64(all))
	}
}

func TestBehindAPassageThatFitsNothingThePlayerIsFoundAgain(t *testing.T) {
	found, all := 0, 0
	for seed := int64(800); seed < 810; seed++ {
		rng := rand.New(rand.NewSource(seed))
		l := composed(rng, 200)
		stop, on := l.measures()[15], l.measures()[19]
		noise, at := take{}, 0.0
		for range 40 {
			length := 0.15 + 0.3*rng.Float64()
			noise = append(noise, sound{-1, 30 + 25*rng.Float64(), at, at + length, 4, dsp.Sure})
			at += length
		}
		tk := l.played(0, stop).then(0, noise).then(0, l.played(on, len(l.notes))).sway(rng, 12, 25)
		f, n := tk.found(l.align(t, tk))
		found, all = found+f, all+n
	}
	t.Logf("40 notes that fit nothing in the midst, 10 tunes: %.1f %% of %d notes at their own place", 100*float64(found)/float64(all), all)
	assert.GreaterOrEqual(t, float64(found), 0.95*float64(all))
}

const twoParts = `X:1
M:4/4
L:1/4
Q:1/4=80
K:G
|: G, A, B, A, | D, E, F, G, | C D C B, | A, B, A, G, :|
|: D, E, G, E, | C D G, D | B, C D2 | B, A, G,2 :|
`

func TestARepeatNotTakenIsGoingOnAlongThePage(t *testing.T) {
	l := written(t, twoParts)
	at := func(number string, pass int) int {
		for i, e := range l.notes {
			if e.Number == number && e.Pass == pass {
				return i
			}
		}
		require.Fail(t, "no such measure")
		return -1
	}
	second, repeat := at("5", 1), at("5", 2)
	a := allRight(t, l, l.played(0, at("1", 2)).then(0, l.played(second, len(l.notes))), span(at("1", 2), second)...)
	require.Len(t, a.Skips, 1)
	assert.True(t, a.Skips[0].Onward)
	assert.Equal(t, second, a.Skips[0].To)
	assert.Empty(t, a.Restarts)

	a = allRight(t, l, l.played(0, repeat), span(repeat, len(l.notes))...)
	assert.Equal(t, repeat-1, a.Last, "a repeat not taken at the end")
	assert.Empty(t, a.Skips)
}

func span(from, to int) (all []int) {
	for i := from; i < to; i++ {
		all = append(all, i)
	}
	return all
}

func TestMeasuresLeftOutAreGoneAheadOf(t *testing.T) {
	l := written(t, ferry)
	from, to := l.at(t, "4", 1), l.at(t, "7", 1)
	a := allRight(t, l, l.played(0, from).then(0, l.played(to, len(l.notes))), span(from, to)...)
	require.Len(t, a.Skips, 1)
	assert.Equal(t, from-1, a.Skips[0].From)
	assert.Equal(t, to, a.Skips[0].To)
	assert.False(t, a.Skips[0].Onward)
}

// While he plays, only what he has played is known. Seeds that nobody had looked at.
func TestAPlayerIsFollowedWhileHePlays(t *testing.T) {
	atOnce, all := 0, 0
	for seed := int64(830); seed < 836; seed++ {
		rng := rand.New(rand.NewSource(seed))
		l := composed(rng, 60+rng.Intn(100))
		factor := 0.6 + rng.Float64()
		tk := l.wandering(rng, 0.1).bend(func(s float64) float64 { return s / factor }).sway(rng, 12, 25)
		f := align.Follow(l.notes, l.clock)
		played := tk.inOrder()
		for j, n := range tk.heard().Notes {
			f.Hear(n)
			if at, now, _ := f.At(); now && at == played[j].note {
				atOnce++
			}
			all++
		}
	}
	t.Logf("a tenth of the measures skipped, repeated or begun anew, 6 tunes: %.1f %% of %d notes told as they began", 100*float64(atOnce)/float64(all), all)
	assert.GreaterOrEqual(t, float64(atOnce), 0.9*float64(all))
}

func TestBehindMeasuresLeftOutItIsKnownHowLongThePlayerHasGoneOn(t *testing.T) {
	l := written(t, ferry)
	from, to := l.at(t, "4", 1), l.at(t, "7", 1)
	f := align.Follow(l.notes, l.clock)
	for _, n := range l.played(0, from).then(0, l.played(to, len(l.notes))).heard().Notes {
		f.Hear(n)
	}
	at, now, onward := f.At()
	assert.True(t, now)
	assert.Equal(t, len(l.notes)-1, at)
	assert.Equal(t, len(l.notes)-1-to, onward, "notes behind the first that he leapt to")
}
