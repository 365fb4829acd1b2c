package desk

import (
	"io"

	"endpin/dsp/sound"
	"endpin/ui/desk/said"
)

// trial is the microphone open for nothing but to see its level.
type trial struct{ mic *sound.Microphone }

// TryMicrophone opens the microphone chosen so that Loud tells its level, until
// EndMicrophoneTrial or an attempt. Trouble is a sentence in Loud.
func (d *Desk) TryMicrophone() {
	if d.Running || d.measuring.on {
		return
	}
	d.EndMicrophoneTrial()
	m, instead, err := d.microphone()
	if err != nil {
		d.Loud = Loudness{Say: said.Sentence(err)}
		d.tell()
		return
	}
	t := &trial{m}
	d.trial = t
	if instead != "" {
		d.say(instead)
	}
	go d.hearTrial(t)
	d.tell()
}

func (d *Desk) hearTrial(t *trial) {
	meter := sound.NewMeter(t.mic.Rate())
	buf := make([]float32, max(1, int(tellSeconds*float64(t.mic.Rate()))))
	for {
		n, err := t.mic.Read(buf)
		meter.Push(buf[:n])
		loud := loudness(meter)
		if err != nil && err != io.EOF {
			loud = Loudness{Say: said.Sentence(err)}
		}
		d.means.Post(func() {
			if d.trial != t {
				return
			}
			if d.Loud = loud; err != nil {
				d.trial = nil
			}
			d.tell()
		})
		if err != nil {
			t.mic.Close()
			return
		}
	}
}

// EndMicrophoneTrial closes what Try opened.
func (d *Desk) EndMicrophoneTrial() {
	if t := d.trial; t != nil {
		d.trial, d.Loud = nil, Loudness{}
		t.mic.Close()
		d.tell()
	}
}
