package recording

import (
	"math"
	"slices"
)

// mix makes one channel of several. Adding them all would cancel a recording
// with one channel inverted, and halve one with a dead channel, so:
//
// The loudest channel leads. Another joins it, with its sign, where it carries
// the same sound: correlated with the leader, and not more than 20 dB weaker.
// Those that have joined are averaged; the others are left out.
//
// The choice rests on what sounds about then: energies and products of blocks of
// 100 ms (about their mean, for a dead channel may have a large offset) that fade
// with a time constant of 0.4 s, read a second ahead of what comes out. So it is
// loud sound that decides, however long the room was silent or somebody talked
// into one channel before it, and it has decided when it comes out. A change
// moves the phases and with them, while it lasts, the pitch; so what plays goes on
// playing until it does harm (wide stereo correlates well in one note and badly in
// the next), and every change is a fade over 0.4 s that keeps the sign of what
// went before: it neither clicks nor passes through silence.
type mix struct {
	samples  // of all channels
	channels int
	block    int       // frames in a block
	keep     float64   // what is left of the past after a block
	step     float32   // the most that a weight may move in a block
	queue    []block   // the front one is the next to come out
	spare    []float32 // a block's sound, free to be used again
	err      error     // of samples

	energy  []float64
	product []float64 // of each channel with the leader
	sums    []float64 // of one block: three for each channel
	leader  int
	joined  []float32 // the sense in which it joined, 1 or -1; 0 for not

	begun  bool // something came out
	weight []float32
	target []float32 // where the weights are going
	chosen []float32 // the same with the leader's sign positive
	choice []float32
	mono   []float32
	ready  []float32 // the part of mono still to be handed on
}

// block is a piece of interleaved sound.
type block struct {
	sound  []float32
	silent bool // digital silence
}

const (
	mixBlock  = 0.1 // s
	mixAhead  = 10  // blocks
	mixMemory = 0.4 // s
	mixFade   = 0.4 // s

	leadBy     = 4.0        // times the energy of the leader, to take over: 6 dB
	joinEnergy = 0.01       // of the leader's: -20 dB
	partEnergy = 0.005      // -23 dB
	joinAlike  = 0.8        // correlation with the leader, of either sign
	partAlike  = -0.2       // correlation in the sense in which it joined
	mixLargest = 256 * 1024 // samples in a block at most, whatever the channels
)

func newMix(in samples, is format) *mix {
	frames := max(min(int(mixBlock*float64(is.rate)), mixLargest/is.channels), 1)
	length := float64(frames) / float64(is.rate)
	return &mix{
		samples:  in,
		channels: is.channels,
		block:    frames,
		keep:     math.Exp(-length / mixMemory),
		step:     float32(min(length/mixFade, 1)),
		energy:   make([]float64, is.channels),
		product:  make([]float64, is.channels),
		sums:     make([]float64, 3*is.channels),
		joined:   make([]float32, is.channels),
		weight:   make([]float32, is.channels),
		target:   make([]float32, is.channels),
		chosen:   make([]float32, is.channels),
		choice:   make([]float32, is.channels),
		mono:     make([]float32, frames),
	}
}

// read implements samples.
func (m *mix) read(buf []float32) (int, error) {
	if len(m.ready) == 0 {
		for m.err == nil && len(m.queue) <= mixAhead {
			m.load()
		}
		if len(m.queue) == 0 {
			return 0, m.err
		}
		m.next()
	}
	n := copy(buf, m.ready)
	m.ready = m.ready[n:]
	return n, nil
}

// load reads the next block and listens to it.
func (m *mix) load() {
	sound := m.spare
	m.spare = nil
	if sound == nil {
		sound = make([]float32, m.block*m.channels)
	}
	n := 0
	for n < len(sound) && m.err == nil {
		var got int
		got, m.err = m.samples.read(sound[n:])
		n += got
	}
	if n == 0 {
		return
	}
	m.queue = append(m.queue, block{sound[:n], m.listen(sound[:n])})
}

// listen adds a block to the energies and products, and decides who leads and
// who joins. It reports digital silence.
func (m *mix) listen(sound []float32) (silent bool) {
	energy, product := m.measure(sound)
	silent = true
	loudest := m.leader
	for c := range m.energy {
		m.energy[c] = m.energy[c]*m.keep + energy[c]
		m.product[c] = m.product[c]*m.keep + product[c]
		silent = silent && energy[c] == 0
		if m.energy[c] > m.energy[loudest] {
			loudest = c
		}
	}
	by := leadBy
	if !m.begun {
		by = 1
	}
	if m.energy[loudest] > by*m.energy[m.leader] {
		// Of the products with the new leader one is known. The others grow
		// from nothing, so that a channel rather joins too late.
		pair, sense := m.product[loudest], m.joined[loudest]
		clear(m.product)
		clear(m.joined)
		m.product[m.leader], m.joined[m.leader] = pair, sense
		m.leader = loudest
	}
	lead := m.energy[m.leader]
	for c, e := range m.energy {
		alike := m.product[c] / max(math.Sqrt(e*lead), math.SmallestNonzeroFloat64)
		switch in := m.joined[c]; {
		case c == m.leader:
			m.joined[c] = 1
		case in == 0 && e >= joinEnergy*lead && math.Abs(alike) >= joinAlike:
			m.joined[c] = float32(math.Copysign(1, alike))
		case in != 0 && (e < partEnergy*lead || alike*float64(in) < partAlike):
			m.joined[c] = 0
		}
	}
	return silent
}

// measure gives the energy of each channel and its product with the leader,
// both about the mean.
func (m *mix) measure(sound []float32) (energy, product []float64) {
	clear(m.sums)
	energy, product = m.sums[:m.channels], m.sums[m.channels:2*m.channels]
	sum := m.sums[2*m.channels:]
	if m.channels == 2 {
		var x, y, xx, yy, xy float64
		for i := 0; i+1 < len(sound); i += 2 {
			l, r := float64(sound[i]), float64(sound[i+1])
			x += l
			y += r
			xx += l * l
			yy += r * r
			xy += l * r
		}
		sum[0], sum[1], energy[0], energy[1] = x, y, xx, yy
		product[1-m.leader] = xy
	} else {
		for frame := sound; len(frame) >= m.channels; frame = frame[m.channels:] {
			lead := float64(frame[m.leader])
			for c, x := range frame[:m.channels] {
				x := float64(x)
				sum[c] += x
				energy[c] += x * x
				product[c] += x * lead
			}
		}
	}
	n := float64(len(sound) / m.channels)
	for c := range energy {
		product[c] -= sum[c] * sum[m.leader] / n
		energy[c] = max(energy[c]-sum[c]*sum[c]/n, 0)
	}
	return energy, product
}

// next mixes the front block.
func (m *mix) next() {
	front := m.queue[0]
	m.queue = append(m.queue[:0], m.queue[1:]...)
	m.aim(front)

	farthest := float32(0)
	for c, to := range m.target {
		farthest = max(farthest, to-m.weight[c], m.weight[c]-to)
	}
	share := float32(1) // of the way to the target that this block goes
	if farthest > m.step {
		share = m.step / farthest
	}
	m.ready = m.mono[:len(front.sound)/m.channels]
	clear(m.ready)
	for c, from := range m.weight {
		to := from + share*(m.target[c]-from)
		if share == 1 {
			to = m.target[c]
		}
		m.weight[c] = to
		if from == 0 && to == 0 {
			continue
		}
		slope := (to - from) / float32(len(m.ready))
		at := c
		for i := range m.ready {
			m.ready[i] += from * front.sound[at]
			from += slope
			at += m.channels
		}
	}
	for i, x := range m.ready {
		m.ready[i] = tame(x) // the weights may add up to a rounding above 1
	}
	m.spare = front.sound[:cap(front.sound)]
}

// aim sets the weights to be reached.
func (m *mix) aim(front block) {
	n := float32(0)
	for _, in := range m.joined {
		n += in * in
	}
	for c, in := range m.joined {
		m.choice[c] = in / n
	}
	if !slices.Equal(m.choice, m.chosen) {
		copy(m.chosen, m.choice)
		copy(m.target, m.choice)
		if m.opposes(front.sound) {
			for c := range m.target {
				m.target[c] = -m.target[c]
			}
		}
	}
	if front.silent || !m.begun {
		copy(m.weight, m.target) // nothing is heard of the change
	}
	m.begun = true
}

// opposes reports whether the mix aimed at has the other sign than the present
// one has.
func (m *mix) opposes(sound []float32) bool {
	dot := 0.0
	for frame := sound; len(frame) >= m.channels; frame = frame[m.channels:] {
		var now, then float64
		for c, x := range frame[:m.channels] {
			now += float64(m.weight[c] * x)
			then += float64(m.target[c] * x)
		}
		dot += now * then
	}
	return dot < 0
}
