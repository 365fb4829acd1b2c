package write

import "endpin/piece/words"

// Keys are the keys of the screen, each with what it does, in the order of their use.
func (s *Screen) Keys() (keys, whats []string) {
	for _, row := range []struct{ key, what string }{
		{"a – g", "letter"}, {"1 2 4 8 6 7", "lengths"}, {"5", "beat"}, {".", "dot"}, {"3", "triplet"}, {"0, r", "rest"}, {"R", "rest-measure"},
		{"s l n", "signs"}, {"t", "tie"}, {"j", "slur"}, {"o, O", "octave"}, {"↑ ↓", "step"}, {"+ −", "semitone"},
		{"← →", "go"}, {"↵", "return"}, {"⌫", "delete"},
		{"x", "mode"}, {"0 – 4, t", "finger"}, {"e a d g", "string"}, {"w p h k", "bow"}, {"m i : |", "measure"},
	} {
		keys, whats = append(keys, row.key), append(whats, words.Say("window.write.keys."+row.what))
	}
	for _, row := range []string{"space", "escape", "control", "copy", "all"} {
		keys, whats = append(keys, words.Say("window.write.keys."+row+".key")), append(whats, words.Say("window.write.keys."+row))
	}
	return keys, whats
}
