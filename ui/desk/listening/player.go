package listening

import (
	"context"
	"errors"
	"math"
	"time"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/ui/desk/playback"
)

// leg is a stretch of a take that sounds without a break.
type leg struct {
	*track
	from, to float64 // s of its recording
}

const (
	slower = 1.6  // times as long it takes, where it is asked for slowly
	first  = 1.5  // s of a recording that are made ready at once, so that it sounds soon; twice as many each time …
	chunk  = 4.0  // … up to these
	ready  = 8.0  // s before it sounds that the next is made ready: a busy computer takes long over it
	runs   = 0.03 // s in which one runs into the other
	breath = 0.35 // s between two legs
	softly = 0.3  // of the line's own loudness, under a take
	tells  = 40 * time.Millisecond
)

// legs are what is to sound from a moment of the take on, one after the other; the function
// is false where there is no more.
func (l *Listening) legs(at float64) func() (leg, bool) {
	x, other, loop := l.track, l.other, l.Loop
	from, last := l.First, l.Last
	if !loop {
		from, last = 0, len(x.Piece.Measures)-1
	}
	var round []leg
	switch turns := x.turns(from, last); {
	case other != nil:
		for _, i := range turns {
			a, b, _ := x.span(i)
			if c, d, ok := other.span(i); ok {
				round = append(round, leg{x, a, b}, leg{other, c, d})
			}
		}
	case loop && len(turns) > 0:
		a, _, _ := x.span(turns[0])
		_, b, _ := x.span(turns[len(turns)-1])
		round = []leg{{x, a, b}}
	default:
		round = []leg{{x, at, x.end}}
	}
	i := 0
	for i < len(round)-1 && !(round[i].track == x && round[i].to > at+1e-3) {
		i++
	}
	if len(round) == 1 && round[0].from < at && at < round[0].to {
		from := at
		return func() (leg, bool) {
			i++
			g := round[0]
			g.from, from = math.Max(g.from, from), g.from
			return g, loop || i == 1
		}
	}
	return func() (leg, bool) {
		if i >= len(round) {
			if !loop || len(round) == 0 {
				return leg{}, false
			}
			i = 0
		}
		i++
		return round[i-1], true
	}
}

// player plays legs.
type player struct {
	playback.Player
	legs  func() (leg, bool)
	times float64 // as long as they were
	line  bool
	reels map[*track]*playback.Reel
	tell  func(on *track, at float64)

	speaker *sound.Loudspeaker
	spans   []span // that sound, or will
	all     []*sound.Playing
}

// span is a stretch of the loudspeaker's sound and what it shows.
type span struct {
	*track
	at, end int64
	from    float64
}

// errElsewhere says that it comes out of another device now, where it is to go on softly.
var errElsewhere = errors.New("it sounds from another device")

func (p *player) play(ctx context.Context) error {
	var err error
	if p.speaker, err = p.Loudspeaker(); err != nil {
		return err
	}
	defer p.speaker.Close()
	rate := p.speaker.Rate()
	defer func() {
		for _, r := range p.reels {
			r.Close()
		}
	}()
	next := p.speaker.Next() + int64(playback.Soonest*float64(rate))
	g, more := p.legs()
	long := first
	tick := time.NewTicker(tells)
	defer tick.Stop()
	for {
		for more && ctx.Err() == nil && float64(next-p.speaker.Sounding()) < ready*float64(rate) {
			to := math.Min(g.to, g.from+long)
			long = math.Min(2*long, chunk)
			if g.to-to < 2*runs {
				to = g.to
			}
			if next, err = p.put(ctx, leg{g.track, g.from, to}, next, to < g.to); err != nil {
				return err
			}
			if to < g.to {
				g.from = to
				continue
			}
			if g, more = p.legs(); more {
				next += int64(breath * float64(rate))
			}
		}
		select {
		case <-ctx.Done():
			for _, s := range p.all {
				s.Stop()
			}
			time.Sleep(50 * time.Millisecond) // let it die away
			return nil
		case <-tick.C:
		}
		if err := p.speaker.Err(); err != nil {
			return err
		}
		if p.Loud.Heed() { // what is on its way already would sound there as loud as before
			return errElsewhere
		}
		now := p.speaker.Sounding()
		if !more && now >= next {
			return nil
		}
		for len(p.spans) > 0 && now >= p.spans[0].end {
			p.spans = p.spans[1:]
		}
		if len(p.spans) > 0 && now >= p.spans[0].at {
			s := p.spans[0]
			p.tell(s.track, s.from+float64(now-s.at)/float64(rate)/p.times)
		}
	}
}

// put makes a stretch ready to sound at a position and gives the one at which it ends; more
// says whether another follows without a break.
func (p *player) put(ctx context.Context, g leg, at int64, more bool) (end int64, err error) {
	rate := p.speaker.Rate()
	r := p.reels[g.track]
	if r == nil {
		r = p.Reel(g.Sound, rate)
		p.reels[g.track] = r
	}
	to := g.to
	if more {
		to += runs
	}
	x, err := r.Stretch(ctx, g.from, to)
	if err != nil || ctx.Err() != nil {
		return at, err
	}
	x = voice.Slower(x, rate, p.times)
	slope := int(runs * p.times * float64(rate))
	for i := range min(slope, len(x)) {
		x[i] *= float32(i) / float32(slope)
		x[len(x)-1-i] *= float32(i) / float32(slope)
	}
	under := map[float64]voice.Clip{} // ready before the take begins to sound
	if p.line {
		for _, w := range g.track.line(g.from, g.to, p.times) {
			y := voice.Line(rate, w.notes, dsp.ReferenceA)
			for i := range y {
				y[i] *= softly
			}
			under[w.at] = y
		}
	}
	s := p.speaker.Start(x, at)
	p.keep(s)
	end = s.At + int64((g.to-g.from)*p.times*float64(rate))
	p.spans = append(p.spans, span{g.track, s.At, end, g.from})
	for from, y := range under {
		p.keep(p.speaker.Start(y, s.At+int64((from-g.from)*p.times*float64(rate))))
	}
	return end, nil
}

// keep remembers what sounds, to stop it; of what is over long since nothing is kept.
func (p *player) keep(s *sound.Playing) {
	const most = 256
	if p.all = append(p.all, s); len(p.all) > most {
		p.all = p.all[len(p.all)-most:]
	}
}
