package piece_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/piece"
)

// Common practice, no source: how teachers write a position.
func TestPositionMarksAreRead(t *testing.T) {
	for text, want := range map[string]string{
		"I": "1", "III": "3", "VII": "7", "IV.": "4", " II ": "2",
		"pos. III": "3", "III pos": "3", "III pos.": "3", "3rd pos.": "3", "1st position": "1", "position 3": "3", "pos. 3": "3",
		"½": "half", "½ pos.": "half", "1/2 pos.": "half", "half position": "half", "Half pos.": "half",
		"II-III": "2-3", "II–III": "2-3", "III/IV": "3-4", "2-3 pos.": "2-3", "II½": "2-3", "V-VI": "5-6",
		"thumb pos.": "thumb", "thumb position": "thumb", "3. Lage": "3", "pos. 3-4": "3-4", "iii pos.": "3",
		// These say nothing of a position.
		"3": "", "2-3": "", "VIII": "", "i": "", "Vivace": "", "dolce": "", "mf": "", "positive": "", "": "", "I-III": "", "T": "", "half": "", "D": "", "C": "",
		"IV-V pos.": "", "9th pos.": "",
	} {
		assert.Equal(t, want, piece.PositionOf(text), "%q", text)
		assert.Equal(t, want, piece.PositionOf(piece.PositionText(want)), "%q, written", want)
	}
}
