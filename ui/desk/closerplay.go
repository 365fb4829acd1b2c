package desk

import (
	"context"
	"io"
	"math"
	"time"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece/words"
)

// Recording is a take's sound, opened. Closed when done.
type Recording interface {
	dsp.Source
	io.Closer
}

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
	around     = 0.3  // s of the recording before and after what is drawn
	breath     = 0.5  // s from one to the other, in turn
	soonest    = 0.1  // s until the first sound
	fadeIn     = 0.02 // s, so that a stretch of the recording does not begin with a crack
	loudest    = 0.8  // peak of what is played
	mostGain   = 12.0
	tellPlayed = 40 * time.Millisecond
)

// Play plays the measure looked at closer, in the background.
func (d *Desk) Play(v Voice) {
	c := d.Closer()
	if c == nil || c.Tempo <= 0 || c.Empty != "" && v != Written {
		return
	}
	d.StopPlaying()
	if d.means.Card == nil {
		d.Say(words.Say("desk.play.no-loudspeaker"))
		return
	}
	ctx, stop := context.WithCancel(context.Background())
	p := &player{card: d.means.Card, name: d.Settings.Loudspeaker, open: d.means.Open, path: d.Shown.Take.Sound, look: c, voice: v}
	d.Playback, d.stopPlaying = Playback{v, math.NaN()}, stop
	d.say("")
	d.playing++
	turn := d.playing
	p.tell = func(at float64) {
		d.means.Post(func() {
			if d.playing == turn && d.Playback.What != "" {
				d.Playback.At = at
				d.tell()
			}
		})
	}
	go func() {
		err := p.play(ctx)
		stop()
		d.means.Post(func() {
			if d.playing != turn {
				return
			}
			d.Playback, d.stopPlaying = Playback{}, nil
			if err != nil {
				d.say(sentence(err))
			}
			d.tell()
		})
	}()
	d.tell()
}

// StopPlaying ends what plays of a measure.
func (d *Desk) StopPlaying() {
	if d.stopPlaying == nil {
		return
	}
	d.stopPlaying()
	d.stopPlaying = nil
	d.playing++
	d.Playback = Playback{}
	d.tell()
}

// player plays one measure once.
type player struct {
	card  *sound.Card
	name  string // of the loudspeaker
	open  func(path string) (Recording, error)
	path  string
	look  *Closer
	voice Voice
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
	speaker, err := p.card.Loudspeaker(p.name)
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
		parts = append(parts, part{sound: x, from: from, pace: 1})
	}
	if p.voice != Recorded {
		x, length := p.look.line(rate)
		parts = append(parts, part{sound: x, from: p.look.Begin, pace: (p.look.End - p.look.Begin) / length})
	}
	if ctx.Err() != nil {
		return nil
	}
	end := speaker.Next() + int64(soonest*float64(rate))
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
	return playOut(ctx, speaker, end, all, func(now int64) {
		at := math.NaN()
		for _, x := range parts {
			if now >= x.at && now < x.at+int64(len(x.sound)) {
				at = x.from + x.pace*float64(now-x.at)/float64(rate)
			}
		}
		p.tell(at)
	})
}

// playOut waits until a loudspeaker has come to a position, and tells now and then
// where it is. Where the context ends first all that plays dies away.
func playOut(ctx context.Context, speaker *sound.Loudspeaker, end int64, all []*sound.Playing, tell func(now int64)) error {
	tick := time.NewTicker(tellPlayed)
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

// recorded gives the measure as it was recorded, at a rate, a little before and
// after it too, and where in the recording it begins, s.
func (p *player) recorded(ctx context.Context, rate int) (voice.Clip, float64, error) {
	from := math.Max(0, p.look.From-around)
	x, err := excerpt(ctx, p.open, p.path, from, p.look.To+around, rate)
	if err == nil && len(x) == 0 && ctx.Err() == nil {
		err = words.Fault("desk.play.past", "path", p.path)
	}
	return x, from, err
}

// excerpt gives a recording from one second to another at a rate, as loud as a
// small loudspeaker needs a bass to be. It is empty past the end.
func excerpt(ctx context.Context, open func(path string) (Recording, error), path string, from, to float64, rate int) (voice.Clip, error) {
	if open == nil {
		return nil, words.Fault("desk.recording.no-means")
	}
	r, err := open(path)
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
	skip, want := int(from*rate), int((to-from)*rate)
	out, buf := make([]float32, 0, want), make([]float32, 8192)
	for len(out) < want && ctx.Err() == nil {
		n, err := src.Read(buf)
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

// line is the measure as it is written, at the tempo heard and at the player's
// own reference, and how long the measure itself is in it, s.
func (c *Closer) line(rate int) (voice.Clip, float64) {
	m := &c.score.Piece.Measures[c.Measure]
	quarter := 60 / c.Tempo
	var notes []voice.Note
	for _, n := range c.Notes {
		if n.line < 0 {
			continue
		}
		e := &c.score.Line[n.line]
		at, length := m.Notes[e.Note].Start.Quarters(), e.Length.Quarters()
		if n.Before {
			at, length = 0, (n.To-n.From)/(c.End-c.Begin)*m.Length.Quarters()
		}
		length = math.Min(length, m.Length.Quarters()-at)
		notes = append(notes, voice.Note{Onset: at * quarter, Length: length * quarter, MIDI: n.At, Slurred: n.slurred && len(notes) > 0})
	}
	return voice.Line(rate, notes, dsp.ReferenceA), m.Length.Quarters() * quarter
}
