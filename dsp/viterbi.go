package dsp

import "math"

// viterbi chooses one candidate, or none, per frame: the least-cost path over
// time, in the manner of M. Mauch and S. Dixon, "pYIN", ICASSP 2014,
// with the candidates themselves as states instead of a grid of pitches. It
// looks a fixed number of frames ahead, so that a microphone can use it too.
type viterbi struct {
	ring []trellisColumn
	head int // frames pushed so far
}

// trellisColumn is what is known of one frame.
type trellisColumn struct {
	cands []candidate
	cost  []float64 // one a candidate, and last the cost of "no pitch"
	back  []int
}

// tenthsAnOctave are tenths of a semitone.
const tenthsAnOctave = 120

// Costs are in units of YIN's normalised difference. Set by ear on sampled and
// recorded basses; no source.
const (
	unvoicedCost   = 0.45  // of calling a frame unpitched: dips shallower than this are noise
	moveCost       = 0.012 // of moving a tenth of a semitone between frames
	leapCost       = 2.0   // the most that any move costs inside a note
	leapUpCost     = 0.5   // and a move up: lower strings ring on in a note's tail, higher ones do not
	attackLeapCost = 0.2   // and where the sound has just risen: a new note may be anywhere
	unvoicingCost  = 0.3   // of ending a pitch; beginning one costs half a leap
)

func newViterbi(c Config) *viterbi {
	p := &viterbi{ring: make([]trellisColumn, c.Lag+1)}
	for i := range p.ring {
		p.ring[i] = trellisColumn{
			cands: make([]candidate, 0, maxCandidates),
			cost:  make([]float64, 0, maxCandidates+1),
			back:  make([]int, 0, maxCandidates+1),
		}
	}
	return p
}

// push takes the next frame's candidates, how much its evidence counts (1 for a
// sounding note, less for its dying tail), and whether the sound rises. Once enough
// frames lie ahead it settles one more: ok is true and best is the candidate of the frame pushed
// len(ring)-1 frames ago, voiced false where that frame has no pitch.
func (p *viterbi) push(cands []candidate, weight float64, rising bool) (best candidate, voiced, ok bool) {
	now := &p.ring[p.head%len(p.ring)]
	now.cands = append(now.cands[:0], cands...)
	now.cost, now.back = now.cost[:0], now.back[:0]
	var before *trellisColumn
	if p.head > 0 {
		before = &p.ring[(p.head-1)%len(p.ring)]
	}
	leap := leapCost
	if rising {
		leap = attackLeapCost
	}
	for i := range now.cands {
		c := &now.cands[i]
		p.relax(now, before, weight*c.cost, func(b *candidate) float64 {
			if b == nil {
				return leap / 2
			}
			most := leap
			if c.freq > b.freq {
				most = math.Min(most, leapUpCost)
			}
			return math.Min(most, moveCost*tenthsAnOctave*math.Abs(math.Log2(c.freq/b.freq)))
		})
	}
	p.relax(now, before, weight*unvoicedCost, func(b *candidate) float64 {
		if b == nil {
			return 0
		}
		return unvoicingCost
	})
	// Only differences matter: keep the numbers small over hours.
	least := now.cost[argmin(now.cost)]
	for i := range now.cost {
		now.cost[i] -= least
	}
	p.head++
	if p.head < len(p.ring) {
		return candidate{}, false, false
	}
	best, voiced = p.backtrack(len(p.ring) - 1)
	return best, voiced, true
}

// flush settles the frames still ahead, oldest first.
func (p *viterbi) flush(emit func(best candidate, voiced bool)) {
	for behind := min(p.head, len(p.ring)-1) - 1; behind >= 0; behind-- {
		emit(p.backtrack(behind))
	}
}

// backtrack traces the best path back from the newest frame.
func (p *viterbi) backtrack(behind int) (candidate, bool) {
	newest := p.head - 1
	s := &p.ring[newest%len(p.ring)]
	i := argmin(s.cost)
	for k := 0; k < behind; k++ {
		i = s.back[i]
		s = &p.ring[(newest-k-1)%len(p.ring)]
	}
	if i == len(s.cands) {
		return candidate{}, false
	}
	return s.cands[i], true
}

// relax adds a state to the newest frame, by the cheapest way to it from the frame
// before: own is what it costs itself, move what a way from a candidate, or from no
// pitch (nil), costs.
func (p *viterbi) relax(now, before *trellisColumn, own float64, move func(*candidate) float64) {
	if before == nil {
		now.cost, now.back = append(now.cost, own), append(now.back, 0)
		return
	}
	best, from := math.Inf(1), 0
	for j, cost := range before.cost {
		var b *candidate
		if j < len(before.cands) {
			b = &before.cands[j]
		}
		if c := cost + move(b); c < best {
			best, from = c, j
		}
	}
	now.cost, now.back = append(now.cost, best+own), append(now.back, from)
}

func argmin(x []float64) int {
	at := 0
	for i, v := range x {
		if v < x[at] {
			at = i
		}
	}
	return at
}
