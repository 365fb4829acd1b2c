package room

import (
	"errors"

	"endpin/dsp/sound"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/words"
	"endpin/ui/desk/attempt"
	"endpin/ui/desk/ear"
	"endpin/ui/desk/score"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/timetable"
	"endpin/ui/desk/work"
)

// Asked is what an attempt is to be.
type Asked struct {
	Score   *score.Score
	Work    work.Work
	Judging finding.Options
	Sounds  *timetable.Sounds
	Before  []finding.Finding // stand under the measures until it is the player's turn
	Bows    *outline.Outline  // to bow silently by; nil for no cues
	Folder  string            // where the tape lies

	// Tape begins it as soon as all devices are open; nil for none.
	Tape  func(Opened) (*tape.Recorder, error)
	Along bool // and hears it while it is played
}

// Opened is what stands open as an attempt begins.
type Opened struct {
	Rate     int  // of what is heard, samples a second
	Instead  bool // something plays in the microphone's place
	Clicks   bool // both devices are open, so that it can be known where the click lies
	Measured bool // and the delay between them was measured: else it is by their own figures
}

// silentRate is the rate of the clock where nobody listens.
const silentRate = 44100

// open opens what an attempt needs.
func (m *Room) open(a Asked) (*run, error) {
	r := &run{asked: a, stop: make(chan struct{}), seen: make(chan looked, 1), began: -1}
	if err := m.openSource(r); err != nil {
		return nil, err
	}
	fail := func(err error) (*run, error) { r.close(); return nil, err }
	var err error
	r.attempt, err = attempt.New(a.Score, a.Work, a.Judging, r.source.Rate(), 0)
	if err != nil {
		return fail(err)
	}
	if a.Work.Way.Leads() {
		m.openSpeaker(r)
	}
	if r.speaker.out != nil {
		r.sound()
	}
	if a.Tape != nil {
		both := r.mic != nil && r.speaker.out != nil
		r.rec, err = a.Tape(Opened{r.source.Rate(), r.mic == nil, both, r.speaker.delay.sure()})
		if err == nil && a.Along {
			r.along, err = ear.NewAlong(attempt.Listening(a.Score), r.source.Rate())
		}
		if err != nil {
			return fail(err)
		}
	}
	return r, nil
}

func (m *Room) openSource(r *run) error {
	if !r.asked.Work.Way.Hears() {
		r.source = &Paced{Source: silence{silentRate}}
		return nil
	}
	mic, instead, err := m.Microphone()
	if err == nil {
		r.source, r.mic = mic, mic
		m.host.Say(instead)
	} else {
		var f *sound.Fault
		if m.computer.Instead == nil || !errors.As(err, &f) || f.Trouble != sound.None {
			return err
		}
		source, name, e := m.computer.Instead(r.asked.Score, func() float64 { return r.attempt.Due() })
		switch {
		case e != nil:
			return e
		case source == nil:
			return err
		}
		r.source = source
		m.host.Say(words.Say("desk.microphone.none", "instead", name))
	}
	r.meter = sound.NewMeter(r.source.Rate())
	r.source = metered{r.source, r.meter}
	return nil
}
