package writing

import (
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece"
	"endpin/piece/words"
)

// around is a sound that goes round: a measure of the click.
type around voice.Clip

// Play adds the samples from a position on to buf. There are always more.
func (a around) Play(buf []float32, from int64) bool {
	for i := range buf {
		buf[i] += a[(from+int64(i))%int64(len(a))]
	}
	return true
}

// clicks is a measure of what one counts in, the first higher.
func clicks(rate int, t piece.Time, qpm float64) around {
	counted := t.Counted()
	n := int(t.Beat() * piece.Ticks(t.Beats) / counted)
	every := counted.Quarters() * 60 / qpm * float64(rate)
	measure := make(around, int(float64(n)*every+0.5))
	for i := range n {
		voice.Click(rate, i == 0).Play(measure[int(float64(i)*every+0.5):], 0)
	}
	return measure
}

// Paced is the tempo of the click, quarter notes a minute: the page's, or an unhurried one.
func (w *Writing) Paced() float64 {
	if qpm := w.Page.Tempo(); qpm > 0 {
		return qpm
	}
	return piece.Unhurried
}

// clicking sounds the click on the loudspeaker chosen, which is closed when it is not wanted
// any more, and tells at which position it beats the first of a measure.
func (w *Writing) clicking() (*sound.Loudspeaker, int64, error) {
	from := w.host.Player()
	if from.Card == nil {
		return nil, 0, words.Fault("desk.play.no-loudspeaker")
	}
	speaker, err := from.Loudspeaker()
	if err != nil {
		return nil, 0, err
	}
	return speaker, speaker.Start(clicks(speaker.Rate(), w.Page.Here().Time, w.Paced()), speaker.Next()).At, nil
}

// clicked is when, in what is recorded, the click beat the first of a measure, s; nil where the
// devices tell no time, or there is no click.
func (t *taping) clicked() *float64 {
	if t.speaker == nil {
		return nil
	}
	at, ok := t.mic.Heard(t.speaker, t.click, t.latency)
	if !ok {
		return nil
	}
	return &at
}
