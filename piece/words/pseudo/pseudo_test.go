package pseudo

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/piece/words"
)

func TestWhatIsInTheCatalogueIsToldFromWhatIsNot(t *testing.T) {
	defer Speak()()
	said := words.Say("finding.late", "measure", "6", "beat", words.Beat(2), "note", words.Note{Step: "B", Alter: -1}, "by", words.Of("finding.by.seconds", "seconds", words.Fixed(0.24, 2)))
	assert.Equal(t, "⟦Îñ ṁéåšûŕé 6, ⟦ƀéåţ 2‹⟧, ţĥé B♭ çåṁé ⟦0.24 šéçõñðš‹‹⟧ ļåţé.‹‹‹‹‹‹⟧", said)
	assert.Empty(t, Plain(said))
	assert.Equal(t, "after", Plain(said+" after"))
	assert.Empty(t, Plain("take.wav "+said, "take.wav"))
}
