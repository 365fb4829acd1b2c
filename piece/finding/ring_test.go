package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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

func TestARoomThatRingsIsTold(t *testing.T) {
	for fall, rings := range map[float64]bool{0: false, 31: false, 22: false, 15: true, 6: true} { // 0: no note was followed by a pause
		h := play(t, harbour).hall(fall).listen()
		if !rings {
			assert.Empty(t, told(h), "%v dB", fall)
			continue
		}
		f := only(t, h, finding.NotSure, "1-12")
		assert.Contains(t, f.Text, "the room rings", "%v dB", fall)
	}
}

func TestInARoomThatRingsNothingIsSure(t *testing.T) {
	p := play(t, harbour).hall(14)
	p.detune(40, p.in(6, 7, p.stopped)...)
	h := p.leaveOut(p.at("9:2")).listen()
	require.Len(t, kinds(h, finding.SharpAfterShift), 1, "%v", told(h))
	for _, f := range h.Findings {
		assert.NotEqual(t, dsp.Sure, f.Trust, f.Text)
	}
}

func TestASoftBeginningUnderTheRingIsNotLate(t *testing.T) {
	late := play(t, harbour).late(170, "9:2")
	require.Len(t, kinds(late.listen(), finding.Late), 1)
	assert.Len(t, kinds(late.hall(14).listen(), finding.Late), 1, "a plain one is")
	assert.Empty(t, kinds(late.softly("9:2").listen(), finding.Late))
}

func TestWhereTheRingIsAsLoudAsThePlayingOnlyPitchAndPaceAreTold(t *testing.T) {
	p := play(t, harbour).hall(6)
	p.detune(40, p.in(6, 7, p.stopped)...)
	p.late(170, "9:2").leaveOut(p.at("10:2")).putIn(47, 1, 0.8, "8:1")
	assert.ElementsMatch(t, []string{"not_sure 1-12", "sharp_after_shift 6-7"}, told(p.listen()))
}

func TestAnOctaveTooLowInARoomThatRingsIsTheRing(t *testing.T) {
	p := play(t, harbour)
	p.detune(-1200, p.at("4:2"))
	require.Len(t, kinds(p.listen(), finding.WrongNote), 1)
	assert.Empty(t, kinds(p.hall(14).listen(), finding.WrongNote))
}

// rough makes a sound one of two at once.
func (p *player) rough(place string) *player {
	for k := range p.sounds {
		if p.sounds[k].note == p.at(place) {
			p.sounds[k].aperiodicity = 0.09
		}
	}
	return p
}

func TestAPitchOfTwoSoundsAtOnceIsNoWrongNote(t *testing.T) {
	p := play(t, harbour)
	p.detune(100, p.at("4:2"))
	require.Len(t, kinds(p.listen(), finding.WrongNote), 1)
	require.Len(t, kinds(p.hall(14).listen(), finding.WrongNote), 1, "one sound is told in a hall too")
	assert.Empty(t, kinds(p.rough("4:2").listen(), finding.WrongNote))
	assert.Len(t, kinds(p.hall(31).listen(), finding.WrongNote), 1, "where nothing rings it is the bow's roughness")
}

func TestSoftNotesInARowDoNotPutTheBeatOff(t *testing.T) {
	plain := play(t, harbour).late(170, "9:2").late(170, "9:3").late(170, "10:1")
	require.NotEmpty(t, kinds(plain.listen(), finding.Late))
	h := plain.hall(14).softly("9:2", "9:3", "10:1").listen()
	assert.Empty(t, kinds(h, finding.Late, finding.Early, finding.WrongRhythm), "%v", told(h))
}
