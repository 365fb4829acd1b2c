package desk

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/ui/desk/classroom"
	"endpin/ui/desk/score"
)

func TestAStudentsRecordingIsJudgedOnThePageAsItsClassWas(t *testing.T) {
	b := newBench(t)
	var asked finding.Options
	b.means.Hear = func(_ context.Context, _ *score.Score, path string, o finding.Options, _ func(float64)) (*finding.Hearing, *dsp.Heard, error) {
		asked = o
		return &finding.Hearing{Recording: path}, &dsp.Heard{}, nil
	}
	o := b.Settings.Judging()
	o.Level, o.Measures = finding.FirstYear, "5-8"
	r := classroom.Recording{Score: b.Score, Student: "Anna", Path: "/week 3/Anna.wav", Level: "first-year", Measures: "5-8", Options: o}
	require.True(t, host{b.Desk}.Open(r))
	assert.False(t, host{b.Desk}.Open(r), "one at a time")
	b.pump(t, func() bool { return b.Shown != nil })
	assert.Equal(t, "/week 3/Anna.wav", b.Shown.Take.Sound)
	assert.Equal(t, "Anna", b.Shown.Take.Player)
	assert.Equal(t, finding.FirstYear, asked.Level)
	assert.Equal(t, "5-8", asked.Measures)
}
