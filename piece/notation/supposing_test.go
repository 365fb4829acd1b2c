package notation_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/fingerboard"
	"endpin/piece/notation"
)

// The open G string as a bassist reads it, without a word on where it sounds.
const openG = "X:1\nT:One note\nM:4/4\nL:1/4\nK:C clef=bass\nG,4|]\n"

func TestAPartWithoutATranspositionSoundsAsItsInstrumentIsRead(t *testing.T) {
	for word, want := range map[string]int{"bass": 43, "bass-solo": 45, "bass-five-strings": 43, "cello": 55} {
		in, err := fingerboard.ByWord(word)
		require.NoError(t, err)
		low, _ := in.Range()
		p, err := notation.Read("one.abc", []byte(openG), notation.For(in.Name, in.Family, in.Printed, low))
		require.NoError(t, err)
		line, _ := p.Line()
		assert.Equal(t, want, line[0].MIDI, word)
		assert.Contains(t, p.TransposedBy, in.Name.String())
		if word != "cello" {
			f := in.Finger(line, fingerboard.Options{}).Notes[0]
			assert.True(t, f.Open && f.String == 1, "%s: a printed G is the open first string", word)
		}
	}
}

func TestATranspositionInTheFileWinsOverTheInstrument(t *testing.T) {
	file := []byte(`<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Bass</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>
<clef><sign>F</sign><line>4</line></clef><transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose></attributes>
<note><pitch><step>G</step><octave>3</octave></pitch><duration>4</duration></note></measure></part></score-partwise>`)
	solo := fingerboard.SoloBass()
	p, err := notation.Read("solo.musicxml", file, notation.For(solo.Name, solo.Family, solo.Printed, 30))
	require.NoError(t, err)
	line, _ := p.Line()
	assert.Equal(t, 43, line[0].MIDI, "the file says an octave, not an octave less a tone")
}
