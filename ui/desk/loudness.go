package desk

import "endpin/dsp/sound"

// Loudness is how loud the microphone is now.
type Loudness struct {
	On    bool    // a microphone is open
	Level float64 // of the last tenth of a second, dB re full scale
	Peak  float64 // of the last moments, dB re full scale
	Word  string  // it in two words
	Say   string  // one sentence where something is wrong; else empty
}

func loudness(m *sound.Meter) Loudness {
	if m == nil {
		return Loudness{}
	}
	return Loudness{On: true, Level: m.Level(), Peak: m.Peak(), Word: m.Word(), Say: m.Say()}
}

// The lowest and the highest level that a meter has to show, dB re full scale.
const (
	LeastLevel = -60
	MostLevel  = 0
)

// Share is a level's place between the least and the most, 0 to 1.
func Share(level float64) float64 {
	return max(0, min(1, (level-LeastLevel)/(MostLevel-LeastLevel)))
}
