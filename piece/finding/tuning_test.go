package finding_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
)

func cents(ratio float64) float64 { return 1200 * math.Log2(ratio) }

func TestTheWholeInstrumentTunedLowIsOneFinding(t *testing.T) {
	p := play(t, harbour)
	p.detune(cents(436.0/440), p.in(1, 12, every)...)
	h := p.listen()
	f := only(t, h, finding.Tuning, "1-12")
	assert.InDelta(t, cents(436.0/440), f.Value, 0.5)
	assert.InDelta(t, 436, h.HeardA, 0.2)
	assert.Equal(t, 440.0, h.ReferenceA)
	assert.Equal(t, dsp.Sure, f.Trust)
	for _, n := range h.Notes {
		assert.InDelta(t, 0, *n.Cents, 1)
	}
	h = p.hear(finding.Options{A4: 436})
	assert.Empty(t, told(h), "asked for 436")
	assert.InDelta(t, 436, h.HeardA, 0.2)
}

func TestTheInstrumentAtHandIsNamed(t *testing.T) {
	in := fingerboard.Cello()
	p := play(t, harbour)
	p.detune(-20, p.in(1, 12, every)...)
	h := p.hear(finding.Options{Instrument: &in})
	f := only(t, h, finding.Tuning, "1-12")
	assert.Contains(t, f.Text, "The whole cello is tuned 20 cents low")
	assert.Equal(t, "cello", h.Called().String())
}

func TestHistoricalPitchesCanBeAskedFor(t *testing.T) {
	for _, a := range []float64{392, 415, 466} {
		p := play(t, harbour)
		p.detune(cents(a/440), p.in(1, 12, every)...)
		h := p.hear(finding.Options{A4: a})
		assert.Empty(t, told(h), "%g", a)
		assert.InDelta(t, a, h.HeardA, 0.3)
		for _, n := range h.Notes {
			assert.Equal(t, n.MIDI, *n.HeardMIDI)
		}
	}
	for _, a := range []float64{391, 467, -1} {
		p := play(t, harbour)
		_, err := finding.Judge(p.piece, p.heard(), finding.Options{A4: a})
		assert.Error(t, err)
	}
}

func TestAWrongNoteAgainstAnotherReference(t *testing.T) {
	p := play(t, harbour)
	p.detune(cents(415.0/440), p.in(1, 12, every)...)
	p.detune(-200, p.at("4:2"))
	f := only(t, p.hear(finding.Options{A4: 415}), finding.WrongNote, "4")
	assert.Equal(t, -2.0, f.Value)
}

func TestTheReferenceHoldsWhenHalfOfTheStoppedNotesAreDisplaced(t *testing.T) {
	for _, off := range []float64{-45, -30, 30, 45} {
		p := play(t, harbour)
		all := len(p.in(1, 12, p.stopped))
		displaced := append(p.in(3, 3, p.stopped), p.in(8, 11, p.stopped)...)
		require.InDelta(t, all/2, len(displaced), 2)
		p.detune(off, displaced...)
		h := p.listen()
		kind := "sharp_after_shift "
		if off < 0 {
			kind = "flat_after_shift "
		}
		assert.Equal(t, []string{kind + "3", kind + "8-11"}, told(h), "%v", off)
		assert.InDelta(t, 440, h.HeardA, 0.5)
	}
}

const noOpenStrings = header + `
"I"!1!A, !4!B, !1!A, !4!B, | !1!E, !4!F, !1!E, !4!F, | "III"!1!C !4!D !1!C !4!D | !4!D !1!C !4!D !1!C | "I"!1!A, !4!B, !1!E, !4!F, | "III"!1!C !4!D !4!D !1!C |]
`

func TestWhereTwoReferencesFitEquallyTheTrustIsNotSure(t *testing.T) {
	p := play(t, noOpenStrings)
	p.detune(40, append(p.in(3, 4, p.stopped), p.in(6, 6, p.stopped)...)...)
	h := p.listen()
	require.NotEmpty(t, h.Findings, "either hand may be the displaced one")
	for _, f := range h.Findings {
		assert.Equal(t, dsp.NotSure, f.Trust, "%s %s", f.Kind, f.Text)
	}
}

func TestOneStringOutIsOneTuningFinding(t *testing.T) {
	for _, off := range []float64{-20, 20, 30} {
		p := play(t, harbour)
		d := p.in(1, 12, p.onString(2))
		require.GreaterOrEqual(t, len(d), 8)
		p.detune(off, d...) // the open D and what is stopped on it
		f := only(t, p.listen(), finding.Tuning, "1-12")
		assert.InDelta(t, off, f.Value, 2)
		assert.Contains(t, f.Text, "D string")
	}
}

func TestAnEarThatMendsAStringOutIsNotBlamed(t *testing.T) {
	p := play(t, harbour)
	p.detune(-20, p.in(1, 12, func(i int) bool { return p.onString(2)(i) && p.open(i) })...)
	f := only(t, p.listen(), finding.Tuning, "1-12")
	assert.InDelta(t, -20, f.Value, 2)
}

func TestAStopOnAStringOutIsJudgedWithThatKnown(t *testing.T) {
	p := play(t, harbour)
	p.detune(-20, p.in(1, 12, p.onString(2))...)
	p.detune(-40, p.at("5:2"))
	h := p.listen()
	require.Equal(t, []string{"tuning 1-12", "flat 5"}, told(h))
	assert.InDelta(t, -40, h.Findings[1].Value, 2, "against its own string")
}

// The degrees of a major and a minor scale in just intonation, as ratios to the
// tonic (five-limit; H. Helmholtz, "On the Sensations of Tone", from memory).
var justRatios = map[int]float64{0: 1, 2: 9. / 8, 3: 6. / 5, 4: 5. / 4, 5: 4. / 3, 7: 3. / 2, 8: 8. / 5, 9: 5. / 3, 11: 15. / 8}

// pythagorean stacks pure fifths: from the minor second, five below the tonic,
// to the augmented fourth, six above.
func pythagorean() map[int]float64 {
	r := map[int]float64{}
	for k := -5; k <= 6; k++ {
		x := math.Pow(1.5, float64(k))
		for x < 1 {
			x *= 2
		}
		for x >= 2 {
			x /= 2
		}
		r[((7*k)%12+12)%12] = x
	}
	return r
}

func TestJustAndPythagoreanIntonationKeepTheirRatiosToTheTonic(t *testing.T) {
	const scale = `X:1
M:4/4
L:1/4
Q:1/4=80
K:%KEY
%LINE`
	for name, c := range map[string]struct {
		key, line string
		tonic     int
		in        finding.Intonation
		ratios    map[int]float64
	}{
		"just G major":        {"G", "G,A,B,C|DEFG|FEDC|B,A,G,F,|E,D,G,2|]", 7, finding.Just, justRatios},
		"just E minor":        {"Em", "E,F,G,A,|B,C^DE|E^DCB,|A,G,F,E,|B,,E,E,2|]", 4, finding.Just, justRatios},
		"just B flat":         {"Bb", "B,,C,D,E,|F,G,A,B,|A,G,F,E,|D,C,B,,A,,|B,,4|]", 10, finding.Just, justRatios},
		"Pythagorean D major": {"D", "D,E,F,G,|A,B,CD|CB,A,G,|F,E,D,C,|D,^D,E,^E,|^G,^A,D,2|]", 2, finding.Pythagorean, pythagorean()},
		"Pythagorean A minor": {"Am", "A,,B,,C,D,|E,F,^G,A,|A,G,F,E,|D,C,B,,A,,|A,,4|]", 9, finding.Pythagorean, pythagorean()},
	} {
		t.Run(name, func(t *testing.T) {
			p := play(t, replace(scale, "%KEY", c.key, "%LINE", c.line))
			for i, e := range p.line {
				degree := ((e.MIDI-c.tonic)%12 + 12) % 12
				require.Contains(t, c.ratios, degree)
				p.detune(cents(c.ratios[degree])-100*float64(degree), i)
			}
			h := p.hear(finding.Options{Intonation: c.in, Level: finding.Advanced})
			for _, f := range h.Findings { // where the tonic lies against A is another matter
				assert.Equal(t, finding.Tuning, f.Kind, f.Text)
			}
			for _, n := range h.Notes {
				assert.InDelta(t, 0, *n.Cents, 0.2, "measure %s beat %g", n.Measure, n.Beat)
			}
		})
	}
}

func TestOneIntonationIsAFaultInAnother(t *testing.T) {
	p := play(t, harbour)
	for i, e := range p.line {
		degree := ((e.MIDI-7)%12 + 12) % 12
		p.detune(cents(justRatios[degree])-100*float64(degree), i)
	}
	assert.Empty(t, told(p.hear(finding.Options{Intonation: finding.Just, Level: finding.Advanced})))
	h := p.hear(finding.Options{Intonation: finding.Pythagorean, Level: finding.Advanced})
	assert.NotEmpty(t, told(h), "a just third lies 22 cents below a Pythagorean one")
}

func TestWhatTheRecordingLeavesInDoubtIsSaid(t *testing.T) {
	t.Run("clipped", func(t *testing.T) {
		p := play(t, harbour)
		p.clipped = 0.1
		f := only(t, p.listen(), finding.NotSure, "1-12")
		assert.Contains(t, f.Text, "clipped")
		assert.Equal(t, dsp.NotSure, f.Trust)
	})
	t.Run("noisy", func(t *testing.T) {
		p := play(t, harbour)
		p.floor = -28
		f := only(t, p.listen(), finding.NotSure, "1-12")
		assert.Contains(t, f.Text, "loud")
	})
	t.Run("soft", func(t *testing.T) {
		p := play(t, harbour)
		p.floor = -90
		for k := range p.sounds {
			p.sounds[k].level = -62
		}
		f := only(t, p.listen(), finding.NotSure, "1-12")
		assert.Contains(t, f.Text, "soft")
	})
}
