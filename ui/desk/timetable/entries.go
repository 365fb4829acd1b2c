package timetable

import (
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/ui/desk/score"
	"endpin/ui/desk/work"
)

// Entry is one sound of an attempt, at a time of its timetable, s.
type Entry struct {
	At     float64
	Player sound.Player
}

// Before the first click there is a moment for the loudspeaker to begin in, and
// with a drone one in which it is learned how the microphone hears it.
const (
	LeadIn      = 0.3 // s
	DroneLeadIn = 1.4
)

// shortestSpoken is the shortest beat on which a number is still spoken, s.
const shortestSpoken = 0.45

// Sounds are what is chosen to sound in an attempt.
type Sounds struct {
	Score  *score.Score
	Work   work.Work
	Chosen work.Sound

	Spoken     bool    // the count-in is numbers, not clicks
	Headphones bool    // the click is soft
	Drone      float64 // Hz
	A4         float64 // Hz
}

// HasDrone reports whether a drone is among them.
func (x *Sounds) HasDrone() bool {
	_, drone, _ := x.Work.Way.With(x.Chosen)
	return drone
}

// Entries are all of them, at a rate of samples and the times of a timetable.
func (x *Sounds) Entries(rate int, t *Timetable) []Entry {
	var all []Entry
	click, drone, line := x.Work.Way.With(x.Chosen)
	if drone {
		all = append(all, Entry{-DroneLeadIn, voice.Drone(rate, x.Drone)})
	}
	beat := voice.Click
	if x.Headphones {
		beat = voice.SoftClick
	}
	for i, b := range t.Beats {
		switch {
		case b.Before && x.Spoken && t.gap(i) >= shortestSpoken && b.Number <= voice.MostCounted:
			said, felt, err := voice.Count(rate, b.Number)
			if err == nil {
				all = append(all, Entry{b.At - float64(felt)/float64(rate), said})
				continue
			}
			fallthrough
		case b.Before || click && x.Work.Way != work.Echo:
			all = append(all, Entry{b.At, beat(rate, b.Number == 1)})
		case click: // in an echo for the turn of the player alone
			all = append(all, Entry{b.At - t.Start + t.Turn, beat(rate, b.Number == 1)})
		}
	}
	if line {
		all = append(all, Entry{0, voice.Line(rate, t.notes(x.Score), x.A4)})
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

// notes are the line of some measures as the desk itself plays it, at the
// times of a timetable.
func (t *Timetable) notes(s *score.Score) []voice.Note {
	var notes []voice.Note
	t.Each(s, func(k int, at, second float64) {
		e := &s.Line[k]
		notes = append(notes, voice.Note{Onset: at, Length: e.Length.Quarters() * second, MIDI: float64(e.MIDI),
			Slurred: e.Slurred && len(notes) > 0})
	})
	return notes
}
