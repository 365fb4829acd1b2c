// Package playback plays a stretch of a recording on a loudspeaker.
package playback

import (
	"context"
	"io"
	"time"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece/words"
)

// Recording is a recording's sound, opened. Closed when done.
type Recording interface {
	dsp.Source
	io.Closer
}

// Player is what plays recordings: a card, the name of the loudspeaker chosen, and
// what opens a file. Its methods are called from any goroutine.
type Player struct {
	Card *sound.Card // nil for none
	Name string
	Open func(path string) (Recording, error) // nil for none
	Loud *Volume                              // nil for as loud as may be
}

// Loudspeaker opens the one chosen, as loud as it was set.
func (p Player) Loudspeaker() (*sound.Loudspeaker, error) {
	l, err := p.Card.Calm(p.Name)
	if err == nil {
		p.Loud.of(l)
	}
	return l, err
}

// Soonest is the time until what is to be played can sound, s.
const Soonest = 0.1

const (
	fadeIn   = 0.02 // s, so that a stretch of the recording does not begin with a crack
	loudest  = 0.8  // peak of what is played
	mostGain = 12.0
	tells    = 40 * time.Millisecond // from one tiding of where it is to the next
)

// Out waits until a loudspeaker has come to a position, and tells now and then
// where it is. Where the context ends first all that plays dies away.
func Out(ctx context.Context, speaker *sound.Loudspeaker, end int64, all []*sound.Playing, tell func(now int64)) error {
	tick := time.NewTicker(tells)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			for _, s := range all {
				s.Stop()
			}
			time.Sleep(50 * time.Millisecond) // let it die away
			return nil
		case <-tick.C:
		}
		if err := speaker.Err(); err != nil {
			return err
		}
		now := speaker.Sounding()
		if now >= end {
			return nil
		}
		tell(now)
	}
}

// Excerpt gives a recording from one second to another at a rate, as loud as a
// small loudspeaker needs a bass to be. It is empty past the end.
func (p Player) Excerpt(ctx context.Context, path string, from, to float64, rate int) (voice.Clip, error) {
	if p.Open == nil {
		return nil, words.Fault("desk.recording.no-means")
	}
	r, err := p.Open(path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	x, err := stretch(ctx, r, from, to)
	if err != nil || len(x) == 0 {
		return nil, err
	}
	x = dsp.Resample(x, r.Rate(), rate)
	peak := float32(1e-6)
	for _, v := range x {
		peak = max(peak, v, -v)
	}
	gain := min(loudest/peak, mostGain)
	fade := int(fadeIn * float64(rate))
	for i := range x {
		x[i] *= gain * float32(min(i, len(x)-1-i, fade)) / float32(fade)
	}
	return x, nil
}

// stretch reads a source from one second to another.
func stretch(ctx context.Context, src dsp.Source, from, to float64) ([]float32, error) {
	rate := float64(src.Rate())
	return samples(ctx, src, int(from*rate), int((to-from)*rate))
}

// samples reads as many as are wanted, after as many that are not.
func samples(ctx context.Context, src dsp.Source, skip, want int) ([]float32, error) {
	if want <= 0 {
		return nil, nil
	}
	out, buf := make([]float32, 0, want), make([]float32, 8192)
	for len(out) < want && ctx.Err() == nil {
		n, err := src.Read(buf[:min(len(buf), skip+want-len(out))]) // and no more: it goes on from there
		left := buf[:n]
		drop := min(skip, n)
		skip -= drop
		left = left[drop:]
		out = append(out, left[:min(len(left), want-len(out))]...)
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}
