package dsp

import "math"

const (
	decimatedRate = 10 // times the highest pitch sought: its period is then ten samples, which a parabola refines
	keptFrames    = 6  // of sound kept beyond what the path looks ahead
)

// bandRate is the rate at which sound is kept, times the end of its band: Nyquist's two
// and room for the filter's slope.
const bandRate = 2.2

// hopSeconds is the step of the pitch track, before rounding to whole samples.
const hopSeconds = 0.010

// tracker turns sound into a pitch track. Sound is band-limited once, so decimation
// only keeps one sample of so many (factor).
type tracker struct {
	rate      int
	factor    int // decimation
	hop       int // full-rate samples a frame
	filter    bandFilter
	hum       *mainsHum
	yin       *yin
	viterbi   *viterbi
	fullRate  *history
	decimated *history // decimated
	count     int      // full-rate samples so far

	next     int // frame whose candidates are sought next
	settled  int // frames emitted
	found    []candidate
	recent   []float64 // levels of the last few frames, dB
	loudest  float64   // level lately, dB
	band     []int16   // what went to decimated, as far as its rate says more than its band holds
	bandStep int       // one of so many
	emit     func(Frame)
	atFull   func(from, n int) []float64
}

func newTracker(c Config, rate int, emit func(Frame)) *tracker {
	t := &tracker{rate: rate, emit: emit}
	t.factor = max(1, rate/int(decimatedRate*c.High))
	lowRate := float64(rate) / float64(t.factor)
	lowHop := int(math.Round(hopSeconds * lowRate))
	t.hop = lowHop * t.factor
	t.bandStep = max(1, int(lowRate/(bandRate*bandOverHigh*c.High)))
	t.filter = newBandFilter(c, rate)
	t.hum = newHum(rate, t.factor)
	t.yin = newYin(c, lowRate, lowHop)
	t.viterbi = newViterbi(c)
	t.recent = make([]float64, 0, risingFrames)
	t.loudest = silenceLevel
	keep := (c.Lag+keptFrames)*lowHop + 2*t.yin.span()
	t.decimated = newHistory(keep)
	t.fullRate = newHistory(keep * t.factor)
	t.atFull = t.fullRate.at
	t.found = make([]candidate, 0, maxCandidates)
	return t
}

// lead is how far before a frame's centre its decimated stretch begins. A lag
// is measured over window+lag samples; centred for one of three quarters of an
// octave above the longest.
func (t *tracker) lead() int { return (t.yin.window + t.yin.maxLag/2) / 2 }

func (t *tracker) push(samples []float32) {
	for _, s := range samples {
		v := t.hum.step(t.filter.step(float64(s)), t.count%t.factor == 0)
		t.fullRate.push(v)
		if t.count%t.factor == 0 {
			t.decimated.push(v)
			if t.count/t.factor%t.bandStep == 0 {
				t.band = append(t.band, int16(math.Round(math.MaxInt16*math.Max(-1, math.Min(1, v)))))
			}
			if t.decimated.end() == t.due() {
				t.frame()
			}
		}
		t.count++
	}
}

// due is how many decimated samples the next frame needs.
func (t *tracker) due() int { return t.next*t.hop/t.factor - t.lead() + t.yin.span() }

// frame seeks the candidates of the next frame and chooses among those of an earlier
// one.
func (t *tracker) frame() {
	t.found = t.yin.candidates(t.decimated.at(t.next*t.hop/t.factor-t.lead(), t.yin.span()), t.found[:0])
	weight, rising := t.weigh(t.next * t.hop)
	t.next++
	if best, voiced, ok := t.viterbi.push(t.found, weight, rising); ok {
		t.settle(best, voiced)
	}
}

// finish lets silence follow the sound, so that its last frames are heard.
func (t *tracker) finish() {
	end := t.count
	t.push(make([]float32, (t.yin.span()+2*t.hop/t.factor)*t.factor))
	t.viterbi.flush(func(best candidate, voiced bool) {
		if t.settled*t.hop < end {
			t.settle(best, voiced)
		}
	})
}

// weigh tells how much the evidence of a frame counts, and whether the sound
// there is louder by riseDB than it was at some moment shortly before. As a
// plucked note dies away other strings go on ringing, so that its tail may no
// longer say what pitch it is: evidence fades with the level below the loudest
// lately.
func (t *tracker) weigh(centre int) (weight float64, rising bool) {
	now := t.level(centre)
	least := now
	for _, l := range t.recent {
		least = math.Min(least, l)
	}
	if len(t.recent) == cap(t.recent) {
		copy(t.recent, t.recent[1:])
		t.recent = t.recent[:len(t.recent)-1]
	}
	t.recent = append(t.recent, now)
	t.loudest = math.Max(now, t.loudest-loudestFall*hopSeconds)
	below := t.loudest - now
	return math.Min(1, math.Max(fadedWeight, 1-(below-fadeFrom)/fadeOver)), now > least+riseDB
}

// Set by ear on plucked notes that die away; no source.
const (
	riseDB       = 3.0  // by which a sound that begins is louder …
	risingFrames = 6    // … than at one of so many frames before
	loudestFall  = 5.0  // dB a second by which the loudest lately is forgotten
	fadeFrom     = 15.0 // dB below it at which evidence begins to count less …
	fadeOver     = 20.0 // … and dB more at which nothing would be left …
	fadedWeight  = 0.05 // … but this
)

func (t *tracker) settle(best candidate, voiced bool) {
	centre := t.settled * t.hop
	f := Frame{Time: float64(centre) / float64(t.rate), Aperiodicity: 1, Level: t.level(centre)}
	if voiced {
		f.Freq, f.Aperiodicity, f.Voiced = refine(t.atFull, centre, best.lag*float64(t.factor), t.rate)
		if !f.Voiced {
			// The sound changes under the frame, and no clean peak is near the
			// period that the path took: the period itself still stands.
			f.Freq, f.Aperiodicity, f.Voiced = best.freq, best.dip, true
		}
	}
	t.settled++
	t.emit(f)
}

const (
	silenceLevel = -120  // dB, for digital silence …
	silentPower  = 1e-12 // … the mean square that it is
	levelWindow  = 0.025 // s: one period of the lowest E
)

// level is the RMS over 25 ms about a position: one period of the lowest E.
func (t *tracker) level(centre int) float64 {
	n := int(levelWindow * float64(t.rate) / float64(t.factor))
	x := t.decimated.at(centre/t.factor-n/2, n)
	if x == nil {
		return silenceLevel
	}
	return decibels(dot(x, x) / float64(n))
}

// decibels of a mean square.
func decibels(power float64) float64 {
	if power < silentPower {
		return silenceLevel
	}
	return 10 * math.Log10(power)
}
