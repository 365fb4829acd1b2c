package export_test

import (
	"bytes"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/notation"
	"endpin/piece/scoretest"
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
	for name, p := range scoretest.Readable(t) {
		var b bytes.Buffer
		if err := export.ABC(&b, p); err != nil {
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
	for f, data := range scoretest.Files(t, "testdata/pieces/*") {
		p, err := notation.Read(f, data)
		if err != nil || slices.ContainsFunc(p.Measures, func(m piece.Measure) bool { return m.Jump != piece.NoJump }) {
			continue // what is no piece, and a da capo, which abc2midi does not play
		}
		var b bytes.Buffer
		require.NoError(t, export.ABC(&b, p))
		theirs := scoretest.ABC2MIDI(t, b.String())
		line, _ := p.Line()
		require.Len(t, theirs, len(line), "%s\n%s", f, b.String())
		for i, n := range line {
			assert.Equal(t, n.MIDI, theirs[i].Pitch, "%s measure %s", f, n.Number)
			assert.InDelta(t, theirs[i].On, n.Onset.Quarters(), 1./240, "%s measure %s", f, n.Number)
		}
	}
}

func TestALineOfTextGoesThroughABC(t *testing.T) {
	p := fixture(t, "low_tide.abc")
	p.Measures[2].Texts = []piece.Text{{Says: "Sing it first"}, {At: p.Measures[2].Notes[1].Start, Says: "rit."}}
	var b bytes.Buffer
	require.NoError(t, export.ABC(&b, p))
	again, err := notation.Read("x.abc", b.Bytes())
	require.NoError(t, err)
	assert.Equal(t, p.Measures[2].Texts, again.Measures[2].Texts)
	assert.True(t, again.Measures[2].Flows[0].Free, "what is obeyed is printed all the same")
}
