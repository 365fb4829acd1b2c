package rig

import (
	"fmt"
	"math"
	"math/rand"
	"sort"

	"endpin/dsp"
)

// Strings is a modelled double bass: one bowed or plucked voice a string, whose pitch is
// exact at every sample, and strings that go on ringing when bow or finger leaves them.
// Nothing is recorded, so what sounds, and when, is known to the sample.
//
// The bow drives a string with a sawtooth (Helmholtz motion: L. Cremer, "The Physics of
// the Violin", 1984), locked to its phase; a string that rings has partials of its own,
// stretched by stiffness, the upper ones dying first. A body that hardly radiates the
// lowest fundamentals weighs every partial. All other numbers are guesses at common
// practice, held to sound like a bass and not to any instrument.
type Strings struct {
	Plucked bool
	Ring    float64 // share of its level with which a string goes on as the bow leaves it; 0 means 0.18
	Seed    int64   // of body and player
}

const (
	openRing     = 6.0  // s in which an open string's fundamental dies away by 60 dB …
	stoppedRing  = 2.4  // … and one under a finger
	dampTime     = 0.02 // s in which a string that is touched dies away by a factor e
	bowPartials  = 60   // of one string at most
	ringPartials = 30
	topPartial   = 7000.0 // Hz
	answerWithin = 4.0    // Hz between partials in which an open string answers another
	answerWidth  = 1.2    // Hz at which it answers 3 dB less
	answerLevel  = 0.06   // of the partial that drives it
	answerTime   = 0.25   // s in which it comes up by a factor e
	gentle       = 1e-5   // amplitude that nobody hears
)

// openMIDI are the strings from the first, G, to the fourth, E.
var openMIDI = [5]int{0, 43, 38, 33, 28}

// Play makes a take of a plan. Notes that name no string are played on the lowest
// position there is.
func (b Strings) Play(p Plan) (*Take, error) {
	if p.TempoQPM <= 0 {
		return nil, fmt.Errorf("a plan needs a tempo, not %v", p.TempoQPM)
	}
	notes := append([]Note(nil), p.Notes...)
	sort.SliceStable(notes, func(i, j int) bool { return notes[i].OnsetBeat < notes[j].OnsetBeat })
	tuning := dsp.Interval(dsp.ReferenceA, p.tuning())
	pl := &stringPlayer{Strings: b, plan: p, rng: rand.New(rand.NewSource(b.Seed)), tuning: tuning}
	pl.body = newBody(pl.rng)
	truth := Truth{Take: p.Take, Program: -1, TempoQPM: p.TempoQPM, TuningA4: p.tuning()}
	for i, n := range notes {
		if n.String = stringFor(n); n.String == 0 {
			return nil, fmt.Errorf("measure %s: MIDI %d is below the lowest string", n.Measure, n.MIDI)
		}
		on, off := p.times(n)
		if i+1 < len(notes) {
			if next, _ := p.times(notes[i+1]); notes[i+1].Slurred {
				off = next
			} else {
				off = min(off, max(next-0.005, on+0.02))
			}
		}
		cents := n.Cents + tuning
		truth.Notes = append(truth.Notes, TrueNote{Note: n, OnsetS: on, OffsetS: off, HeardS: on, Cents: n.Cents, Cents440: cents,
			FreqHz: 440 * math.Exp2((float64(n.MIDI-69)+cents/100)/12)})
		truth.LengthS = max(truth.LengthS, off+p.gap())
	}
	pl.notes = truth.Notes
	pl.out = make([]float64, int(truth.LengthS*Rate))
	pl.play()
	samples := make([]float32, len(pl.out))
	for i, v := range pl.out {
		samples[i] = float32(v)
	}
	scaleToPeak(samples, p.peak())
	take := &Take{Samples: samples, Truth: truth}
	if p.NoiseDB != nil {
		take.WhiteNoise(*p.NoiseDB, p.Seed)
	}
	return take, nil
}

// stringFor is the string that a note is played on: its own, where it lies on it.
func stringFor(n Note) int {
	if n.String > 0 && n.MIDI >= openMIDI[n.String] {
		return n.String
	}
	for s := 1; s <= 4; s++ {
		if n.MIDI >= openMIDI[s] {
			return s
		}
	}
	return 0
}

type stringPlayer struct {
	Strings
	plan   Plan
	rng    *rand.Rand
	body   body
	tuning float64 // cents from A4 = 440
	notes  []TrueNote
	out    []float64
}

func (pl *stringPlayer) play() {
	for i := 0; i < len(pl.notes); {
		last := i // the last note on the same bow and string
		for last+1 < len(pl.notes) && pl.notes[last+1].Slurred && pl.notes[last+1].String == pl.notes[i].String && !pl.Plucked {
			last++
		}
		if pl.Plucked {
			pl.pluck(i)
		} else {
			pl.bow(i, last)
		}
		i = last + 1
	}
}

// open says that a note is the string itself.
func open(n TrueNote) bool { return n.MIDI == openMIDI[n.String] }

// quietFrom is when the string of note i, left at its end, is touched: played on again,
// or, where a finger stops it, let go by it.
func (pl *stringPlayer) quietFrom(i int) float64 {
	n := pl.notes[i]
	until := math.Inf(1)
	if !open(n) {
		until = n.OffsetS + 0.15 + 0.55*pl.rng.Float64()
	}
	for _, next := range pl.notes[i+1:] {
		switch {
		case next.OnsetS >= until:
			return until
		case next.String == n.String:
			return next.OnsetS
		case !open(n) && !open(next):
			return min(until, next.OnsetS+0.1*pl.rng.Float64()) // the hand moves
		}
	}
	return until
}

// wander is a value that strays about nought and comes back.
type wander struct {
	value, keep, push float64
	rng               *rand.Rand
}

func newWander(rng *rand.Rand, sd, seconds, every float64) *wander {
	keep := math.Exp(-every / seconds)
	return &wander{value: sd * rng.NormFloat64(), keep: keep, push: sd * math.Sqrt(1-keep*keep), rng: rng}
}

func (w *wander) next() float64 {
	w.value = w.keep*w.value + w.push*w.rng.NormFloat64()
	return w.value
}

const block = 32 // samples over which levels go in a straight line

// bow plays notes first..last of one string on one bow.
func (pl *stringPlayer) bow(first, last int) {
	n := pl.notes[first]
	from, to := int(n.OnsetS*Rate), int(pl.notes[last].OffsetS*Rate)
	attack := 0.05 + 0.05*pl.rng.Float64()
	switch {
	case n.Slurred: // another string under one bow: it is moving already
		attack = 0.03
	case pl.rng.Float64() < 0.2:
		attack = 0.12 + 0.1*pl.rng.Float64()
	}
	attack = min(attack, 0.5*float64(to-from)/Rate)
	if !n.Slurred {
		pl.notes[first].HeardS += attack * 2 / math.Pi * math.Asin(math.Sqrt(0.1))
	}
	level := math.Pow(10, 1.5*pl.rng.NormFloat64()/20) * loudness(n.String)
	pitch := newWander(pl.rng, 2.5, 0.06, float64(block)/Rate)
	swell := newWander(pl.rng, 0.09, 0.12, float64(block)/Rate)
	bite := newWander(pl.rng, 25, 0.01, float64(block)/Rate)
	contact := 0.07 + 0.05*pl.rng.Float64() // where the bow lies, of the string's length
	slide := pl.slideInto(first)
	asked := func(m *TrueNote) float64 { return float64(m.MIDI-n.MIDI)*100 + m.Cents440 }

	count := min(bowPartials, int(topPartial/n.FreqHz))
	amps, goal := make([]float64, count), make([]float64, count)
	var phase, freq, envelope float64
	share, release := or(pl.Ring, 0.18), 0.025*Rate // the bow leaves the string to itself
	noise := pl.newNoise()
	for at := from; at < to; at += block {
		t := float64(at) / Rate
		into := t - n.OnsetS
		rise := min(1, into/attack)
		envelope = math.Pow(math.Sin(math.Pi/2*rise), 2)
		early := math.Exp(-into / (0.6 * attack))
		cents := bendAt(pl.notes[first:last+1], t, asked) + pitch.next() + early*bite.next() + slide(into)
		freq = 440 * math.Exp2((float64(n.MIDI-69)+cents/100)/12)
		gain := level * math.Max(0.2, 1+swell.next()) * min(1, share+(1-share)*float64(to-at)/release)
		for k := range goal {
			order := float64(k + 1)
			if hz := order * freq; hz < topPartial {
				bright := math.Pow(envelope, 1+order/14)
				goal[k] = gain * bright * (0.15 + math.Abs(math.Sin(math.Pi*order*contact))) / order * pl.body.at(hz)
			} else {
				goal[k] = 0
			}
		}
		scratch := gain * (0.010*envelope + 0.09*early*min(1, into/0.02))
		step := 2 * math.Pi * freq / Rate
		for i := 0; i < block && at+i < to && at+i < len(pl.out); i++ {
			phase += step
			s1, c1 := math.Sincos(phase)
			s0, s, twice, v := 0.0, s1, 2*c1, 0.0
			u := float64(i) / block
			for k := range amps {
				v += (amps[k] + u*(goal[k]-amps[k])) * s
				s0, s = s, twice*s-s0
			}
			// The scratch of a bow comes with each slip of the string.
			pl.out[at+i] += v + scratch*noise()*(1+c1)
		}
		copy(amps, goal)
		phase = math.Mod(phase, 2*math.Pi)
	}
	rings := pl.ringing(pl.notes[last], float64(to)/Rate, pl.quietFrom(last))
	for k := range amps[:min(len(amps), ringPartials)] {
		rings.add(amps[k], float64(k+1)*phase)
	}
	pl.let(rings)
	pl.answers(first, last, level)
}

// loudness of a string against the others.
func loudness(s int) float64 { return [5]float64{0, 1, 1, 1.2, 1.4}[s] }

// slideInto is the end of the way of a finger that comes from farther off on the same
// string: what of it is heard after the bow has begun, cents.
func (pl *stringPlayer) slideInto(i int) func(into float64) float64 {
	if i == 0 || pl.notes[i].Slurred || open(pl.notes[i]) || open(pl.notes[i-1]) || pl.notes[i].String != pl.notes[i-1].String {
		return func(float64) float64 { return 0 }
	}
	way := 100 * float64(pl.notes[i-1].MIDI-pl.notes[i].MIDI)
	if math.Abs(way) < 300 {
		way = 0 // under the hand
	}
	way = math.Max(-120, math.Min(120, way)) * pl.rng.Float64()
	seconds := 0.03 + 0.05*pl.rng.Float64()
	return func(into float64) float64 { return way * fall(into/seconds) }
}

// newNoise gives noise about where a bow scratches, at an RMS of about one.
func (pl *stringPlayer) newNoise() func() float64 {
	var low, lower float64
	return func() float64 {
		white := pl.rng.NormFloat64()
		low += 0.35 * (white - low)     // below about 3 kHz
		lower += 0.04 * (white - lower) // and above 300 Hz
		return 2.2 * (low - lower)
	}
}

// pluck plays note i with a finger.
func (pl *stringPlayer) pluck(i int) {
	n := &pl.notes[i]
	level := 1.6 * math.Pow(10, 1.5*pl.rng.NormFloat64()/20) * loudness(n.String)
	place := 0.22 + 0.1*pl.rng.Float64()
	until := n.OffsetS
	if open(*n) {
		until = pl.quietFrom(i)
	}
	rings := pl.ringing(*n, n.OnsetS, until)
	for k := 1; k <= min(ringPartials, int(topPartial/n.FreqHz)); k++ {
		order := float64(k)
		rings.add(level*math.Sin(math.Pi*order*place)/order*math.Exp(-order/9)*pl.body.at(order*n.FreqHz), 0)
	}
	n.HeardS += 0.003
	pl.let(rings)
	noise := pl.newNoise()
	for k := range int(0.03 * Rate) { // the finger leaves the string
		if at := int(n.OnsetS*Rate) + k; at < len(pl.out) {
			pl.out[at] += 0.12 * level * noise() * math.Exp(-float64(k)/(0.006*Rate))
		}
	}
	pl.answers(i, i, level)
}

// answers lets the other open strings answer a bow or pluck at the partials they share.
func (pl *stringPlayer) answers(first, last int, level float64) {
	n := pl.notes[first]
	for s := 1; s <= 4; s++ {
		own := 440 * math.Exp2((float64(openMIDI[s]-69)+pl.tuning/100)/12)
		if s == n.String || pl.fingered(s, first) {
			continue
		}
		until := math.Inf(1)
		for _, next := range pl.notes[last+1:] {
			if next.String == s {
				until = next.OnsetS
				break
			}
		}
		for i := first; i <= last; i++ {
			driver := pl.notes[i]
			rings := ring{player: pl, from: driver.OnsetS, until: until, freq: own, fade: openRing, rise: answerTime, driven: driver.OffsetS}
			for k := 1; k <= ringPartials; k++ {
				hz := float64(k) * own
				nearest := math.Max(1, math.Round(hz/driver.FreqHz))
				off := math.Abs(nearest*driver.FreqHz - hz)
				amp := 0.0
				if off < answerWithin && hz < topPartial {
					amp = answerLevel * level / nearest * pl.body.at(hz) / math.Sqrt(1+off*off/(answerWidth*answerWidth))
				}
				rings.add(amp, 2*math.Pi*pl.rng.Float64())
			}
			pl.let(rings)
		}
	}
}

// fingered says that a string sounds by itself as note i begins.
func (pl *stringPlayer) fingered(s, i int) bool {
	return i > 0 && pl.notes[i-1].String == s
}

// ring is a string left to itself.
type ring struct {
	player       *stringPlayer
	from, until  float64 // s
	freq         float64 // of its fundamental, Hz
	fade         float64 // s by which that dies away by 60 dB
	stiff        float64 // inharmonicity B
	rise, driven float64 // s: how it comes up, and until when another drives it; 0 for at once
	amps, phases []float64
}

func (pl *stringPlayer) ringing(n TrueNote, from, until float64) ring {
	fade := stoppedRing
	if open(n) {
		fade = openRing
	}
	return ring{player: pl, from: from, until: until, freq: n.FreqHz, fade: fade * (0.8 + 0.4*pl.rng.Float64()), stiff: 0.00006}
}

func (r *ring) add(amp, phase float64) {
	r.amps, r.phases = append(r.amps, amp), append(r.phases, phase)
}

// let adds what a string sounds by itself to the take.
func (pl *stringPlayer) let(r ring) {
	for k, amp := range r.amps {
		order := float64(k + 1)
		hz := order * r.freq * math.Sqrt(1+r.stiff*order*order)
		if math.Abs(amp) < gentle || hz > topPartial {
			continue
		}
		// The upper partials die first, by air and inner friction.
		slow := r.fade / 6.91 / (1 + 0.14*(order-1) + 0.012*(order-1)*(order-1))
		turn := complexPolar(math.Exp(-1/(slow*Rate)), 2*math.Pi*hz/Rate)
		still := complexPolar(1, 2*math.Pi*hz/Rate)
		damped := complexPolar(math.Exp(-1/(dampTime*Rate)), 2*math.Pi*hz/Rate)
		z := complexPolar(amp, r.phases[k])
		quiet := math.Inf(1)
		if !math.IsInf(r.until, 1) {
			quiet = r.until * Rate
		}
		gain, grow := 1.0, 0.0
		if r.rise > 0 {
			gain, grow = 0, 1-math.Exp(-1/(r.rise*Rate))
		}
		for at := max(0, int(r.from*Rate)); at < len(pl.out); at++ {
			switch {
			case float64(at) >= quiet:
				z *= damped
			case float64(at) < r.driven*Rate:
				z *= still
				gain += grow * (1 - gain)
			default:
				z *= turn
			}
			pl.out[at] += gain * imag(z)
			if at%256 == 0 && real(z)*real(z)+imag(z)*imag(z) < gentle*gentle {
				break
			}
		}
	}
}

func complexPolar(r, phase float64) complex128 {
	s, c := math.Sincos(phase)
	return complex(r*c, r*s)
}

// body is how well wood and air carry a frequency outside: hardly anything below its
// lowest resonance, and then in hills and valleys.
type body struct {
	lowest float64   // Hz
	hills  []float64 // Hz
	height []float64 // dB
	table  []float64 // by quarter-tones
}

const (
	bodyFrom = 20.0 // Hz, where the table begins
	bodyFine = 24   // steps an octave
)

func newBody(rng *rand.Rand) body {
	b := body{lowest: 92 + 16*rng.Float64()}
	for hz := 62.0; hz < 4000; hz *= 1.15 + 0.3*rng.Float64() {
		b.hills, b.height = append(b.hills, hz), append(b.height, 5*rng.NormFloat64())
	}
	b.hills, b.height = append(b.hills, b.lowest), append(b.height, 10)
	for i := range 9 * bodyFine {
		b.table = append(b.table, b.gain(bodyFrom*math.Exp2(float64(i)/bodyFine)))
	}
	return b
}

func (b body) gain(hz float64) float64 {
	db := 0.0
	for i, hill := range b.hills {
		octaves := math.Log2(hz/hill) / 0.12
		db += b.height[i] * math.Exp(-octaves*octaves/2)
	}
	db -= 10 * math.Log10(1+math.Pow(66/hz, 8))                             // 24 dB an octave below the lowest air
	db += 10 * math.Log10((1+hz*hz/(110*110))/(1+math.Pow(hz/1500, 4))) / 2 // what radiates better up to some 1500 Hz, and worse above
	return math.Pow(10, db/20)
}

func (b body) at(hz float64) float64 {
	i := int(bodyFine * math.Log2(hz/bodyFrom))
	return b.table[max(0, min(len(b.table)-1, i))]
}
