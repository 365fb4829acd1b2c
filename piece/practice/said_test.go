package practice

import (
	"testing"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/words/pseudo"

	"github.com/stretchr/testify/assert"
)

func TestWhatAPlanSaysStandsInTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	heard := func(measures ...string) *finding.Hearing {
		h := &finding.Hearing{TempoHeard: 40}
		for _, m := range measures {
			h.Findings = append(h.Findings, finding.Finding{Measure: m, ToMeasure: m, Kind: finding.Late, Trust: dsp.Sure})
		}
		return h
	}
	keys := map[string]bool{}
	for _, name := range []string{"harbor_steps.musicxml", "mill_wheel.musicxml", "cart_track.abc", "ferry_bell.musicxml", "lamplight.musicxml"} {
		o := outlined(t, name, outline.Options{})
		for _, hearings := range [][]*finding.Hearing{nil, {heard()}, {heard("2", "9", "12")}, {heard("1"), heard("1", "12"), heard()}} {
			for _, minutes := range []int{10, 20, 30} {
				plan := For(o, Options{Minutes: minutes, Hearings: hearings})
				said := append([]string{plan.Caution}, plan.Changed...)
				for _, it := range plan.Items {
					said = append(said, it.Why)
					for _, s := range it.said {
						keys[s.Key] = true
					}
				}
				for _, s := range said {
					assert.Empty(t, pseudo.Plain(s, "VIII", "VII", "III"), s)
					assert.NotContains(t, s, "[", s)
					assert.NotContains(t, s, "<", s)
				}
			}
		}
	}
	assert.GreaterOrEqual(t, len(keys), 14, "%v", keys)
	b := BringUp{From: 60, To: 66, Floor: 58, FloorWhy: "—"}
	for _, tries := range []string{"ccccccc", "nnnnnn", "ccnncccncncnccccccc"} {
		s := b.Start()
		for _, c := range tries {
			s = b.Next(s, c == 'c')
			assert.NotEmpty(t, s.Said)
			assert.Empty(t, pseudo.Plain(s.Said), s.Said)
			assert.NotContains(t, s.Said, "[", s.Said)
		}
	}
	fewer := BringUp{From: 4, To: 8}
	s := fewer.Next(fewer.Next(fewer.Start(), false), false)
	assert.Empty(t, pseudo.Plain(s.Said), s.Said)
}
