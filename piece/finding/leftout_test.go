package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/piece/finding"
)

func TestMeasuresThatThePlayerWentPastAreOneFinding(t *testing.T) {
	p := play(t, harbour)
	p.leaveOut(p.in(4, 6, every)...).putOff(-12, "7:1")
	f := only(t, p.listen(), finding.LeftOut, "4-6")
	assert.Equal(t, 3.0, f.Value)
	assert.Equal(t, "Measures 4 to 6 were left out: you went on behind them.", f.Text)
}

func TestMeasuresThatTimeWasLeftForAreMissing(t *testing.T) {
	p := play(t, harbour)
	only(t, p.leaveOut(p.in(5, 5, every)...).listen(), finding.Missing, "5")
}

const twoParts = header + `
|: "I"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | !4!B, !1!A, G,2 :|
|: D, !1!E, !4!F, !1!E, | A,, !1!B,, !2!C, D, | !1!E, !4!F, G,2 :|
`

func TestARepeatNotTakenIsARemarkAndNoFault(t *testing.T) {
	for _, c := range []struct {
		left [2]int // measures of the second time round that are not played
		off  float64
		next string
		said string
	}{{[2]int{1, 3}, -12, "4:1", "The repeat of measures 1 to 3 was not taken."}, {[2]int{4, 6}, 0, "", "The repeat of measures 4 to 6 was not taken."}} {
		p := play(t, twoParts)
		p.leaveOut(p.in(c.left[0], c.left[1], func(i int) bool { return p.line[i].Pass == 2 })...)
		if c.next != "" {
			p.putOff(c.off, c.next)
		}
		h := p.listen()
		assert.Empty(t, h.Findings)
		assert.Contains(t, h.Remarks, c.said)
	}
}
