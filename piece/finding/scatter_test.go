package finding_test

import (
	"math/rand"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/piece/finding"
)

// The design's figures for a clean take with a beginner's scatter (12 cents,
// 35 ms) at first-year: sure findings in at most 1 take of 50, any in 1 of 10.
func TestABeginnersScatterIsNoFault(t *testing.T) {
	bare := regexp.MustCompile(`![0-4]!|"I+"`)
	tunes := []string{harbour, eighths, rests, twoNoteFrame, bare.ReplaceAllString(harbour, "")}
	const seeds = 40
	takes, sure, any := 0, 0, 0
	byTune := make([]int, len(tunes))
	count := map[finding.Kind]int{}
	for k, tune := range tunes {
		for seed := range int64(seeds) {
			p := play(t, tune)
			scatter(p, rand.New(rand.NewSource(1000*int64(k)+seed)), 12, 35)
			h := p.hear(finding.Options{Level: finding.FirstYear})
			takes++
			surely := false
			for _, f := range h.Findings {
				surely = surely || f.Trust == dsp.Sure
				count[f.Kind]++
			}
			if surely {
				sure++
			}
			if len(h.Findings) > 0 {
				any++
				byTune[k]++
			}
		}
	}
	t.Logf("%d takes: a sure finding in %d, any in %d: %v; by tune %v", takes, sure, any, count, byTune)
	assert.LessOrEqual(t, sure*50, takes, "sure: %v", count)
	assert.LessOrEqual(t, any*10, takes, "any: %v", count)
}

// The same takes with one fault of one and a half times the tolerance: the
// scatter must not hide it (design: recall at least 0.95).
func TestAFaultOfOneAndAHalfTimesTheToleranceIsHeardThroughTheScatter(t *testing.T) {
	l := finding.FirstYear
	for name, c := range map[string]struct {
		plant func(p *player)
		kind  finding.Kind
		at    string
	}{
		"a sharp frame":     {func(p *player) { p.detune(1.5*l.Frame, p.in(6, 7, p.stopped)...) }, finding.SharpAfterShift, "6"},
		"a flat frame":      {func(p *player) { p.detune(-1.5*l.Frame, p.in(8, 11, p.stopped)...) }, finding.FlatAfterShift, "8"},
		"a sharp note":      {func(p *player) { p.detune(1.5*l.Note, p.at("5:3")) }, finding.Sharp, "5"},
		"a late note":       {func(p *player) { p.late(1.5*l.Onset, "6:2") }, finding.Late, "6"},
		"a half cut short":  {func(p *player) { p.hold(0.4, "7:3") }, finding.HeldShort, "7"},
		"a wrong note":      {func(p *player) { p.detune(200, p.at("5:2")) }, finding.WrongNote, "5"},
		"a note left out":   {func(p *player) { p.leaveOut(p.at("4:2")) }, finding.Missing, "4"},
		"a beat left out":   {func(p *player) { p.putOff(-1, "8:1") }, finding.WrongRhythm, "7"},
		"going back":        {func(p *player) { p.goBack("7:2", "5:1", 1) }, finding.Restarted, "5"},
		"a narrow hand":     {func(p *player) { p.detune(-1.5*l.Frame, p.in(1, 12, p.finger("4"))...) }, finding.NarrowHand, "1"},
		"the D string flat": {func(p *player) { p.detune(-1.5*l.Tuning, p.in(1, 12, p.onString(2))...) }, finding.Tuning, "1"},
	} {
		t.Run(name, func(t *testing.T) {
			const seeds = 20
			found, extra := 0, 0
			seen := map[finding.Kind]int{}
			for seed := range int64(seeds) {
				p := play(t, harbour)
				rng := rand.New(rand.NewSource(seed))
				scatter(p, rng, 6, 20) // a fault smaller than three deviations of the scatter could not be told from it
				c.plant(p)
				hit := false
				for _, f := range p.hear(finding.Options{Level: l}).Findings {
					if f.Kind == c.kind && f.Measure == c.at {
						hit = true
					} else {
						extra++
						seen[f.Kind]++
					}
				}
				if hit {
					found++
				}
			}
			assert.GreaterOrEqual(t, float64(found), 0.95*seeds, "heard in %d of %d", found, seeds)
			assert.LessOrEqual(t, float64(extra), 0.05*seeds, "beside it: %v", seen)
		})
	}
}
