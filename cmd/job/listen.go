package job

import (
	"context"
	"errors"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/fingerboard"
)

// Longest is how much sound Endpin listens to at once, s.
const Longest = 3600

// Progress is told how much of a recording has been heard, 0 to 1, and -1 where
// its length is not known beforehand. It is called from the goroutine that
// listens, about ten times for each second of sound. nil for none.
type Progress func(heard float64)

// Whole listens to a whole recording in one way or another, such as dsp.Listen
// or dsp.Track, or refuses one that is too long: at once where its header tells,
// and else when the time has come. It ends with the context's error soon after
// the context does.
func Whole[T any](ctx context.Context, r *recording.Recording, c dsp.Config, hear func(dsp.Source, dsp.Config) (T, error), told Progress) (T, error) {
	var none T
	tooLong := dsp.Fault("recording.too-long").Of(r.Name())
	if r.Duration() > Longest {
		return none, tooLong
	}
	b := &bounded{Source: r, ctx: ctx, left: Longest * r.Rate(), told: told, promised: r.Duration() * float64(r.Rate())}
	sound, err := hear(b, c)
	if errors.Is(err, errTooLong) {
		return none, tooLong
	}
	return sound, err
}

// Listening is how to listen to an instrument.
func Listening(in *fingerboard.Instrument) dsp.Config {
	c := dsp.Bass
	c.Low, c.High = in.Sounds(c.Low, c.High)
	return c
}

var errTooLong = errors.New("too long")

// bounded gives up on sound that goes on too long, or that nobody waits for.
type bounded struct {
	dsp.Source
	ctx      context.Context
	left     int // samples
	told     Progress
	read     int
	promised float64 // samples; 0 where nobody knows
}

func (b *bounded) Read(buf []float32) (int, error) {
	if err := b.ctx.Err(); err != nil {
		return 0, err
	}
	if b.left <= 0 {
		return 0, errTooLong
	}
	n, err := b.Source.Read(buf)
	b.left -= n
	b.read += n
	if b.told != nil && n > 0 {
		share := -1.0
		if b.promised > 0 {
			share = min(1, float64(b.read)/b.promised)
		}
		b.told(share)
	}
	return n, err
}
