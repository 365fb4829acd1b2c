package outline

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/fingerboard"
	"endpin/piece/notation"
)

// byMeasure gives the fingers and positions of each printed measure.
func byMeasure(out *Outline) map[string]string {
	all := map[string]string{}
	for _, n := range out.Notes {
		all[n.Measure] += n.Finger + " in " + n.Position + ", "
	}
	return all
}

func TestTheOtherFingeringIsTakenAndStaysInTheFile(t *testing.T) {
	p := tune(t, "stone_bridge.abc")
	out := outlined(t, p, Options{})
	require.NotEmpty(t, out.Others)
	o := out.Others[0]
	assert.NotEqual(t, o.Fingered, o.Or)
	chosen, err := out.Take(p, o.Measure)
	require.NoError(t, err)
	anew := outlined(t, chosen, Options{})
	assert.NotEqual(t, byMeasure(out)[o.Measure], byMeasure(anew)[o.Measure])

	var file bytes.Buffer
	require.NoError(t, anew.WriteMusicXML(&file, chosen, fingerboard.WhereTheHandMoves))
	read, err := notation.Read("written.musicxml", file.Bytes())
	require.NoError(t, err)
	assert.Equal(t, byMeasure(anew), byMeasure(outlined(t, read, Options{})))

	_, err = out.Take(p, "16")
	assert.EqualError(t, err, `take "16": no other fingering begins in that measure; others begin in 4 and 6`)
}

func TestAPieceRemembersItsSchool(t *testing.T) {
	p := tune(t, "stone_bridge.abc")
	school, err := fingerboard.SchoolByName("first-year")
	require.NoError(t, err)
	in, err := fingerboard.DoubleBass().Under(school)
	require.NoError(t, err)
	out := outlined(t, p, Options{Instrument: &in})
	assert.Equal(t, "first-year", out.School)
	var file bytes.Buffer
	require.NoError(t, out.WriteMusicXML(&file, p, fingerboard.WhereTheHandMoves))
	read, err := notation.Read("written.musicxml", file.Bytes())
	require.NoError(t, err)
	again := outlined(t, read, Options{})
	assert.Equal(t, "first-year", again.School)
	assert.Equal(t, byMeasure(out), byMeasure(again))
	newer, err := fingerboard.SchoolByName("newer-1-2-4")
	require.NoError(t, err)
	other, err := fingerboard.DoubleBass().Under(newer)
	require.NoError(t, err)
	assert.Equal(t, "newer-1-2-4", outlined(t, read, Options{Instrument: &other}).School, "unless another is asked for")
}
