package tuning

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/robust"
)

// Standing is the pitch that sounds now, where it stands.
type standing struct {
	run    []dsp.Frame // the sound going on, the oldest first
	stray  []dsp.Frame // frames since that fit another pitch
	began  float64     // s at which it began; its attack is left out
	peak   float64     // dB, the loudest of it
	last   float64     // s of the last frame that counted
	opened float64     // s of the first frame
	floor  float64     // dB, the room's own
	before float64     // s of the frame before
	now    dsp.Frame
	fresh  bool      // the frame just taken in began another sound
	faded  bool      // it has died away, but something still rings
	least  float64   // dB, the softest since
	levels []float64 // dB of the last frames, to tell a pluck from a change of bow
	crowd  float64   // s since which it has been loud without one pitch
}

const (
	attackTime    = 0.3   // s of a sound before its pitch counts: bow and pluck begin beside it
	pitchWindow   = 1.5   // s, the last of it, that are looked at
	shortestPitch = 0.5   // s that must stand
	silenceEnds   = 0.25  // s without sound that end it
	soundsOver    = 12.0  // dB above the room: a hum is the room
	roomTime      = 0.4   // s in which what sounds is the room
	sureOver      = 18.0  // dB above the room, and
	sureLevel     = -60.0 // dB re full scale, below which no pitch is sure
	fadedUnder    = 25.0  // dB below its peak a string says less than the others that ring
	pitchedMost   = 0.25  // aperiodicity above which a frame says nothing
	otherPitch    = 0.7   // semitones at once: another string, or another harmonic
	otherFrames   = 6     // frames that must agree on that
	floorRise     = 0.5   // dB a second that the room may grow louder
	steadySpread  = 8.0   // cents of spread, and
	steadyDrift   = 3.0   // cents between the two halves of the window: more where a peg is turned
	dyingDrift    = 6.0   // cents where the sound dies away: a plucked string sinks with it, and its body pulls at it
	dyingFall     = 4.0   // dB a second that it falls
	pluckRise     = 6.0   // dB above all that sounded from 0.4 to 0.15 s ago: a change of bow only dips
	pluckFrames   = 40    // frames: 0.4 s, of which
	pluckRecent   = 15    // are not looked at

	mixedMost    = 0.1  // median aperiodicity: another string sounds 10 dB softer, or less
	mixedFarOff  = 0.03 // that a string far off must keep: two together can read as a third
	farOff       = 1.25 // semitones
	beatingSwing = 2.5  // dB between its soft fifth and its loud tenth: two harmonics beat. Even bows of a real bass stay within 1.7
	crowdedTime  = 0.7  // s that must be loud without one pitch
)

// push takes in the next frame.
func (s *standing) push(f dsp.Frame) {
	if s.opened == 0 {
		s.opened = f.Time
	}
	if s.floor = math.Min(f.Level, s.floor+floorRise*max(0, f.Time-s.before)); f.Time < s.opened+roomTime {
		s.floor = f.Level
	}
	s.before, s.now, s.fresh = f.Time, f, false
	if s.levels = append(s.levels, f.Level); len(s.levels) > pluckFrames {
		s.levels = s.levels[1:]
	}
	if f.Voiced && f.Aperiodicity <= pitchedMost || f.Level < s.floor+sureOver {
		s.crowd = f.Time
	}
	if !f.Voiced || f.Aperiodicity > pitchedMost || f.Level < s.floor+soundsOver {
		if f.Time-s.last > silenceEnds {
			s.run, s.stray, s.faded = s.run[:0], s.stray[:0], false
		}
		return
	}
	if s.faded {
		s.last, s.least = f.Time, math.Min(s.least, f.Level)
		if f.Level < s.least+soundsOver {
			return
		}
		s.faded = false
	}
	if len(s.run) > 0 && math.Abs(dsp.MIDI(f.Freq)-s.middle()) > otherPitch {
		s.stray = append(s.stray, f)
		if len(s.stray) < otherFrames || spread(s.stray) > otherPitch {
			if len(s.stray) >= otherFrames {
				s.stray = s.stray[1:]
			}
			return
		}
		s.run = append(s.run[:0], s.stray...)
		s.begin(s.run[0])
		s.last = f.Time
		return
	}
	s.stray = s.stray[:0]
	if len(s.run) == 0 || s.plucked() {
		s.run = s.run[:0]
		s.begin(f)
	}
	s.last = f.Time
	s.peak = math.Max(s.peak, f.Level)
	if f.Level < s.peak-fadedUnder { // what rings on is not this string alone
		s.run, s.faded, s.least = s.run[:0], true, f.Level
		return
	}
	s.run = append(s.run, f)
	for len(s.run) > 0 && s.run[0].Time < f.Time-pitchWindow {
		s.run = s.run[1:]
	}
}

// plucked reports whether the sound rises above what rang on.
func (s *standing) plucked() bool {
	n := len(s.levels)
	return n == pluckFrames && s.now.Time > s.began+attackTime && s.levels[n-1] > slices.Max(s.levels[:n-pluckRecent])+pluckRise
}

func (s *standing) begin(f dsp.Frame) {
	s.began, s.peak, s.fresh, s.stray = f.Time, f.Level, true, s.stray[:0]
}

// spread is how far the pitches of frames lie apart, semitones.
func spread(frames []dsp.Frame) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range frames {
		low, high = min(low, dsp.MIDI(f.Freq)), max(high, dsp.MIDI(f.Freq))
	}
	return high - low
}

// middle is the pitch of the last tenth of a second, a MIDI number.
func (s *standing) middle() float64 {
	var p []float64
	for _, f := range s.run[max(0, len(s.run)-10):] {
		p = append(p, dsp.MIDI(f.Freq))
	}
	return robust.Median(p)
}

// sounds reports whether something with a pitch sounds.
func (s *standing) sounds() bool { return len(s.run) > 0 && s.before-s.last <= silenceEnds }

// pitch is what the steady part says: the median over the last of it, the attack
// left out.
type pitch struct {
	midi   float64
	spread float64 // cents, robust standard deviation
	drift  float64 // cents, from the window's first half to its second
	dying  bool    // as a plucked string does
	long   float64 // s
	level  float64 // dB re full scale
	clear  float64 // dB above the room
	noise  float64 // median aperiodicity
	swing  float64 // dB by which it swells and fades, as two that lie near each other do
}

// pitch gives the pitch now; ok is false where nothing past the attack sounds.
func (s *standing) pitch() (p pitch, ok bool) {
	if !s.sounds() {
		return p, false
	}
	var all, levels, noise []float64
	for _, f := range s.run {
		if f.Time >= s.began+attackTime {
			all, levels, noise = append(all, dsp.MIDI(f.Freq)), append(levels, f.Level), append(noise, f.Aperiodicity)
		}
	}
	if len(all) < 4 {
		return p, false
	}
	p.midi = robust.Median(all)
	p.spread = 100 * robust.PerDeviation * robust.Deviation(all, p.midi)
	half := len(all) / 2
	p.drift = 100 * (robust.Median(all[half:]) - robust.Median(all[:half]))
	p.long = s.last - math.Max(s.began+attackTime, s.run[0].Time)
	p.dying = robust.Median(levels[:half])-robust.Median(levels[half:]) > dyingFall*p.long/2
	p.level = robust.Median(levels)
	p.clear = p.level - s.floor
	p.noise = robust.Median(noise)
	p.swing = swing(levels)
	return p, true
}

// crowds reports whether it is loud, and has been, without one pitch.
func (s *standing) crowds() bool { return s.before-s.crowd >= crowdedTime }

// mixed reports whether more than one string seems to sound, off semitones from
// the string that it would be.
func (p pitch) mixed(off float64) bool {
	most := mixedMost
	if math.Abs(off) > farOff {
		most = mixedFarOff
	}
	return p.noise-math.Pow(10, -p.clear/10) > most
}

// stands reports whether the pitch can be told.
func (p pitch) stands() bool {
	drift := math.Abs(p.drift)
	return p.long >= shortestPitch && p.spread <= steadySpread && (drift <= steadyDrift || p.dying && drift <= dyingDrift)
}

// trust is how sure it is.
func (p pitch) trust() dsp.Trust {
	switch {
	case !p.stands() || p.level < sureLevel:
		return dsp.NotSure
	case p.clear < sureOver || p.dying || p.spread > steadySpread/2 || p.long < 2*shortestPitch:
		return dsp.Fair
	}
	return dsp.Sure
}

// swing is how far levels rise and fall, the line through them taken out, since a
// plucked string dies away: from the soft fifth to the loud tenth, dB.
func swing(levels []float64) float64 {
	n := float64(len(levels))
	mean, slope, sum := 0.0, 0.0, 0.0
	for _, v := range levels {
		mean += v / n
	}
	for i, v := range levels {
		x := float64(i) - (n-1)/2
		slope, sum = slope+x*(v-mean), sum+x*x
	}
	flat := make([]float64, len(levels))
	for i, v := range levels {
		flat[i] = v - slope/sum*(float64(i)-(n-1)/2)
	}
	slices.Sort(flat)
	return flat[int(0.9*(n-1))] - flat[int(0.2*(n-1))]
}
