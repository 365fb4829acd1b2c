package room

import (
	"io"

	"endpin/dsp/sound"
	"endpin/ui/desk/said"
)

// trial is the microphone open for nothing but to see its level.
type trial struct{ mic *sound.Microphone }

// TryMicrophone opens the microphone chosen so that Loud tells its level, until
// EndMicrophoneTrial or an attempt. Trouble is a sentence in Loud.
func (m *Room) TryMicrophone() {
	if m.Running || m.Measuring() {
		return
	}
	m.EndMicrophoneTrial()
	mic, instead, err := m.Microphone()
	if err != nil {
		m.Loud = Loudness{Say: said.Sentence(err)}
		m.host.Changed()
		return
	}
	t := &trial{mic}
	m.trial = t
	if instead != "" {
		m.host.Say(instead)
	}
	go m.hearTrial(t)
	m.host.Changed()
}

func (m *Room) hearTrial(t *trial) {
	meter := sound.NewMeter(t.mic.Rate())
	buf := make([]float32, max(1, int(tellSeconds*float64(t.mic.Rate()))))
	for {
		n, err := t.mic.Read(buf)
		meter.Push(buf[:n])
		loud := loudness(meter)
		if err != nil && err != io.EOF {
			loud = Loudness{Say: said.Sentence(err)}
		}
		m.host.Post(func() {
			if m.trial != t {
				return
			}
			if m.Loud = loud; err != nil {
				m.trial = nil
			}
			m.host.Changed()
		})
		if err != nil {
			t.mic.Close()
			return
		}
	}
}

// EndMicrophoneTrial closes what TryMicrophone opened.
func (m *Room) EndMicrophoneTrial() {
	if t := m.trial; t != nil {
		m.trial, m.Loud = nil, Loudness{}
		t.mic.Close()
		m.host.Changed()
	}
}
