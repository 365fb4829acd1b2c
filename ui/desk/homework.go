package desk

import (
	"context"
	"io"

	"endpin/dsp/sound"
	"endpin/piece/homework"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/said"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/work"
)

// takeUpHomework sets the desk for the homework that lies on it, if any. Its level holds
// for this time only.
func (d *Desk) takeUpHomework() {
	h := d.Score.Homework
	if h == nil {
		return
	}
	if h.Level != "" {
		d.ForNow(func(s *Settings) { s.Level = h.Level })
	}
	if h.Measures != "" {
		_ = d.TypeRange(h.Measures) // what it does not hold is said
	}
	if h.Work != "" {
		d.SetWay(work.Way(h.Work))
	}
	if h.QPM > 0 {
		d.SetQPM(h.QPM)
	}
}

// AsHomework is what the desk is set to, as homework.
func (d *Desk) AsHomework() homework.Homework {
	h := homework.Homework{Title: d.Score.Title(), Work: string(d.Work.Way), QPM: d.Work.QPM, Level: d.Settings.Level, Made: d.means.Now()}
	if !d.Score.Whole(d.Work.First, d.Work.Last) {
		h.Measures = d.Range()
	}
	return h
}

// HomeworkName is a name for a file of homework.
func (d *Desk) HomeworkName() string {
	return shelf.ForFile(d.Score.Title()+" "+d.AsHomework().Measures, 80)
}

// WriteHomework writes homework of the piece on the desk, in the background, with the
// sound of the take shown as the teacher's own where that is asked for.
func (d *Desk) WriteHomework(path string, h homework.Homework, withTake bool) {
	file, make := d.Score.File, d.means.WriteHomework
	example := ""
	if withTake && d.Shown != nil {
		example = d.Shown.Take.Sound
	}
	d.Write(path, func(to io.Writer) error { return make(to, file, h, example) })
}

// MayHandIn says why nothing can be handed in now; "" where it can.
func (d *Desk) MayHandIn() string {
	switch {
	case d.Score.Homework == nil:
		return words.Say("desk.homework.none")
	case d.Shown == nil:
		return words.Say("desk.homework.no-take")
	}
	return ""
}

// HandIn writes the homework on the desk with the take shown, as a player's, in the
// background.
func (d *Desk) HandIn(path, player string) {
	if d.MayHandIn() != "" {
		return
	}
	if d.Settings.Player == "" {
		d.Change(func(s *Settings) { s.Player = player })
	}
	d.Shelf.HandIn(path, d.Score.Homework, player)
}

// longestExample is how much of a teacher's recording is played, s.
const longestExample = 300

// Example reports whether the homework on the desk brings the teacher's own recording,
// and whether that plays.
func (d *Desk) Example() (there, plays bool) {
	h := d.Score.Homework
	return h != nil && h.Example != "" && d.means.Example != nil, d.example != nil
}

// PlayExample plays the teacher's own recording in the background, or ends it.
func (d *Desk) PlayExample() {
	if there, plays := d.Example(); !there || plays || d.Running {
		d.StopExample()
		return
	}
	from := host{d}.Player()
	from.Open = d.means.Example
	file := d.Score.File
	d.say("")
	d.example = errand.Send(d.means.Post, func(e *errand.Errand) func() {
		err := sounding(e, from, file)
		return func() {
			if d.example = nil; err != nil {
				d.say(said.Sentence(err))
			}
			d.tell()
		}
	})
	d.tell()
}

// StopExample ends it.
func (d *Desk) StopExample() {
	if d.example != nil {
		d.example.Drop()
		d.example = nil
		d.tell()
	}
}

// sounding plays a recording from its beginning.
func sounding(ctx context.Context, from playback.Player, file string) error {
	speaker, err := from.Loudspeaker()
	if err != nil {
		return err
	}
	defer speaker.Close()
	clip, err := from.Excerpt(ctx, file, 0, longestExample, speaker.Rate())
	if err != nil || len(clip) == 0 {
		return err
	}
	s := speaker.Start(clip, speaker.Next()+int64(playback.Soonest*float64(speaker.Rate())))
	return playback.Out(ctx, speaker, s.At+int64(len(clip)), []*sound.Playing{s}, func(int64) {})
}
