package desk

import (
	"errors"
	"io/fs"
	"os"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/piece/words"
	"endpin/ui/desk/attempt"
	"endpin/ui/desk/tape"
)

// silentRate is the rate of the clock where nobody listens.
const silentRate = 44100

// begin opens what an attempt needs.
func (d *Desk) begin() (*run, error) {
	r := &run{stop: make(chan struct{}), began: -1}
	if err := d.openSource(r); err != nil {
		return nil, err
	}
	fail := func(err error) (*run, error) { r.close(); return nil, err }
	var err error
	r.attempt, err = attempt.New(d.Score, d.Work, d.Settings.Judging(), r.source.Rate(), 0)
	if err != nil {
		return fail(err)
	}
	if d.Work.Way.Leads() {
		d.openSpeaker(r)
	}
	if r.speaker.out != nil {
		d.sound(r)
	}
	if d.Work.Way.Hears() && d.means.Folder != "" {
		if err := d.record(r); err != nil {
			return fail(err)
		}
	}
	return r, nil
}

func (d *Desk) openSource(r *run) error {
	if !d.Work.Way.Hears() {
		r.source = &Paced{Source: silence{silentRate}}
		return nil
	}
	m, instead, err := d.microphone()
	if err == nil {
		r.source, r.mic = m, m
		d.say(instead)
	} else {
		var f *sound.Fault
		if d.means.Instead == nil || !errors.As(err, &f) || f.Trouble != sound.None {
			return err
		}
		source, name, e := d.means.Instead(func() float64 { return r.attempt.Due() })
		if e != nil {
			return e
		}
		r.source = source
		d.say(words.Say("desk.microphone.none", "instead", name))
	}
	r.meter = sound.NewMeter(r.source.Rate())
	r.source = metered{r.source, r.meter}
	return nil
}

func (d *Desk) record(r *run) error {
	if err := os.MkdirAll(d.means.Folder, 0o700); err != nil {
		return words.Fault("desk.takes.no-folder", "folder", d.means.Folder, "err", err)
	}
	t := d.newTake(d.Work.Way)
	t.QPM = d.Work.QPM
	t.Place(d.means.Folder)
	if d.Work.Way.Leads() && r.mic != nil && r.speaker.out != nil {
		t.Sounds, t.Delay = d.Settings.Sounds, r.speaker.delay.from()
	}
	if !d.Score.Whole(d.Work.First, d.Work.Last) {
		t.Measures = d.Range()
	}
	var err error
	create := d.means.create
	if create == nil {
		create = tape.NewFile
	}
	r.rec, err = tape.New(create, t.Sound, r.source.Rate())
	for errors.Is(err, fs.ErrExist) { // another desk was quicker
		t.Place(d.means.Folder)
		r.rec, err = tape.New(create, t.Sound, r.source.Rate())
	}
	if err != nil {
		return words.Fault("desk.take.not-begun", "err", err)
	}
	d.add(d.scarcity(r.source.Rate()))
	r.take = t
	return nil // it is saved as it begins
}

// metered lets a meter see what a source gives.
type metered struct {
	dsp.Source
	meter *sound.Meter
}

// Read implements dsp.Source.
func (m metered) Read(buf []float32) (int, error) {
	n, err := m.Source.Read(buf)
	m.meter.Push(buf[:n])
	return n, err
}
