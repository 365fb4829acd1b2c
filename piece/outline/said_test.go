package outline

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
	"endpin/piece/words/pseudo"
)

func TestWhatMakesAMeasureHardIsSaidFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	numerals := []string{"VIII", "VII", "III", "II–III"}
	for name, p := range pencilable(t) {
		out := outlined(t, p, Options{QPM: 100})
		said := append(append([]string{out.Division, Felt{}.Tempo(60)}, out.Remarks...), outlined(t, p, Options{Sections: []string{p.Measures[0].Number + "-" + p.Measures[len(p.Measures)-1].Number}}).Division)
		for _, m := range out.Measures {
			assert.Len(t, m.Short, len(m.Reasons))
			said = append(append(said, m.Reasons...), m.Short...)
		}
		for _, s := range said {
			assert.Empty(t, pseudo.Plain(s, numerals...), "%s: %s", name, s)
			assert.NotContains(t, s, "[", "%s: %s", name, s)
			assert.NotContains(t, s, "<", "%s: %s", name, s)
		}
	}
	_, notANumber := ParseWeights([]string{"shift=x"})
	_, absent := ParseWeights([]string{"shfit=1"})
	_, order := Of(againPiece(t), Options{Sections: []string{"1-8", "8-16"}})
	_, missing := Of(againPiece(t), Options{Sections: []string{"99"}})
	_, gap := Of(againPiece(t), Options{Sections: []string{"1-4", "6-8"}})
	for _, err := range []error{notANumber, absent, order, missing, gap} {
		require.Error(t, err)
		assert.Empty(t, pseudo.Plain(err.Error(), `"shift=x"`, `"shfit"`, strings.Join(WeightNames(), ", "), "shift=2"), err.Error())
	}
}

// Every value a file may name, dotted or not, tied, in a triplet and as a rest.
func TestEveryRhythmHasWords(t *testing.T) {
	defer pseudo.Speak()()
	for _, value := range []string{"", "1024th", "512th", "256th", "128th", "64th", "32nd", "16th", "eighth", "quarter", "half", "whole", "breve", "long", "maxima"} {
		for bits := range 16 {
			n := piece.Note{Value: value, Dots: bits & 1, Rest: bits&2 > 0, Length: 1}
			if bits&4 > 0 {
				n.Tuplet.Actual = 3
			}
			s := inCell(&n, bits&8 > 0).String()
			assert.NotContains(t, s, "[", "%+v", n)
		}
	}
}

// Nothing is asked of a violin that a page in another language could not print.
func TestThePositionsOfEveryInstrumentArePrinted(t *testing.T) {
	defer pseudo.Speak()()
	for _, n := range fingerboard.Instruments() {
		for _, token := range n.System.Tokens() {
			assert.NotContains(t, words.Position(token).Printed().String(), "[", "%s", token)
			assert.NotEqual(t, token, words.Position(token).Printed().String(), n.Word)
		}
	}
}
