package notation_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/piece"
	"endpin/piece/notation"
)

// heardAs is what of a line a player hears and reads: ABC has no sign for a string.
func heardAs(p *piece.Piece) (line []piece.Expected) {
	line, _ = p.Line()
	for i := range line {
		e := &line[i]
		e.Note, e.Number, e.Measure, e.Marks.String = 0, "", 0, 0
		e.Free = false // words about the pace are not written
	}
	return line
}

func TestAPieceWrittenAsABCSoundsAndIsFingeredAsItWas(t *testing.T) {
	unwritten := map[string]string{}
	for name, p := range readable(t) {
		var b bytes.Buffer
		if err := notation.WriteABC(&b, p); err != nil {
			unwritten[name] = err.Error()
			continue
		}
		again, err := notation.Read("written", b.Bytes())
		if !assert.NoError(t, err, "%s\n%s", name, b.String()) {
			continue
		}
		assert.Equal(t, heardAs(p), heardAs(again), "%s\n%s", name, b.String())
	}
	// Two of the unit tests have notes shorter than any sign, and seventeen in the time of three.
	for name, err := range unwritten {
		assert.Contains(t, []string{"03a-Rhythm-Durations.xml", "23b-Tuplets-Styles.xml"}, name, err)
	}
}
