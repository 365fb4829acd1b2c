package desk

import (
	"slices"

	"endpin/piece/words"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/room"
	"endpin/ui/desk/timetable"
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
	d.Change(func(x *remembered.Settings) { x.Sounds = s })
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

// sounds are those of the work chosen.
func (d *Desk) sounds() *timetable.Sounds {
	x := &d.Settings
	drone := room.DroneHz(x.Drone, x.DroneUp, d.Score.Piece.Measures[d.Work.First].Key, x.A4)
	return &timetable.Sounds{Score: d.Score, Work: d.Work, Chosen: x.Sounds, Spoken: x.Spoken, Headphones: x.Headphones, Drone: drone, A4: x.A4}
}
