package practice

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/words/pseudo"
)

// round is a take of some of an outline's notes in which all is in place, but one note.
func round(o *outline.Outline, at int, change func(*finding.Note), findings ...finding.Finding) *finding.Hearing {
	h := &finding.Hearing{Level: "intermediate", TempoAsked: 60, TempoHeard: 60, HeardATrust: dsp.Sure, HeardASD: 2, Findings: findings}
	for i, e := range o.Line {
		cents, late, held, midi := 0.0, 0.0, 0.95, e.MIDI
		n := finding.Note{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, MIDI: e.MIDI, HeardMIDI: &midi, Cents: &cents, LateMS: &late, Held: &held,
			Finger: "1", Trust: dsp.Sure, State: finding.StatePlayed, Line: i}
		if i == at {
			change(&n)
		}
		h.Notes = append(h.Notes, n)
	}
	return h
}

const tenth = 10 // a note within measure 3 or so

func found(o *outline.Outline, k finding.Kind, value, let float64) finding.Finding {
	e := &o.Line[tenth]
	return finding.Finding{Kind: k, Measure: e.Number, ToMeasure: e.Number, Pass: e.Pass, Beat: e.Beat, Value: value, Tolerance: let, Trust: dsp.Sure, First: tenth, Last: tenth}
}

func begun(t *testing.T, o *outline.Outline, f finding.Finding) *Mending {
	t.Helper()
	a, ok := AimAt(o.Line, round(o, -1, nil), &f)
	require.True(t, ok)
	return Mend(a, o)
}

func TestARoundIsCleanWhereTheNoteIsSurelyInItsPlace(t *testing.T) {
	o := outlined(t, "mill_wheel.musicxml", outline.Options{})
	type change = func(*finding.Note)
	cents := func(x float64) change { return func(n *finding.Note) { *n.Cents = x } }
	for _, c := range []struct {
		aim    finding.Finding
		change change
		want   Verdict
		says   string
	}{
		{found(o, finding.Sharp, 31, 25), cents(8), Cleanly, "Was +31 cents, now +8 cents. 1 of 3 clean."},
		{found(o, finding.Sharp, 31, 25), cents(-30), Off, "Was +31 cents, now −30 cents. 0 of 3 clean."},
		{found(o, finding.Sharp, 31, 25), cents(23), Near, "Was +31 cents, now +23 cents: near, but not surely clean. 0 of 3 clean."},
		{found(o, finding.Late, 240, 100), func(n *finding.Note) { *n.LateMS = 40 }, Cleanly, "Was +240 ms, now +40 ms. 1 of 3 clean."},
		{found(o, finding.Late, 240, 100), func(n *finding.Note) { n.Trust = dsp.Fair }, Near, "Was +240 ms, now 0 ms: near, but not surely clean. 0 of 3 clean."},
		{found(o, finding.HeldShort, 0.5, 0.7), func(n *finding.Note) { *n.Held = 0.6 }, Off, ""},
		{found(o, finding.HeldShort, 0.5, 0.7), func(n *finding.Note) { *n.Held = 0.9 }, Cleanly, ""},
		{found(o, finding.WrongNote, 1, 0.5), func(n *finding.Note) { *n.HeardMIDI++ }, Off, "Was +1 semitone, now +1 semitone. 0 of 3 clean."},
		{found(o, finding.WrongNote, 1, 0.5), func(*finding.Note) {}, Cleanly, "Was +1 semitone, now the written note. 1 of 3 clean."},
		{found(o, finding.Sharp, 31, 25), func(n *finding.Note) { n.State, n.Cents = finding.StateMissing, nil }, Off, "The note itself was not heard. 0 of 3 clean."},
		{found(o, finding.WrongRhythm, 0.5, 0), func(*finding.Note) {}, Cleanly, "Clean this time. 1 of 3 clean."},
	} {
		m := begun(t, o, c.aim)
		r := m.Heard(o.Line, round(o, tenth, c.change))
		assert.Equal(t, c.want, r.Verdict, "%s: %s", c.aim.Kind, m.Say())
		if c.says != "" {
			assert.Equal(t, c.says, m.Say().String())
		}
	}
	plucked := round(o, tenth, func(n *finding.Note) { *n.Cents, n.Trust = 2, dsp.Fair })
	plucked.Plucked = true
	x := begun(t, o, found(o, finding.Sharp, 31, 25))
	assert.Equal(t, Near, x.Heard(o.Line, plucked).Verdict)
	assert.Equal(t, "Was +31 cents, now +2 cents, as near as a plucked note tells; with the bow it counts. 0 of 3 clean.", x.Say().String())
	x = begun(t, o, found(o, finding.Sharp, 45, 25))
	x.Level = finding.FirstYear.Name
	assert.Regexp(t, `^Work on this: too high in measure \d+\.$`, x.Say().String(), "as the page says it")
	for cents, says := range map[float64]string{44: "Still too high. 0 of 3 clean.", 32: "Still too high, but nearer than it was. 0 of 3 clean.", 3: "Was too high, now in tune. 1 of 3 clean."} {
		y := *x
		y.Heard(o.Line, round(o, tenth, func(n *finding.Note) { *n.Cents = cents }))
		assert.Equal(t, says, y.Say().String())
	}
	doubt := round(o, tenth, func(*finding.Note) {})
	doubt.HeardATrust = dsp.NotSure
	m := begun(t, o, found(o, finding.Sharp, 31, 25))
	assert.Equal(t, Near, m.Heard(o.Line, doubt).Verdict, "of what nobody can judge nothing is said")
	stop := found(o, finding.Stopped, 0, 0)
	assert.Equal(t, Near, m.Heard(o.Line, round(o, tenth, cents(3), stop)).Verdict, "stopping is no fault")
	assert.Zero(t, m.Clean())
}

func TestARoundHasNotesEnoughToBeJudged(t *testing.T) {
	o := outlined(t, "mill_wheel.musicxml", outline.Options{})
	for k := range o.Line {
		e := &o.Line[k]
		f := finding.Finding{Kind: finding.WrongNote, Measure: e.Number, ToMeasure: e.Number, Pass: e.Pass, Beat: e.Beat, Value: 1, Trust: dsp.Sure, First: k, Last: k}
		a, ok := AimAt(o.Line, round(o, -1, nil), &f)
		require.True(t, ok)
		assert.True(t, a.Spot.Holds(e.Measure))
		assert.GreaterOrEqual(t, notes(o.Line, a.Spot), leastNotes)
	}
}

func TestAMendingThatComesNearerIsNotStuck(t *testing.T) {
	o := outlined(t, "mill_wheel.musicxml", outline.Options{})
	play := func(cents ...float64) *Mending {
		m := begun(t, o, found(o, finding.Sharp, 60, 25))
		for _, c := range cents {
			m.Heard(o.Line, round(o, tenth, func(n *finding.Note) { *n.Cents = c }))
		}
		return m
	}
	assert.False(t, play(60, 60, 60, 60, 60).Stuck(), "five rounds are few")
	assert.True(t, play(60, 58, 61, 60, 57, 59).Stuck())
	assert.False(t, play(60, 55, 50, 45, 40, 35).Stuck())
	assert.False(t, play(60, 60, 60, 60, 60, 3).Stuck(), "one of them was clean")
	assert.False(t, play(60, 60, 60, 60, 60, 60, 60).Stuck(), "that was said a round ago")
}

func TestATwiceFailedJoinGoesBackToTheSpot(t *testing.T) {
	o := outlined(t, "mill_wheel.musicxml", outline.Options{})
	m := begun(t, o, found(o, finding.Sharp, 60, 25))
	spot := m.Range()
	play := func(cents float64) { m.Heard(o.Line, round(o, tenth, func(n *finding.Note) { *n.Cents = cents })) }
	for range Clean {
		play(2)
	}
	require.Equal(t, InJoin, m.Stage)
	assert.Equal(t, spot.First-1, m.Range().First)
	assert.Equal(t, spot.Last+1, m.Range().Last)
	play(50)
	assert.Equal(t, InJoin, m.Stage)
	play(50)
	assert.Equal(t, AtSpot, m.Stage)
	assert.Equal(t, spot, m.Range())
}

func TestWhatHoldsIsBroughtUpFromTheTempoOfTheWork(t *testing.T) {
	o := outlined(t, "mill_wheel.musicxml", outline.Options{})
	own := o.Measures[0].QPM
	for _, share := range []float64{1, 0.75, 1.5} { // of it, at which it was heard
		first := round(o, -1, nil)
		first.TempoAsked = share * own
		f := found(o, finding.Sharp, 60, 25)
		a, ok := AimAt(o.Line, first, &f)
		require.True(t, ok)
		m := Mend(a, o)
		last := min(1, share) * own
		assert.InDelta(t, mendShare*last, m.Tempo(), 0.5)
		m.Slower()
		tempo := m.Tempo()
		for k := 0; m.Stage < Mended; k++ {
			require.Less(t, k, 20)
			before, stage := m.Tempo(), m.Stage
			assert.LessOrEqual(t, before-tempo, climb*last+1, "no leap")
			tempo = before
			h := round(o, tenth, func(n *finding.Note) { *n.Cents = 2 })
			h.TempoAsked, h.TempoHeard = before, before
			m.Heard(o.Line, h)
			if m.Stage == stage && m.Tempo() > before {
				assert.Contains(t, m.Say().String(), "Now a little faster, ♩ = ")
			}
		}
		assert.InDelta(t, last, tempo, 0.5, "mended at the tempo at which it was heard")
	}
}

func TestEveryWordOfAMendingIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	o := outlined(t, "mill_wheel.musicxml", outline.Options{})
	for _, k := range finding.Kinds() {
		f := found(o, k, 200, 25)
		a, ok := AimAt(o.Line, round(o, -1, nil), &f)
		if !ok {
			assert.True(t, k.Row().About == finding.WholeTake || k.Row().Weight == 0, k)
			continue
		}
		for _, level := range []string{"first-year", "intermediate"} {
			a.Level = level
			reads := func(h *finding.Hearing) {
				m := Mend(a, o)
				assert.Empty(t, pseudo.Plain(m.Say().String()), k)
				for range 3 {
					m.Heard(o.Line, h)
					assert.Empty(t, pseudo.Plain(m.Say().String(), "ms"), m.Say().String())
				}
			}
			for _, cents := range []float64{-90, -30, 0, 30, 90} {
				reads(round(o, tenth, func(n *finding.Note) {
					*n.Cents, *n.LateMS, n.Trust = cents, 10*cents, []dsp.Trust{dsp.Sure, dsp.Fair}[int(cents+90)%2]
				}))
			}
			for _, other := range finding.Kinds() {
				reads(round(o, tenth, func(*finding.Note) {}, found(o, other, 0, 3)))
				reads(round(o, tenth, func(n *finding.Note) { n.State = finding.StateMissing }, found(o, other, 0, 3)))
			}
		}
	}
}
