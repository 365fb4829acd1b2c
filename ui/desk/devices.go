package desk

import (
	"errors"

	"endpin/dsp/sound"
	"endpin/piece/words"
	"endpin/ui/desk/said"
)

// Devices gives the names of what hears and of what plays, the system's own
// choice first. Trouble is said on the desk.
func (d *Desk) Devices() (ins, outs []string) {
	if d.means.Card == nil {
		return nil, nil
	}
	all, err := d.means.Card.Devices()
	if err != nil {
		d.Say(said.Sentence(err))
	}
	for _, x := range all {
		if x.Inputs > 0 {
			ins = append(ins, x.Name)
		}
		if x.Outputs > 0 {
			outs = append(outs, x.Name)
		}
	}
	return ins, outs
}

// microphone opens the one remembered. Where that is not plugged in the system's
// own choice takes its place, and the sentence says so; it stays remembered.
func (d *Desk) microphone() (m *sound.Microphone, instead string, err error) {
	if d.means.Card == nil {
		return nil, "", &sound.Fault{Trouble: sound.None}
	}
	name := d.Settings.Microphone
	m, err = d.means.Card.Microphone(name)
	if absent(err) {
		if m, err = d.means.Card.Microphone(""); err == nil {
			instead = words.Say("desk.microphone.instead", "asked", words.Quoted(name), "instead", words.Quoted(m.Name))
		}
	}
	return m, instead, err
}

// loudspeaker does the same for what plays.
func (d *Desk) loudspeaker() (l *sound.Loudspeaker, instead string, err error) {
	if d.means.Card == nil {
		return nil, "", &sound.Fault{Trouble: sound.None, Output: true}
	}
	name := d.Settings.Loudspeaker
	l, err = d.means.Card.Loudspeaker(name)
	if absent(err) {
		if l, err = d.means.Card.Loudspeaker(""); err == nil {
			instead = words.Say("desk.loudspeaker.instead", "asked", words.Quoted(name), "instead", words.Quoted(l.Name))
		}
	}
	return l, instead, err
}

func absent(err error) bool {
	var f *sound.Fault
	return errors.As(err, &f) && f.Trouble == sound.Absent
}
