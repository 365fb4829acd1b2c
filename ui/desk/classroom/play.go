package classroom

import (
	"context"
	"path/filepath"

	"endpin/dsp/sound"
	"endpin/piece/class"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/said"
)

// A moment of a student's playing begins a little before what it shows, since
// the ear wants the note before. Both in s.
const (
	momentLead = 0.6
	momentLong = 2.0
)

// Play plays the two seconds of the student's recording that show finding i, in
// the background. What sounds already ends.
func (c *Class) Play(i int) {
	s := c.Student()
	if s == nil || i < 0 || i >= len(s.Findings) || !class.Shows(&s.Findings[i]) {
		return
	}
	c.StopPlaying()
	player := c.host.Player()
	if player.Card == nil {
		c.say(words.Say("desk.play.no-loudspeaker"))
		return
	}
	c.Playing, c.last, c.Message = i, i, ""
	path, from := filepath.Join(c.Asked.Folder, *s.Recording), max(0, s.Findings[i].At-momentLead)
	c.playing = errand.Send(c.host.Post, func(e *errand.Errand) func() {
		err := playMoment(e, player, path, from)
		return func() {
			c.Playing, c.playing = -1, nil
			if err != nil {
				c.Message = said.Sentence(err)
			}
			c.host.Changed()
		}
	})
	c.host.Changed()
}

// StopPlaying ends what sounds.
func (c *Class) StopPlaying() {
	if c.playing == nil {
		return
	}
	c.playing.Drop()
	c.Playing, c.playing = -1, nil
	c.host.Changed()
}

func playMoment(ctx context.Context, player playback.Player, path string, from float64) error {
	speaker, err := player.Loudspeaker()
	if err != nil {
		return err
	}
	defer speaker.Close()
	rate := speaker.Rate()
	x, err := player.Excerpt(ctx, path, from, from+momentLong, rate)
	switch {
	case ctx.Err() != nil:
		return nil
	case err != nil:
		return err
	case len(x) == 0:
		return words.Fault("desk.play.past-class", "path", path)
	}
	s := speaker.Start(x, speaker.Next()+int64(playback.Soonest*float64(rate)))
	return playback.Out(ctx, speaker, s.At+int64(len(x)), []*sound.Playing{s}, func(int64) {})
}
