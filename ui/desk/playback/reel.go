package playback

import (
	"context"
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/voice"
	"endpin/piece/words"
)

// Reel is a recording that is played on and on, a stretch after the other, at the rate of
// a loudspeaker. Whatever is asked for next is quickest. It is used by one goroutine.
type Reel struct {
	player Player
	path   string
	rate   int
	src    Recording // nil for not open
	at     int       // the sample of the source that comes next
	tail   []float32 // those before it
	gain   float32   // 0 for not known yet; it only goes down, so that nothing grows loud of itself
}

// kept is how much of a stretch may be asked for again with the next, s, for them to run
// into each other.
const kept = 0.2

// Reel puts a recording on, to be played at a rate.
func (p Player) Reel(path string, rate int) *Reel { return &Reel{player: p, path: path, rate: rate} }

// Close puts it away.
func (r *Reel) Close() {
	if r.src != nil {
		r.src.Close()
		r.src = nil
	}
}

// Stretch gives the recording from one second to another, at the rate and as loud as a small
// loudspeaker needs a bass to be. It is shorter, or empty, past the end.
func (r *Reel) Stretch(ctx context.Context, from, to float64) (voice.Clip, error) {
	if r.player.Open == nil {
		return nil, words.Fault("desk.recording.no-means")
	}
	if r.src != nil && (sampleAt(from, r.src.Rate()) < r.at-len(r.tail) || sampleAt(to, r.src.Rate()) < r.at) {
		r.Close()
	}
	if r.src == nil {
		src, err := r.player.Open(r.path)
		if err != nil {
			return nil, err
		}
		r.src, r.at, r.tail = src, 0, nil
	}
	first, last := sampleAt(from, r.src.Rate()), sampleAt(to, r.src.Rate())
	x := append([]float32{}, r.tail[min(len(r.tail), max(0, len(r.tail)-(r.at-first))):]...)
	more, err := samples(ctx, r.src, max(0, first-r.at), last-max(first, r.at))
	if err != nil {
		return nil, err
	}
	x = append(x, more...)
	if r.at = max(r.at, last); len(x) == 0 {
		return nil, nil
	}
	r.tail = slices.Clone(x[max(0, len(x)-sampleAt(kept, r.src.Rate())):])
	x = dsp.Resample(x, r.src.Rate(), r.rate)
	r.level(x)
	return x, nil
}

func sampleAt(seconds float64, rate int) int { return int(math.Round(seconds * float64(rate))) }

// level makes a stretch as loud as the ones before, or less where it would go beyond what is
// let sound.
func (r *Reel) level(x []float32) {
	peak := float32(1e-6)
	for _, v := range x {
		peak = max(peak, v, -v)
	}
	before := r.gain
	if r.gain == 0 {
		r.gain = min(loudest/peak, mostGain)
		before = r.gain
	}
	r.gain = min(r.gain, loudest/peak)
	slope := int(fadeIn * float64(r.rate))
	for i := range x {
		share := float32(min(i, slope)) / float32(slope)
		x[i] = max(-loudest, min(loudest, x[i]*(before+share*(r.gain-before))))
	}
}
