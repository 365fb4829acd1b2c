package tuning_test

import (
	"testing"

	"endpin/dsp"
	"endpin/piece/tuning"
	"endpin/piece/words/pseudo"

	"github.com/stretchr/testify/assert"
)

func TestWhatIsSaidOfStringsStandsInTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	said := []string{tuning.Off(0), tuning.BeatWords(0), tuning.BeatWords(3), tuning.Pair{Lower: 2, Upper: 1}.About()}
	for _, cents := range []float64{-180, -80, -40, -1, 0, 12, 60, 160} {
		for _, r := range []tuning.Reading{{}, {Trust: dsp.Fair}, {Trust: dsp.Sure}, {Trust: dsp.Sure, InTune: true}} {
			r.Cents = cents
			said = append(said, r.Say())
			if r.Trust != "" && !r.InTune {
				assert.NotEmpty(t, r.Turn())
				said = append(said, r.Turn())
			}
		}
	}
	for d := tuning.Weak; d <= tuning.Swelling; d++ {
		assert.NotEmpty(t, d.Say())
		said = append(said, d.Say())
	}
	two := []tuning.Reading{{Name: "E", Trust: dsp.Sure}, {Name: "A", Trust: dsp.Sure, InTune: true}}
	for _, o := range []tuning.Outcome{
		{Strings: two, InTune: true}, {Strings: two, Missing: []string{"E"}}, {Strings: two, Together: true}, {Strings: two},
		{Strings: append(two, tuning.Reading{Name: "D"})},
	} {
		assert.NotEmpty(t, o.Say())
		said = append(said, o.Say())
	}
	for _, s := range said {
		assert.Empty(t, pseudo.Plain(s), s)
	}
}
