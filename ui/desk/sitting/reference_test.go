package sitting

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/tuning"
	"endpin/piece/words/pseudo"
)

func TestAFewMeasuresAreJudgedByWhatWasHeardLast(t *testing.T) {
	var s Sitting
	asked := s.Reference(442, finding.Intermediate)
	assert.Equal(t, finding.Reference{A4: 442, SD: 10, From: "the A that is set, 442 Hz", Supposed: true}, asked)

	at := time.Date(2031, 3, 4, 9, 5, 0, 0, time.UTC)
	s.Heard(&finding.Hearing{HeardA: 450, HeardATrust: dsp.NotSure}, at)
	assert.True(t, s.Reference(442, finding.Intermediate).Supposed, "a take that is not sure tells nothing")
	s.Opened(&finding.Hearing{HeardA: 445, HeardASD: 2, HeardATrust: dsp.Sure}, "lesson")
	assert.Equal(t, finding.Reference{A4: 445, SD: 2, From: "an opened take (lesson)"}, s.Reference(442, finding.Intermediate))
	s.Heard(&finding.Hearing{HeardA: 438, HeardASD: 1.5, HeardATrust: dsp.Fair}, at)
	assert.Equal(t, finding.Reference{A4: 438, SD: 1.5, From: "the whole take of 09:05"}, s.Reference(442, finding.Intermediate))

	one := tuning.Outcome{A4: 445, Strings: []tuning.Reading{{Trust: dsp.Sure, Cents: 20}, {}}}
	s.Checked(one)
	assert.Equal(t, 438.0, s.Reference(442, finding.Intermediate).A4, "one string may be out itself")
	s.Opened(&finding.Hearing{HeardA: 445, HeardASD: 2, HeardATrust: dsp.Sure}, "lesson")
	assert.Equal(t, 438.0, s.Reference(442, finding.Intermediate).A4, "that is of another bass, perhaps")
	one.Strings[1] = tuning.Reading{Trust: dsp.Sure, Cents: 20}
	s.Checked(one)
	assert.Equal(t, finding.Reference{A4: 445, SD: leastSD, From: "the check of the strings"}, s.Reference(442, finding.Intermediate))
}

func TestEveryWordOfAReferenceIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	var s Sitting
	h := &finding.Hearing{HeardA: 438, HeardATrust: dsp.Sure, AFrom: "somewhere"}
	for range 2 {
		r := s.Reference(440, finding.Intermediate)
		assert.Empty(t, pseudo.Plain(r.From, "Hz"))
		assert.Empty(t, pseudo.Plain(By(r, h), "Hz"))
		s.Heard(h, time.Now())
	}
	assert.Empty(t, By(s.Reference(440, finding.Intermediate), &finding.Hearing{}), "it told its own")
}
