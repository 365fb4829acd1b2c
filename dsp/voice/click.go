package voice

import "math"

// Pitches of the click, Hz, the downbeat's above the others'. Both lie above the
// 8 kHz up to which the listening looks for new sound, and far above where it
// looks for pitch, so that a click from the loudspeaker is no beginning of a
// note. Ears of all but the oldest hear them well (ISO 7029: at 60 years the
// median has lost some 20 dB there; from memory).
const (
	downbeatHz = 10400.0
	beatHz     = 9000.0
)

// Softer to the ear, and heard by all, but in the microphone it is a sound like
// others: for headphones.
const (
	softDownbeatHz = 1760.0
	softBeatHz     = 1320.0
)

// Click is one beat for a loudspeaker: a short burst, high enough not to be
// taken for playing.
func Click(rate int, downbeat bool) Clip {
	if 2*downbeatHz > 0.9*float64(rate) {
		return SoftClick(rate, downbeat)
	}
	if downbeat {
		return burst(rate, 0.5, 0.024, downbeatHz)
	}
	return burst(rate, 0.4, 0.024, beatHz)
}

// SoftClick is one beat for headphones.
func SoftClick(rate int, downbeat bool) Clip {
	if downbeat {
		return burst(rate, 0.5, 0.03, softDownbeatHz)
	}
	return burst(rate, 0.4, 0.03, softBeatHz)
}

// burst swells and dies away within some seconds, so that its spectrum stays
// about its pitch (a hard edge would be heard everywhere). Its middle is a
// quarter of the way in.
func burst(rate int, level, seconds, hz float64) Clip {
	x := make(Clip, int(seconds*float64(rate)))
	for i := range x {
		t := float64(i) / float64(rate)
		u := t / seconds
		shape := raised(u/0.25) * raised((1-u)/0.75)
		x[i] = float32(level * shape * math.Sin(2*math.Pi*hz*t))
	}
	return x
}
