package desk

import (
	"context"
	"errors"
	"math"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/piece/words"
	"endpin/ui/desk/said"
	"endpin/ui/desk/shelf"
)

// Delay is how much later than the two devices say the loudspeaker is heard in
// the microphone: measured, or nothing known beyond the devices' own word.
type Delay struct{ sound.Latency }

func (d Delay) from() string {
	if d.Trust() == dsp.Sure {
		return shelf.DelayMeasured
	}
	return shelf.DelayDevices
}

// delay is what is known of two devices by name.
func (s *Settings) delay(microphone, loudspeaker string) Delay {
	if seconds, ok := s.Latency[Pair(microphone, loudspeaker)]; ok {
		return Delay{sound.Latency{Seconds: seconds, Ticks: 1}} // what is not sure is not kept
	}
	return Delay{}
}

// measuring is a measuring of the delay that goes on, or what the last came to.
type measuring struct {
	on     bool
	said   string
	cancel context.CancelFunc
}

// Measuring reports whether the delay is being measured.
func (d *Desk) Measuring() bool { return d.measuring.on }

// MeasureDelay plays ticks and finds them again in the microphone, some ten
// seconds long, or thirty where the computer is busy. DelaySaid tells how it goes.
// What is not sure changes nothing.
func (d *Desk) MeasureDelay() {
	if d.Running || d.Judging || d.measuring.on {
		return
	}
	tried := d.trial != nil
	d.EndMicrophoneTrial()
	m, _, err := d.microphone()
	if err != nil {
		d.measuring.said = said.Sentence(err)
		d.tell()
		return
	}
	l, _, err := d.loudspeaker()
	if err != nil {
		m.Close()
		d.measuring.said = said.Sentence(err)
		d.tell()
		return
	}
	ctx, cancel := context.WithCancel(context.Background())
	d.measuring = measuring{on: true, cancel: cancel,
		said: words.Say("desk.delay.going")}
	go func() {
		found, err := sound.MeasureUntilSure(ctx, m, l)
		l.Close()
		m.Close()
		d.means.Post(func() {
			cancel()
			d.measuring.on = false
			d.measured(m.Name, l.Name, found, err)
			if tried {
				d.TryMicrophone()
			}
			d.tell()
		})
	}()
	d.tell()
}

// measured takes in what a measuring came to.
func (d *Desk) measured(microphone, loudspeaker string, found sound.Latency, err error) {
	pair := Pair(microphone, loudspeaker)
	kept := ""
	if seconds, ok := d.Settings.Latency[pair]; ok {
		kept = later("desk.delay.kept", seconds)
	}
	switch {
	case errors.Is(err, context.Canceled):
		d.measuring.said = said.Joined(words.Say("desk.stopped"), kept)
	case err != nil:
		d.measuring.said = said.Joined(said.Sentence(err), kept)
	case found.Trust() != dsp.Sure:
		d.measuring.said = said.Joined(words.Say("desk.delay.not-sure"), kept)
	default:
		d.measuring.said = later("desk.delay.measured", found.Seconds)
		d.Change(func(s *Settings) { s.Latency[pair] = found.Seconds })
	}
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
func (d *Desk) EndMeasuring() {
	if d.measuring.cancel != nil {
		d.measuring.cancel()
	}
}

// DelaySaid is what to read beside the button that measures: how it goes, what it
// came to, or what is known of the two devices chosen.
func (d *Desk) DelaySaid() string {
	if d.measuring.said != "" {
		return d.measuring.said
	}
	if len(d.Settings.Latency) == 0 {
		return words.Say("desk.delay.unknown")
	}
	if len(d.Settings.Latency) == 1 {
		for pair, seconds := range d.Settings.Latency {
			return later("desk.delay.pair", seconds, "pair", pair)
		}
	}
	return words.Many("desk.delay.pairs", len(d.Settings.Latency)).String()
}
