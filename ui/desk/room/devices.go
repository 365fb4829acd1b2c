package room

import (
	"errors"
	"slices"

	"endpin/dsp/sound"
	"endpin/piece/words"
	"endpin/ui/desk/said"
)

// Devices gives the names of what hears and of what plays, the system's own
// choice first, each once: another name for the system's own choice only where it was chosen.
// Trouble is said on the desk.
func (m *Room) Devices() (ins, outs []string) {
	if m.computer.Card == nil {
		return nil, nil
	}
	all, err := m.computer.Card.Devices()
	if err != nil {
		m.host.Fault(said.Sentence(err))
		m.host.Changed()
	}
	chosen := m.host.Chosen()
	for _, x := range all {
		if x.Alias && x.Name != chosen.Microphone && x.Name != chosen.Loudspeaker {
			continue
		}
		if x.Inputs > 0 && !slices.Contains(ins, x.Name) {
			ins = append(ins, x.Name)
		}
		if x.Outputs > 0 && !slices.Contains(outs, x.Name) {
			outs = append(outs, x.Name)
		}
	}
	return ins, outs
}

// Microphone opens the one remembered. Where that is not plugged in the system's
// own choice takes its place, and the sentence says so; it stays remembered.
func (m *Room) Microphone() (mic *sound.Microphone, instead string, err error) {
	card := m.computer.Card
	if card == nil {
		return nil, "", &sound.Fault{Trouble: sound.None}
	}
	name := m.host.Chosen().Microphone
	mic, err = card.Microphone(name)
	if absent(err) {
		if mic, err = card.Microphone(""); err == nil {
			instead = words.Say("desk.microphone.instead", "asked", words.Quoted(name), "instead", words.Quoted(mic.Name))
		}
	}
	return mic, instead, err
}

// Loudspeaker does the same for what plays.
func (m *Room) Loudspeaker() (l *sound.Loudspeaker, instead string, err error) {
	card := m.computer.Card
	if card == nil {
		return nil, "", &sound.Fault{Trouble: sound.None, Output: true}
	}
	name := m.host.Chosen().Loudspeaker
	l, err = card.Loudspeaker(name)
	if absent(err) {
		if l, err = card.Loudspeaker(""); err == nil {
			instead = words.Say("desk.loudspeaker.instead", "asked", words.Quoted(name), "instead", words.Quoted(l.Name))
		}
	}
	return l, instead, err
}

func absent(err error) bool {
	var f *sound.Fault
	return errors.As(err, &f) && f.Trouble == sound.Absent
}
