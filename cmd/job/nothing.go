package job

import (
	"fmt"
	"path/filepath"
	"slices"

	"endpin/dsp"
	"endpin/piece/finding"
)

// whyNothing says why a take cannot be told, and the mend.
func whyNothing(sound *dsp.Heard, pieceFile string) NotHeard {
	file := filepath.Base(pieceFile)
	switch n := len(sound.Notes); {
	case sound.Peak < 0.003:
		return NotHeard{What: "silence: nothing was heard", Mend: "look at the microphone and its level, and record again"}
	case n == 0 && pitched(sound) > 0.5:
		return NotHeard{What: "one unbroken tone and no notes were heard in it", Mend: "turn off what hums, or move the microphone nearer to the bass, and record again"}
	case n == 0:
		return NotHeard{What: "no notes were heard in it, only noise", Mend: "move the microphone nearer to the bass and record again"}
	case n <= tooFew:
		return NotHeard{What: fmt.Sprintf("too little to tell whether it is %s: only %s heard, most often %s", file, counted(n), finding.MostHeard(sound.Notes)),
			Mend: "record more of it", Part: true}
	case blended(sound) > alone:
		return NotHeard{What: fmt.Sprintf("this does not sound like %s, or another instrument sounds along and covers it: %d notes were heard, most often %s", file, n, finding.MostHeard(sound.Notes)),
			Mend: "check that piece and recording belong together, and record the bass alone"}
	default:
		return NotHeard{What: fmt.Sprintf("this does not sound like %s: %d notes were heard, most often %s", file, n, finding.MostHeard(sound.Notes)),
			Mend: "check that piece and recording belong together"}
	}
}

// tooFew notes fit nearly any piece somewhere.
const tooFew = 6

// alone is the aperiodicity, median over the notes of a bow, that one instrument in a
// quiet room does not have: at most 0.005, in halls too. Noise 30 dB under full scale
// makes it 0.008 to 0.02, an accompaniment as loud as hides a piece 0.014 to 0.13
// (rendered takes, as in piece/finding).
const alone = 0.012

func counted(notes int) string {
	if notes == 1 {
		return "one note was"
	}
	return fmt.Sprintf("%d notes were", notes)
}

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
