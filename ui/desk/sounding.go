package desk

import (
	"slices"

	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece/words"
	"endpin/ui/desk/work"
)

// Sound is what sounds in the way chosen; empty for nothing.
func (d *Desk) Sound() work.Sound {
	all := d.Work.Way.Sounds()
	switch {
	case len(all) == 0:
		return ""
	case slices.Contains(all, d.Settings.Sounds):
		return d.Settings.Sounds
	}
	return all[0]
}

// SetSound chooses what sounds, and remembers it.
func (d *Desk) SetSound(s work.Sound) {
	if d.Running {
		return
	}
	d.say("")
	if s == work.SoundLine && !d.Settings.Headphones && (d.Work.Way == work.PlayAlong || d.Work.Way == work.BringUp) {
		d.say(words.Say("desk.sound.headphones"))
	}
	d.Change(func(x *Settings) { x.Sounds = s })
}

// NextSound goes on to the next sound.
func (d *Desk) NextSound() { d.SetSound(d.nextSound()) }

func (d *Desk) nextSound() work.Sound {
	all := d.Work.Way.Sounds()
	if len(all) == 0 {
		return d.Settings.Sounds
	}
	return all[(slices.Index(all, d.Sound())+1)%len(all)]
}

// sounding is one sound of an attempt, at a time of its timetable, s.
type sounding struct {
	at     float64
	player sound.Player
}

// Before the first click there is a moment for the loudspeaker to begin in, and
// with a drone one in which it is learned how the microphone hears it.
const (
	leadIn      = 0.3 // s
	droneLeadIn = 1.4
)

// shortestSpoken is the shortest beat on which a number is still spoken, s.
const shortestSpoken = 0.45

// soundings are all sounds of an attempt at a rate of samples.
func (d *Desk) soundings(rate int, t Timetable) []sounding {
	var all []sounding
	click, drone, line := d.Work.Way.With(d.Settings.Sounds)
	if drone {
		all = append(all, sounding{-droneLeadIn, voice.Drone(rate, d.droneHz())})
	}
	beat := voice.Click
	if d.Settings.Headphones {
		beat = voice.SoftClick
	}
	for i, b := range t.Beats {
		switch {
		case b.Before && d.Settings.Spoken && t.gap(i) >= shortestSpoken && b.Number <= voice.MostCounted:
			said, felt, err := voice.Count(rate, b.Number)
			if err == nil {
				all = append(all, sounding{b.At - float64(felt)/float64(rate), said})
				continue
			}
			fallthrough
		case b.Before || click && d.Work.Way != work.Echo:
			all = append(all, sounding{b.At, beat(rate, b.Number == 1)})
		case click: // in an echo for the turn of the player alone
			all = append(all, sounding{b.At - t.Start + t.Turn, beat(rate, b.Number == 1)})
		}
	}
	if line {
		all = append(all, sounding{0, voice.Line(rate, t.notes(d.Score), d.Settings.A4)})
	}
	return all
}

// gap is how long beat i lasts, s.
func (t *Timetable) gap(i int) float64 {
	if i+1 < len(t.Beats) {
		return t.Beats[i+1].At - t.Beats[i].At
	}
	return t.Over() - t.Beats[i].At
}

// sounding is the line of some measures as the desk itself plays it, at the
// times of a timetable.
func (t Timetable) notes(s *Score) []voice.Note {
	var notes []voice.Note
	t.each(s, func(k int, at, second float64) {
		e := &s.Line[k]
		notes = append(notes, voice.Note{Onset: at, Length: e.Length.Quarters() * second, MIDI: float64(e.MIDI),
			Slurred: e.Slurred && len(notes) > 0})
	})
	return notes
}

// each goes through the notes of the line that a timetable plays: their index,
// their time and how long a quarter note lasts there, s.
func (t Timetable) each(s *Score, f func(k int, at, quarter float64)) {
	k := 0
	for _, b := range t.bars {
		m := &s.Piece.Measures[b.measure]
		quarter := (b.end - b.at) / m.Length.Quarters()
		next := k
		for next < len(s.Line) && s.Line[next].Measure != b.measure {
			next++
		}
		if next == len(s.Line) {
			continue // a measure of rest
		}
		for k = next; k < len(s.Line) && s.Line[k].Measure == b.measure; k++ {
			f(k, b.at+m.Notes[s.Line[k].Note].Start.Quarters()*quarter, quarter)
		}
	}
}
