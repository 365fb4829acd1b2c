package job

import (
	"path/filepath"
	"slices"

	"endpin/dsp"
	"endpin/piece/finding"
)

// whyNothing says why a take cannot be told.
func whyNothing(sound *dsp.Heard, pieceFile string) NotHeard {
	heard := NotHeard{Piece: filepath.Base(pieceFile), Notes: len(sound.Notes), Most: finding.MostHeard(sound.Notes)}
	switch {
	case sound.Peak < 0.003:
		heard.What = "silence"
	case heard.Notes == 0 && pitched(sound) > 0.5:
		heard.What = "tone"
	case heard.Notes == 0:
		heard.What = "noise"
	case heard.Notes <= tooFew:
		heard.What = "few"
	case blended(sound) > alone:
		heard.What = "covered"
	default:
		heard.What = "other"
	}
	return heard
}

// tooFew notes fit nearly any piece somewhere.
const tooFew = 6

// alone is the aperiodicity, median over the notes of a bow, that one instrument in a
// quiet room does not have: at most 0.005, in halls too. Noise 30 dB under full scale
// makes it 0.008 to 0.02, an accompaniment as loud as hides a piece 0.014 to 0.13
// (rendered takes, as in piece/finding).
const alone = 0.012

// blended is the median aperiodicity of the notes that were bowed: what sounds
// together is less periodic than one string.
func blended(sound *dsp.Heard) float64 {
	var rough []float64
	for _, n := range sound.Notes {
		if !n.Plucked {
			rough = append(rough, n.Aperiodicity)
		}
	}
	if 2*len(rough) <= len(sound.Notes) {
		return 0
	}
	slices.Sort(rough)
	return rough[len(rough)/2]
}

// pitched is the share of the recording that has a pitch.
func pitched(sound *dsp.Heard) float64 {
	voiced := 0
	for _, f := range sound.Frames {
		if f.Voiced {
			voiced++
		}
	}
	return float64(voiced) / float64(max(len(sound.Frames), 1))
}
