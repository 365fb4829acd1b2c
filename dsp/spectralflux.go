package dsp

import (
	"math"

	"github.com/mjibson/go-dsp/fft"
)

// The transforms are go-dsp's, as the design has it: a kept library, though of our
// own making they would take a fifth of the time (testdata/figures/speed.md). It starts
// goroutines for every transform; with one worker they stay in step. The size is an
// unguarded global of that package: set here, once.
func init() { fft.SetWorkerPoolSize(1) }

// flux measures, hop by hop, how much new sound begins: spectral flux made
// robust against vibrato by comparing each band with the loudest of its
// neighbours shortly before (S. Böck and G. Widmer, "Maximum filter vibrato
// suppression for onset detection", DAFx 2013).
type flux struct {
	hop     int // samples of the sound
	block   []float64
	halvers []*halver
	factor  int // samples of the sound for one that is transformed: the bands end far below what it carries
	size    int // samples transformed
	window  []float64
	bands   []int // first bin of each band, and the end of the last
	history *history
	packed  []complex128
	past    [fluxLag + 2][]float64 // band levels of the last frames, dB; a ring
	crests  [fallLag + 1][]float64 // and the loudest of each three, which hold a whole period
	next    int
	floor   float64   // below this a band is silent, dB
	noise   []float64 // by band: its level between sounds, dB
	emit    func(rise, fall float64)
}

// Set by ear on sampled and recorded basses; no source.
const (
	fluxLag     = 2      // frames back that a frame is compared with for what begins …
	fallLag     = 6      // … and for what ends
	fluxLow     = 60.0   // Hz, where the bands begin …
	fluxHigh    = 8000.  // … and end …
	fluxOfRate  = 0.45   // … or at this share of the sampling rate, where that is too low
	fluxSilence = -100.0 // dB below which a band is silent from the start
	perOctave   = 12     // bands
	fluxDepth   = 52     // dB below the loudest band so far that still count as sound
	fluxSecond  = 0.0232 // s of a transform, before rounding to a power of two
	noiseRoom   = 10.0   // dB that noise itself goes up and down
	noiseRise   = 0.01   // dB a frame that the level between sounds may grow
	noiseFall   = 0.1    // of the way a frame that it falls
)

func newFlux(rate, hop int, emit func(rise, fall float64)) *flux {
	halvings := 0
	for fluxTop(rate) < halfBand*float64(rate>>halvings) {
		halvings++
	}
	return newHalvedFlux(rate, hop, halvings, emit)
}

// fluxTop is where the bands end, Hz.
func fluxTop(rate int) float64 { return math.Min(fluxHigh, fluxOfRate*float64(rate)) }

func newHalvedFlux(rate, hop, halvings int, emit func(rise, fall float64)) *flux {
	f := &flux{hop: hop, factor: 1 << halvings, emit: emit, floor: fluxSilence}
	for range halvings {
		f.halvers = append(f.halvers, newHalver())
	}
	f.size = (1 << int(math.Round(math.Log2(fluxSecond*float64(rate))))) / f.factor
	f.window = make([]float64, f.size)
	for i := range f.window {
		f.window[i] = (1 - math.Cos(2*math.Pi*(float64(i)+0.5/float64(f.factor))/float64(f.size))) / 2 // Hann
	}
	f.packed = make([]complex128, f.size)
	binHz := float64(rate) / float64(f.factor*f.size)
	top := fluxTop(rate)
	for hz := fluxLow; hz < top; hz *= math.Exp2(1.0 / perOctave) {
		bin := int(math.Round(hz / binHz))
		if bin >= 1 && (len(f.bands) == 0 || bin > f.bands[len(f.bands)-1]) {
			f.bands = append(f.bands, bin)
		}
	}
	f.bands = append(f.bands, int(top/binHz)+1)
	for _, ring := range [][][]float64{f.past[:], f.crests[:]} {
		for i := range ring {
			ring[i] = make([]float64, len(f.bands)-1)
			for b := range ring[i] {
				ring[i][b] = f.floor
			}
		}
	}
	f.noise = make([]float64, len(f.bands)-1)
	for b := range f.noise {
		f.noise[b] = math.Inf(1)
	}
	f.history = newHistory(f.size + 4*hop/f.factor)
	return f
}

func (f *flux) push(samples []float32) {
	f.block = f.block[:0]
	for _, s := range samples {
		f.block = append(f.block, float64(s))
	}
	x := f.block
	for _, h := range f.halvers {
		x = h.push(x)
	}
	for _, v := range x {
		f.history.push(v)
		if f.history.end() == f.start(f.next+1)+f.size { // as much as the next two frames take
			f.pair()
		}
	}
}

// start is where a frame begins in what is transformed.
func (f *flux) start(frame int) int { return frame*f.hop/f.factor - f.size/2 }

func (f *flux) pair() {
	a, b := f.history.at(f.start(f.next), f.size), f.history.at(f.start(f.next+1), f.size)
	for i, w := range f.window {
		f.packed[i] = complex(w*a[i], w*b[i])
	}
	z := fft.FFT(f.packed)
	f.frame(z, 1)
	f.frame(z, -1)
}

// frame takes one of the two real spectra that lie packed in z.
func (f *flux) frame(z []complex128, sign float64) {
	n := f.size
	now := f.past[f.next%len(f.past)]
	scale := 1 / (4 * float64(n) * float64(n)) * 16
	loudest := float64(silenceLevel)
	for b := range now {
		power := 0.0
		for k := f.bands[b]; k < f.bands[b+1]; k++ {
			// Z(k) ± conj(Z(n-k)) are twice the spectra of the real and the imaginary part.
			re := real(z[k]) + sign*real(z[n-k])
			im := imag(z[k]) - sign*imag(z[n-k])
			power += re*re + im*im
		}
		now[b] = decibels(power * scale / 4)
		loudest = max(loudest, now[b])
	}
	f.floor = max(f.floor, loudest-fluxDepth)
	then, earlier := f.past[(f.next+len(f.past)-fluxLag)%len(f.past)], f.past[(f.next+len(f.past)-fluxLag-1)%len(f.past)]
	crest, ago := f.crests[f.next%len(f.crests)], f.crests[(f.next+1)%len(f.crests)]
	last := f.past[(f.next+len(f.past)-1)%len(f.past)]
	rise, fall, sounding := 0.0, 0.0, 0.0
	for b, v := range now {
		if f.noise[b] = f.noise[b] + noiseRise; v < f.noise[b] {
			f.noise[b] = fallingNoise(f.noise[b], v)
		}
		silence := max(f.floor, f.noise[b]+noiseRoom)
		crest[b] = max(v, last[b], then[b])
		if ago[b] > silence {
			fall += ago[b] - max(silence, crest[b])
			sounding++
		}
		before := max(silence, then[b], earlier[b])
		if b > 0 {
			before = max(before, then[b-1])
		}
		if b+1 < len(then) {
			before = max(before, then[b+1])
		}
		if v > before {
			rise += v - before
		}
	}
	f.next++
	f.emit(rise/float64(len(now)), fall/max(1, sounding))
}

func fallingNoise(from, to float64) float64 {
	if math.IsInf(from, 1) {
		return to
	}
	return from + noiseFall*(to-from)
}

// finish lets silence follow the sound, so that its last frames are heard.
func (f *flux) finish() {
	f.push(make([]float32, 2*f.hop+f.factor*(f.size+halverReach*len(f.halvers))))
}
