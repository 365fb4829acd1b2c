package desk

import (
	"endpin/piece/words"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/room"
	"endpin/ui/desk/timetable"
	"endpin/ui/desk/work"
)

// Sound is what sounds in the way chosen; empty for nothing.
func (d *Desk) Sound() work.Sound { return d.Work.Way.Sound(d.Settings.Sounds) }

// SetSound chooses what sounds, and remembers it.
func (d *Desk) SetSound(s work.Sound) {
	if d.Running {
		return
	}
	d.say("")
	if s == work.SoundLine && !d.Settings.Headphones && (d.Work.Way == work.PlayAlong || d.Work.Way == work.BringUp) {
		d.say(words.Say("desk.sound.headphones"))
	}
	d.Change(func(x *remembered.Settings) { x.Sounds = s })
}

// NextSound goes on to the next sound.
func (d *Desk) NextSound() { d.SetSound(d.Work.Way.NextSound(d.Settings.Sounds)) }

// sounds are those of the work chosen.
func (d *Desk) sounds() *timetable.Sounds {
	x := &d.Settings
	drone := room.DroneHz(x.Drone, x.DroneUp, d.Score.Piece.Measures[d.Work.First].Key, x.A4)
	return &timetable.Sounds{Score: d.Score, Work: d.Work, Chosen: x.Sounds, Spoken: x.Spoken, Headphones: x.Headphones, Drone: drone, A4: x.A4}
}
