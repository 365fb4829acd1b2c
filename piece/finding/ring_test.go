package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/piece/finding"
)

// hall is a room in which the sound falls by so many dB as a note is let go.
func (p *player) hall(fall float64) *player {
	p.fall = fall
	return p
}

func (p *player) softly(places ...string) *player {
	for _, place := range places {
		for k := range p.sounds {
			if p.sounds[k].note == p.at(place) {
				p.sounds[k].fresh = 2
			}
		}
	}
	return p
}

func TestAHallIsHeardAsAnyRoom(t *testing.T) {
	for _, fall := range []float64{0, 31, 15} { // 0: no note was followed by a pause
		assert.Empty(t, told(play(t, harbour).hall(fall).listen()), "%v dB", fall)
	}
	p := play(t, harbour).hall(14)
	p.detune(40, p.in(6, 7, p.stopped)...)
	h := p.late(170, "9:2").leaveOut(p.at("10:2")).listen()
	assert.ElementsMatch(t, []string{"sharp_after_shift 6-7", "late 9", "missing 10"}, told(h))
}

func TestWhereTheRingIsAsLoudAsThePlayingOnlyPitchAndPaceAreTold(t *testing.T) {
	p := play(t, harbour).hall(6)
	p.detune(40, p.in(6, 7, p.stopped)...)
	h := p.late(170, "9:2").leaveOut(p.at("10:2")).putIn(47, 1, 0.8, "8:1").listen()
	assert.ElementsMatch(t, []string{"not_sure 1-12", "sharp_after_shift 6-7"}, told(h))
	assert.Contains(t, kinds(h, finding.NotSure)[0].Text, "a room that rings like a staircase")
	for _, f := range h.Findings {
		assert.NotEqual(t, dsp.Sure, f.Trust, f.Text)
	}
}

func TestASoftBeginningUnderTheRingIsNotLate(t *testing.T) {
	late := play(t, harbour).late(170, "9:2")
	assert.Len(t, kinds(late.hall(14).listen(), finding.Late), 1, "a plain one is")
	assert.Empty(t, kinds(late.softly("9:2").listen(), finding.Late))
}
