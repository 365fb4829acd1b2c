package letters

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/piece/engraving"
)

func TestAccidentalsAndMinusAreDrawnAmongWords(t *testing.T) {
	for _, r := range "♭♮♯−" {
		for _, style := range []engraving.Style{engraving.Roman, engraving.Bold, engraving.Italic} {
			g := Of(style).Letter(r)
			assert.NotEmpty(t, g.Outline, "%c", r)
			assert.Greater(t, g.Advance, 0.2, "%c", r)
		}
	}
}
