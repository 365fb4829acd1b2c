package dsp

import (
	"math"

	"endpin/dsp/robust"
)

// Now is what sounds at this moment. It is told sooner than the pitch track, whose
// windows must fill first, and less surely: the pitch from no more than the last two
// periods of the sound, the beginning without waiting for a pitch.
type Now struct {
	Time  float64 // s of sound so far
	Began float64 // when the note that sounds began, s; negative before the first
	Pitch float64 // MIDI number with a fraction; 0 for none
	Level float64 // dB re full scale
}

// Tuned on the rendered and recorded takes of testdata/figures/live.md.
const (
	nowContext  = 64    // frames that tell whether a note begins
	nowFrames   = 8     // of them, the newest in which it may
	nowWindow   = 0.012 // s: the stretch compared, where a period is no longer
	nowPitched  = 0.3   // aperiodicity above which no pitch is told
	nowOctave   = 0.1   // by which each octave lower has to be more periodic
	nowStays    = 0.1   // by which another pitch must be likelier than the one told last
	nowNear     = 0.6   // semitones that are one pitch
	nowTrack    = 0.02  // s after a beginning: the pitch track there is the note's
	nowMoves    = 3     // moments that a pitch must stand elsewhere to be another note;
	nowSteady   = 0.25  // two are enough where they lie no farther apart, semitones,
	nowLeap     = 11.0  // and less than this from the note before: an octave may be a slip
	nowFollows  = 0.15  // of the way to the pitch of the moment that a note's goes
	nowDecided  = 0.045 // s after a beginning: pitch that moves before then is the attack's
	nowLoudness = 9.0   // dB above the room: less is nobody's note
)

// moment is the state of Now between calls.
type moment struct {
	Now
	heard  bool
	frames []Frame
	levels []float64
	floor  float64
	base   []float64
	moved  int     // moments that the pitch stands elsewhere,
	there  float64 // and where it stood in the last of them
	note   float64 // the pitch of the note that sounds
	curve  []float64
}

// Now tells what sounds; every 10 ms is enough. It changes nothing of what
// Provisional and Finish give.
func (l *Listener) Now() Now {
	m := &l.live.now
	m.Time = float64(l.count) / float64(l.rate)
	if !m.heard {
		m.heard, m.Began = true, -1
	}
	l.beginsNow(m)
	l.pitchNow(m)
	return m.Now
}

// beginsNow seeks a beginning in the newest frames. Where a frame has no pitch yet
// its level counts already, and the rise of its bands: that is enough for all
// beginnings but those under a slur, which pitchNow tells.
func (l *Listener) beginsNow(m *moment) {
	frames := l.ahead(m)
	n := len(frames)
	if n < 2 {
		return
	}
	first := int(math.Round(frames[0].Time / l.hop()))
	rises := l.rises[min(len(l.rises), first):]
	rises = rises[:min(n, len(rises))]
	m.levels = append(m.levels[:0], make([]float64, n)...)
	for i := range frames { // as smoothLevels
		sum, k := 0.0, 0.0
		for j := max(0, i-1); j <= min(n-1, i+1); j++ {
			sum, k = sum+frames[j].Level, k+1
		}
		m.levels[i] = sum / k
	}
	o := &onsets{frames: frames, flux: rises, hop: l.hop(), levels: m.levels}
	m.floor = l.live.floor(l.heard.Frames[:min(len(l.heard.Frames), len(l.rises))])
	m.Level = m.levels[n-1]
	base := 0.0
	if len(rises) > 0 {
		m.base = append(m.base[:0], rises...)
		base = robust.MedianOf(m.base)
	}
	best, at := onsetEvidence, -1
	for i := max(0, n-nowFrames-attackFrames); i < n; i++ {
		if o.loudest(i, i+audibleFrames) < m.floor+nowLoudness {
			continue
		}
		if s := o.score(i, base); s > best {
			best, at = s, i
		}
	}
	if at < 0 {
		return
	}
	if t := o.onsetTime(at, n); t > m.Began+leastInterOnset {
		m.Began, m.note, m.moved = t, 0, 0
	}
}

// ahead gives the newest frames, and after them those whose pitch is still to come.
func (l *Listener) ahead(m *moment) []Frame {
	t := l.tracker
	m.frames = append(m.frames[:0], l.Latest(nowContext)...)
	for k := t.settled; ; k++ {
		centre := k * t.hop
		if level := t.level(centre); t.decimated.end() > centre/t.factor+int(levelWindow/2*float64(t.rate)/float64(t.factor)) {
			m.frames = append(m.frames, Frame{Time: float64(centre) / float64(t.rate), Aperiodicity: 1, Level: level})
			continue
		}
		return m.frames
	}
}

// pitchNow tells the pitch of the newest stretch of the sound.
func (l *Listener) pitchNow(m *moment) {
	told := m.Pitch
	if m.Pitch = 0; m.Began < 0 || m.Level < m.floor+nowLoudness {
		return
	}
	if c, ok := l.periodNow(m, told); ok {
		m.Pitch = MIDI(l.finer(c))
	} else if f := l.Latest(1); len(f) == 1 && f[0].Voiced && f[0].Aperiodicity < pitchedMost && f[0].Time > m.Began+nowTrack {
		m.Pitch = MIDI(f[0].Freq) // a dying note is told by the track's longer windows
	} else {
		return
	}
	l.pitchMoved(m)
}

// periodNow compares the newest stretch with those before it: as YIN does, but each
// lag in a stretch of its own length, so that a high note needs less of the past
// than a low one.
func (l *Listener) periodNow(m *moment, told float64) (best candidate, ok bool) {
	t := l.tracker
	y := t.yin
	least := int(nowWindow * y.rate)
	x := t.decimated.at(t.decimated.end()-2*y.maxLag, 2*y.maxLag)
	if x == nil {
		return best, false
	}
	if m.curve == nil {
		m.curve = make([]float64, y.maxLag+1)
	}
	d, end := m.curve, len(x)
	for lag := y.minLag - 1; lag <= y.maxLag; lag++ {
		w := min(max(lag, least), end-lag)
		a, b := x[end-w:], x[end-w-lag:end-lag]
		d[lag] = 1
		if e := dot(a, a) + dot(b, b); e > silentPower {
			d[lag] = 1 - 2*dot(a, b)/e
		}
	}
	for lag := y.minLag; lag < y.maxLag; lag++ {
		if d[lag-1] < d[lag] || d[lag+1] <= d[lag] || d[lag] > nowPitched {
			continue
		}
		at, dip := parabola(d[lag-1], d[lag], d[lag+1])
		c := candidate{lag: float64(lag) + at, dip: math.Max(0, dip)}
		c.freq = y.rate / c.lag
		c.cost = c.dip + nowOctave*math.Log2(y.high/c.freq)
		if told > 0 && math.Abs(MIDI(c.freq)-told) < nowNear {
			c.cost -= nowStays
		}
		if !ok || c.cost < best.cost {
			best, ok = c, true
		}
	}
	return best, ok
}

// finer measures a period once more at the full rate, over one period.
func (l *Listener) finer(c candidate) float64 {
	t := l.tracker
	lag := c.lag * float64(t.factor)
	window := int(math.Max(lag, nowWindow*float64(t.rate)))
	centre := t.fullRate.end() - (window+int(lag)+2*max(2, int(lag/refineReach)))/2 - 2
	if one, _, ok := correlationPeak(t.atFull, centre, lag, lag/refineReach, window); ok {
		return float64(t.rate) / one
	}
	return c.freq
}

// pitchMoved tells a note by its pitch, which stands elsewhere: one under a slur, and one
// whose stroke swells so slowly that its pitch is there before its level rises. The
// pitch of the note before follows vibrato and landing, but not a glide to the next.
func (l *Listener) pitchMoved(m *moment) {
	switch {
	case m.Time < m.Began+nowDecided:
		return
	case m.note == 0:
		m.note, m.moved = m.Pitch, 0
		return
	case math.Abs(m.Pitch-m.note) < nowNear:
		m.note += nowFollows * (m.Pitch - m.note)
		m.moved = 0
		return
	}
	m.moved++
	steady := m.moved > 1 && math.Abs(m.Pitch-m.there) < nowSteady && math.Abs(m.Pitch-m.note) < nowLeap
	m.there = m.Pitch
	if steady || m.moved >= nowMoves {
		m.Began, m.note, m.moved = m.Time-float64(m.moved)*l.hop()-nowWindow, m.Pitch, 0
	}
}
