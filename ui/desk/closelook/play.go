package closelook

import (
	"context"
	"math"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/said"
)

// Playback is what sounds of the measure looked at closer.
type Playback struct {
	What Voice   // empty for nothing
	At   float64 // s of the recording that is heard now, or whose beat the line is at; NaN between
}

// Voice is one thing that can be played of a measure.
type Voice string

// What can be played of a measure.
const (
	Recorded Voice = "recorded"
	Written  Voice = "written"
	InTurn   Voice = "in turn" // first what was recorded, then what is written
)

const (
	around = 0.3 // s of the recording before and after what is drawn
	breath = 0.5 // s from one to the other, in turn
	slower = 1.6 // times as long it takes, where it is asked for slowly
)

// Play plays the measure looked at, in the background.
func (g *Glass) Play(v Voice) {
	c := g.Closer()
	if c == nil || c.Tempo <= 0 || c.Empty != "" && v != Written {
		return
	}
	g.StopPlaying()
	from := g.host.Player()
	if from.Card == nil {
		g.host.Fault(words.Say("desk.play.no-loudspeaker"))
		g.host.Changed()
		return
	}
	g.host.Say("")
	p := &player{Player: from, path: c.take.Sound, look: c, voice: v, times: 1}
	if g.Slowly {
		p.times = slower
	}
	g.Playback = Playback{v, math.NaN()}
	g.playing = errand.Send(g.host.Post, func(e *errand.Errand) func() {
		p.tell = func(at float64) {
			e.Tell(func() {
				g.Playback.At = at
				g.host.Changed()
			})
		}
		err := p.play(e)
		return func() {
			g.Playback, g.playing = Playback{}, nil
			if err != nil {
				g.host.Fault(said.Sentence(err))
			}
			g.host.Changed()
		}
	})
	g.host.Changed()
}

// StopPlaying ends what plays of a measure.
func (g *Glass) StopPlaying() {
	if g.playing == nil {
		return
	}
	g.playing.Drop()
	g.Playback, g.playing = Playback{}, nil
	g.host.Changed()
}

// player plays one measure once.
type player struct {
	playback.Player
	path  string
	look  *Look
	voice Voice
	times float64 // as long as it was
	tell  func(at float64)
}

// part is one stretch of sound and what it shows of the measure: it begins at a
// moment of the recording, and a second of it is so much of the recording's.
type part struct {
	sound voice.Clip
	from  float64
	pace  float64
	at    int64 // where in the loudspeaker's sound
}

func (p *player) play(ctx context.Context) error {
	speaker, err := p.Loudspeaker()
	if err != nil {
		return err
	}
	defer speaker.Close()
	rate := speaker.Rate()
	var parts []part
	if p.voice != Written {
		x, from, err := p.recorded(ctx, rate)
		if err != nil {
			return err
		}
		parts = append(parts, part{sound: voice.Slower(x, rate, p.times), from: from, pace: 1 / p.times})
	}
	if p.voice != Recorded {
		x, length := p.look.line(rate, p.times)
		parts = append(parts, part{sound: x, from: p.look.Begin, pace: (p.look.End - p.look.Begin) / length})
	}
	if ctx.Err() != nil {
		return nil
	}
	end := speaker.Next() + int64(playback.Soonest*float64(rate))
	var all []*sound.Playing
	for i := range parts {
		if i > 0 {
			end += int64(breath * float64(rate))
		}
		s := speaker.Start(parts[i].sound, end)
		parts[i].at = s.At
		end = s.At + int64(len(parts[i].sound))
		all = append(all, s)
	}
	return playback.Out(ctx, speaker, end, all, func(now int64) {
		at := math.NaN()
		for _, x := range parts {
			if now >= x.at && now < x.at+int64(len(x.sound)) {
				at = x.from + x.pace*float64(now-x.at)/float64(rate)
			}
		}
		p.tell(at)
	})
}

// recorded gives the measure as it was recorded, at a rate, a little before and
// after it too, and where in the recording it begins, s.
func (p *player) recorded(ctx context.Context, rate int) (voice.Clip, float64, error) {
	from := math.Max(0, p.look.From-around)
	x, err := p.Excerpt(ctx, p.path, from, p.look.To+around, rate)
	if err == nil && len(x) == 0 && ctx.Err() == nil {
		err = words.Fault("desk.play.past", "path", p.path)
	}
	return x, from, err
}

// line is the measure as it is written, at the tempo heard and at the player's
// own reference, so many times as long, and how long the measure itself is in it, s.
func (c *Look) line(rate int, times float64) (voice.Clip, float64) {
	m := &c.take.Piece.Measures[c.Measure]
	quarter := times * 60 / c.Tempo
	var notes []voice.Note
	for _, n := range c.Notes {
		if n.line < 0 {
			continue
		}
		e := &c.take.Line[n.line]
		at, length := m.Notes[e.Note].Start.Quarters(), e.Length.Quarters()
		if n.Before {
			at, length = 0, (n.To-n.From)/(c.End-c.Begin)*m.Length.Quarters()
		}
		length = math.Min(length, m.Length.Quarters()-at)
		notes = append(notes, voice.Note{Onset: at * quarter, Length: length * quarter, MIDI: n.At, Slurred: n.slurred && len(notes) > 0})
	}
	return voice.Line(rate, notes, dsp.ReferenceA), m.Length.Quarters() * quarter
}
