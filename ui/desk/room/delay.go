package room

import (
	"context"
	"errors"
	"math"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/said"
)

// delay is how much later than the two devices say the loudspeaker is heard in
// the microphone: measured, or nothing known beyond the devices' own word.
type delay struct{ sound.Latency }

// sure reports whether it was measured.
func (d delay) sure() bool { return d.Trust() == dsp.Sure }

// Pair names two devices that a latency belongs to.
func Pair(microphone, loudspeaker string) string { return microphone + " → " + loudspeaker }

// delay is what is known of two devices by name.
func (d Devices) delay(microphone, loudspeaker string) delay {
	if seconds, ok := d.Latency[Pair(microphone, loudspeaker)]; ok {
		return delay{sound.Latency{Seconds: seconds, Ticks: 1}} // what is not sure is not kept
	}
	return delay{}
}

// Between is what is known of two devices that run.
func (d Devices) Between(m *sound.Microphone, l *sound.Loudspeaker) sound.Latency {
	return d.delay(m.Name, l.Name).Latency
}

// Measuring reports whether the delay is being measured.
func (m *Room) Measuring() bool { return m.measuring != nil }

// MeasureDelay plays ticks and finds them again in the microphone, some ten
// seconds long, or thirty where the computer is busy. DelaySaid tells how it goes.
// What is not sure changes nothing.
func (m *Room) MeasureDelay() {
	if m.Running || m.host.Hearing() || m.Measuring() {
		return
	}
	tried := m.trial != nil
	m.EndMicrophoneTrial()
	mic, l, err := m.both()
	if err != nil {
		m.measured = said.Sentence(err)
		m.host.Changed()
		return
	}
	m.measured = words.Say("desk.delay.going")
	m.measuring = errand.Send(m.host.Post, func(e *errand.Errand) func() {
		found, err := sound.MeasureUntilSure(e, mic, l)
		l.Close()
		mic.Close()
		return func() {
			m.measuring = nil
			m.measured = m.found(Pair(mic.Name, l.Name), found, err)
			if tried {
				m.TryMicrophone()
			}
			m.host.Changed()
		}
	})
	m.host.Changed()
}

// both opens the devices chosen, both or none.
func (m *Room) both() (*sound.Microphone, *sound.Loudspeaker, error) {
	mic, _, err := m.Microphone()
	if err != nil {
		return nil, nil, err
	}
	l, _, err := m.Loudspeaker()
	if err != nil {
		mic.Close()
	}
	return mic, l, err
}

// found keeps what a measuring of two devices came to, and says it.
func (m *Room) found(pair string, found sound.Latency, err error) string {
	kept := ""
	if seconds, ok := m.host.Chosen().Latency[pair]; ok {
		kept = later("desk.delay.kept", seconds)
	}
	switch {
	case errors.Is(err, context.Canceled):
		return said.Joined(words.Say("desk.stopped"), kept)
	case err != nil:
		return said.Joined(said.Sentence(err), kept)
	case found.Trust() != dsp.Sure:
		return said.Joined(words.Say("desk.delay.not-sure"), kept)
	}
	m.host.KeepLatency(pair, found.Seconds)
	return later("desk.delay.measured", found.Seconds)
}

// later says a message about a delay beyond the devices' own figures, by its side.
func later(key string, seconds float64, places ...any) string {
	ms := math.Round(1000 * seconds)
	switch {
	case ms > 0:
		key += ".later"
	case ms < 0:
		key += ".sooner"
	}
	return words.Say(key, append(places, "ms", words.Whole(math.Abs(ms)))...)
}

// EndMeasuring ends the measuring of the delay.
func (m *Room) EndMeasuring() { m.measuring.Stop() }

// DelaySaid is what to read beside the button that measures: how it goes, what it
// came to, or what is known of the two devices chosen.
func (m *Room) DelaySaid() string {
	if m.measured != "" {
		return m.measured
	}
	known := m.host.Chosen().Latency
	switch len(known) {
	case 0:
		return words.Say("desk.delay.unknown")
	case 1:
		for pair, seconds := range known {
			return later("desk.delay.pair", seconds, "pair", pair)
		}
	}
	return words.Many("desk.delay.pairs", len(known)).String()
}
