package notation_test

import (
	"bytes"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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

// Source: abc2midi 4.84 (package abcmidi), another reader of what is written.
func TestWhatIsWrittenAsABCSoundsAsABC2MIDIPlaysIt(t *testing.T) {
	needABC2MIDI(t)
	for f, data := range files(t, "../../testdata/pieces/*") {
		p, err := notation.Read(f, data)
		if err != nil || slices.ContainsFunc(p.Measures, func(m piece.Measure) bool { return m.Jump != piece.NoJump }) {
			continue // what is no piece, and a da capo, which abc2midi does not play
		}
		var b bytes.Buffer
		require.NoError(t, notation.WriteABC(&b, p))
		theirs := asABC2MIDI(t, b.String())
		line, _ := p.Line()
		require.Len(t, theirs, len(line), "%s\n%s", f, b.String())
		for i, n := range line {
			assert.Equal(t, n.MIDI, theirs[i].midi, "%s measure %s", f, n.Number)
			assert.InDelta(t, float64(theirs[i].at), float64(n.Onset), float64(piece.Quarter)/240, "%s measure %s", f, n.Number)
		}
	}
}
