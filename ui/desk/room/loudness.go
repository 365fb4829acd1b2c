package room

import (
	"endpin/dsp/sound"
	"endpin/piece/words"
	"endpin/ui/desk/said"
)

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
	state := m.State()
	return Loudness{On: true, Level: m.Level(), Peak: m.Peak(), Word: words.Say("sound.level." + string(state)), Say: said.Remedy(state)}
}

// LoudnessWords are the words that may come, for whoever keeps room for them.
func LoudnessWords() (all []string) {
	for _, s := range []sound.State{sound.TooLoud, sound.Silent, sound.VeryWeak, sound.Quiet, sound.WellHeard} {
		all = append(all, words.Say("sound.level."+string(s)))
	}
	return all
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
