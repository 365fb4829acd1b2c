package fingerboard

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"endpin/piece"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// exhaust tries every way to play a line, one note after the other, and
// returns the cost of the cheapest. It knows nothing of layers or of ways shared.
func exhaust(in Instrument, line []piece.Expected, o Options) float64 {
	k := newCosting(in)
	all := in.choose(line, o, &Plan{})
	best := math.Inf(1)
	var try func(i, last int, before *state, spent float64)
	try = func(i, last int, before *state, spent float64) {
		for i < len(line) && len(all[i].stops) == 0 {
			i++
		}
		if i == len(line) {
			best = math.Min(best, spent)
			return
		}
		for _, s := range all[i].stops {
			here := state{stop: s, hand: s.place, own: k.alone(s)}
			if !s.stopped() && before != nil {
				here.hand = before.hand
			}
			if st := all[i].standing; st != "" && s.stopped() && in.System.Positions[s.place].Token != st {
				here.own += unmarked
			}
			cost := k.opening(&here)
			if before != nil {
				here.moved = moves(before, &here)
				cost = here.own + k.between(before, &here, k.stepBetween(line, last, i, cmp.Or(o.QPM, walking)))
			}
			try(i+1, i, &here, spent+cost)
		}
	}
	try(0, 0, nil, 0)
	return best
}

// wander invents a line that a seed can repeat: mostly steps, now and then a
// leap, a rest, a slur or a mark.
func wander(in Instrument, seed uint64, notes int, marks bool) []piece.Expected {
	r := rand.New(rand.NewPCG(seed, 7))
	low, high := in.Range()
	midi := low + r.IntN(high-low)
	var line []piece.Expected
	at := piece.Ticks(0)
	for i := range notes {
		if r.IntN(6) == 0 {
			midi = low - 2 + r.IntN(high-low+4)
		} else {
			midi = max(low-2, min(high+2, midi+r.IntN(7)-3))
		}
		n := piece.Expected{Measure: i / 4, Number: fmt.Sprint(i/4 + 1), Beat: float64(i%4 + 1), Note: i % 4, Onset: at,
			Length: piece.Quarter / piece.Ticks(1+r.IntN(4)), MIDI: midi, Slurred: i > 0 && r.IntN(4) == 0}
		if r.IntN(8) == 0 {
			n.RestAfter = piece.Quarter
		}
		at += n.Length + n.RestAfter
		if marks && r.IntN(3) == 0 {
			n.Marks.Finger = []string{"", "0", "1", "2", "3", "4", "T", "9"}[r.IntN(8)]
			if r.IntN(3) == 0 {
				n.Marks.String = r.IntN(6)
			}
			if r.IntN(3) == 0 {
				n.Marks.Position = []string{"half", "1", "3", "thumb", "0", "nowhere"}[r.IntN(6)]
			}
			n.Marks.Open, n.Marks.Harmonic = r.IntN(20) == 0, r.IntN(20) == 0
		}
		line = append(line, n)
	}
	return line
}

func TestNoCheaperFingeringExists(t *testing.T) {
	for _, named := range Instruments() {
		in := named.Instrument
		if len(in.System.Positions) > 12 {
			in.System.Positions = in.System.Positions[:13] // so that all ways can be tried
		}
		for seed := range uint64(12) {
			line := wander(in, seed, 5, seed%2 == 1)
			o := Options{QPM: []float64{0, 60, 160}[seed%3], NoOpenStrings: seed%4 == 3}
			p := in.Finger(line, o)
			require.InDelta(t, exhaust(in, line, o), p.Cost, 1e-9, "%s, seed %d", named.Word, seed)
		}
	}
}

// The way told must be the way weighed: its cost, added up note by note from
// the plan, is the plan's.
func TestThePlanIsTheWayThatWasWeighed(t *testing.T) {
	in := DoubleBass()
	for seed := range uint64(30) {
		line := wander(in, seed, 60, false)
		p := in.Finger(line, Options{QPM: 80})
		k := newCosting(in)
		var total float64
		var before *state
		last := 0
		hand := nowhere
		for i, n := range p.Notes {
			if n.Off {
				continue
			}
			s := state{stop: stop{str: n.String, place: nowhere, finger: n.Finger, semitones: n.Semitones, open: n.Open}}
			if !n.Open {
				s.place = slices.IndexFunc(in.System.Positions, func(p Position) bool {
					return p.Token == n.Position && p.At == n.Hand
				})
				require.NotEqual(t, nowhere, s.place, "note %d: %+v", i, n)
				hand = s.place
			}
			s.hand = hand
			s.own = k.alone(s.stop)
			if before == nil {
				total += k.opening(&s)
			} else {
				s.moved = moves(before, &s)
				total += s.own + k.between(before, &s, k.stepBetween(line, last, i, 80))
			}
			before, last = &s, i
		}
		assert.InDelta(t, p.Cost, total, 1e-9, "seed %d", seed)
	}
}

// The work on a note depends on the states of it and of the note before, never
// on the length of the line; so does the memory. (The benchmarks give the time.)
func TestALongPartTakesItsTimeInProportion(t *testing.T) {
	in := DoubleBass()
	k := newCosting(in)
	work := func(notes int) (pairs float64) {
		line := wander(in, 1, notes, false)
		layers := k.layers(in, line, in.choose(line, Options{}, &Plan{}), 0)
		for i := 1; i < len(layers); i++ {
			pairs += float64(len(layers[i-1].states) * len(layers[i].states))
		}
		return pairs
	}
	assert.InEpsilon(t, 8*work(800), work(6400), 0.2)
	assert.Less(t, work(3200)/3200, 1500., "pairs of states weighed for each note")
}

// A part of eighth notes over the whole range, four beats to a measure. The time
// for a measure must not grow with their number.
func BenchmarkFinger(b *testing.B) {
	in := DoubleBass()
	for _, measures := range []int{100, 200, 400, 800} {
		line := wander(in, 1, 8*measures, false)
		b.Run(fmt.Sprintf("%d measures", measures), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				in.Finger(line, Options{})
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*measures), "ns/measure")
		})
	}
}
