package fingerboard

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"endpin/piece"
	"endpin/piece/notation"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Tunes of our own with the positions and fingers a beginner's teacher pencils
// in: common practice, each written down before it was ever compared. The costs
// were chosen so as to agree with these.
var taught = map[string]string{
	"D major, into third and back": `D2 E2 F#2 G2  A2/1/p1 B2/4 C#3/p3/2 D3/4  D3 C#3 B2/p1/4 A2  G2 F#2 E2 -
		D2 A2 B2 C#3/p3/2  D3/4 - A2/p1/1 F#2  D2 - - -`,
	"G major, the upper half":  `G2 B2/p1/4 D3/p3/4 D3  C3/1 A2/p1/1 B2/4 G2  A2/1 C3/p3/1 D3/4 C3/1  B2/p1/4 A2/1 G2 -`,
	"F major, half position":   `F1/phalf/1 G1/4 A1 Bb1/1  C2/4 D2 E2/2 F2/4  F2 D2 C2 A1  Bb1 G1 F1 -`,
	"C major, second position": `C2/p1/2 E2/1 G2 C3/p2/4  B2/2 C3/4 A2/p1/1 G2  F2 E2 D2 B1  C2 - - -`,
	"A minor, down to half position": `A2/p1/1 B2/4 C3/p2/4 B2/2  A2/p1/1 G#2/phalf/1 A2/2 E2/2  D2 C2/4 B1/2 -
		A1 E2 A1 -`,
	"B-flat major": `Bb1/phalf/1 D2 F2/4 Bb2/4  A2/2 G2 F2/4 Eb2/1  D2 C2/4 Bb1/1 -
		Bb2/4 C3/p3/1 D3/4 C3/1  Bb2/p1/2 A2/1 F2/2 D2  Eb2/phalf/1 F2/4 Bb1/1 -`,
	"over open strings and rests": `G2 D3/p3/4 G2 D3/4  - - A2/p1/1 B2/4  G2 D2 C#3/p3/2 D3/4  B2/p1/4 G2 E2/1 -`,
	"E minor":                     `E2/p1/1 G2 B2/4 E3/p4/4  D3/1 B2/p1/4 A2/1 G2  F#2/4 D#2/phalf/1 E2/2 B1/2  E1 - - -`,
	"from third to first":         `D3/p3/4 C#3/2 D3/4 C#3/2  B2/p1/4 A2/1 G2 -  F#2/4 G2 A2/1 B2/4  C#3/p3/2 D3/4 - -`,
	"F major, up the chord":       `F2/p1/2 A2/1 C3/p3/1 D3/4  C3/1 A2/p1/1 F2/2 -  Bb2/2 A2/1 G2 A2/1  F2/2 - - -`,
	"repeated notes":              `D3/p3/4 D3 D3 -  B2/p1/4 B2 B2 -  G2 A2/1 B2/4 C#3/p3/2  D3/4 - - -`,
	"a drone between":             `G2 A2/p1/1 G2 D3/p3/4  G2 C3/1 G2 B2/p1/4  A2/1 D2 E2/1 F#2/4  G2 - - -`,
	"G major, C and D on top":     `D2 G2 B2/p1/4 D3/p3/4  C3/1 D3/4 B2/p1/4 G2  A2/1 F#2/4 D2 F#2/4  G2 - - -`,
	"A minor song":                `A1 E2/p1/1 A2/1 C3/p2/4  B2/2 A2/p1/1 G2 E2/1  F2/2 E2/1 D2 C2/2  B1/1 C2/2 A1 -`,
	"D minor":                     `D2 F2/p1/2 A2/1 D3/p3/4  C#3/2 D3/4 A2/p1/1 F2/2  G2 Bb2/2 A2/1 G2  F2/2 E2/1 D2 -`,
	"C major with rests":          `C2/p1/2 G2 E2/1 G2  C3/p2/4 - B2/2 -  A2/p1/1 G2 F2/2 E2/1  D2 B1/1 C2/2 -`,
	"E-flat major": `Eb2/phalf/1 F2/4 G2 Ab2/1  Bb2/4 G2 Eb2/1 Bb1/1  C2/4 D2 Eb2/1 -
		Bb2/4 C3/p3/1 D3/4 Bb2/phalf/4  G2 F2/4 Eb2/1 -`,
	"up to E":                  `G2 B2/p1/4 D3/p3/4 E3/p4/4  D3/1 B2/p1/4 G2 D2  E2/1 F#2/4 G2 -`,
	"A major":                  `A1 C#2/p1/4 E2/1 A2/1  G#2/phalf/1 A2/2 B2/p1/4 C#3/p3/2  D3/4 C#3/2 B2/p1/4 A2/1  A2 E2/1 A1 -`,
	"coming back after a rest": `C#3/p3/2 D3/4 - -  D3/4 A2/p1/1 D2 -  E2/1 F#2/4 A2/1 D3/p3/4  - D2 - -`,
	"slurs":                    `C3/p3/1 D3/4/~ B2/p1/4 G2  A2/1 F#2/4/~ G2 -  B2/4 A2/1/~ C3/p3/1 D3/4/~  B2/p1/4 A2/1 G2 -`,

	// Six written later. Four of them showed that the costs left the hand too
	// readily in third for A on the D string, and so chose Costs.Aside.
	"G major, steps and leaps": `G2 A2/p1/1 B2/4 G2  D3/p3/4 C3/1 A2/p1/1 -  B2/4 D2 G2 B2/4  A2/1 F#2/4 G2 -
		E2/1 G2 C3/p2/4 B2/2  A2/p1/1 D3/p3/4 C#3/2 D3/4  B2/p1/4 G2 A2/1 F#2/4  G2 - - -`,
	"F major, high and then low": `F2/p1/2 A2/1 Bb2/2 A2/1  C3/p3/1 D3/4 C3/1 A2/p1/1  Bb2/2 G2 E2/1 C2/2  F2/2 - - -
		C2/phalf/4 Bb1/1 A1 G1/4  F1/1 A1 C2/4 F2/4  E2/2 D2 Bb1/1 C2/4  F1/1 - - -`,
	"B-flat major, up and home": `Bb1/phalf/1 F2/4 Bb2/4 A2/2  G2 Ab2/1 G2 F2/4  Eb2/1 G2 Bb2/4 C3/p3/1  D3/4 C3/1 D3/4 -
		Bb2/p1/2 A2/1 G2 D2  F2/2 A2/1 C3/p3/1 C3  Bb2/phalf/4 G2 Eb2/1 C2/4  Bb1/1 - - -`,
	"D minor, twice to the top": `D2 A2/p1/1 F2/2 A2/1  Bb2/2 A2/1 G2 E2/1  F2/2 G2 A2/1 D3/p3/4  C#3/2 D3/4 - -
		D3/4 C3/1 Bb2/p1/2 A2/1  G2 F2/2 E2/1 C#2/4  D2 A1 D2 -  Bb2/2 A2/1 C#3/p3/2 D3/4  A2/p1/1 F2/2 D2 -`,
	"D major with rests": `D3/p3/4 - A2/p1/1 -  F#2/4 A2/1 D3/p3/4 -  A2/p1/1 - G2 E2/1  F#2/4 D2 - -
		C#3/p3/2 D3/4 B2/p1/4 G2  A2/1 - D3/p3/4 C#3/2  D3/4 A2/p1/1 F#2/4 -  D2 - - -`,
	"G major up to E": `G2 D3/p3/4 B2/p1/4 G2  C3/p3/1 E3/p4/4 D3/1 B2/p1/4  A2/1 D3/p3/4 C3/1 A2/p1/1  G2 - - -
		E2/1 G2 B2/4 E3/p4/4  D3/1 B2/p1/4 A2/1 F#2/4  G2 - - -`,
}

// More such tunes, never used to choose a cost: eight written down after the
// costs were first settled, four after Costs.Aside had joined them, and four
// after the test pieces had chosen the rest.
var heldOut = map[string]string{
	"A minor up to D": `E2/p1/1 A2/1 B2/4 C3/p2/4  B2/2 C3/4 D3/p3/4 C3/1  A2/p1/1 B2/4 A2/1 -`,
	"D major chord":   `D2 F#2/p1/4 A2/1 D3/p3/4  D3 A2/p1/1 F#2/4 D2  C#3/p3/2 D3/4 B2/p1/4 G2  E2/1 D2 - -`,
	"F major up to C": `F1/phalf/1 A1 C2/4 F2/4  E2/2 D2 C2/4 Bb1/1  A1 G1/4 F1/1 -
		F2/4 A2/2 C3/p2/4 C3  Bb2/1 A2/p1/1 G2 E2/1  F2/2 - - -`,
	"G major from the bottom": `G1/p1/2 B1/1 D2 G2  B2/4 G2 D2 B1/1  C2/2 E2/1 A2/1 C3/p2/4  B2/2 G2 F#2/2 G2`,
	"B-flat major scale and back": `Bb1/phalf/1 C2/4 D2 Eb2/1  F2/4 G2 A2/2 Bb2/4  C3/p3/1 D3/4 C3/1 Bb2/phalf/4
		A2/2 G2 F2/4 Eb2/1  D2 C2/4 Bb1/1 -`,
	"E minor, half position below": `E2/p1/1 G2 B2/4 D3/p3/4  C3/1 B2/p1/4 A2/1 G2  F#2/4 E2/1 D#2/phalf/1 E2/2  B1/2 E1 - -`,
	"slurred pairs":                `D3/p3/4 C#3/2/~ B2/p1/4 A2/1/~  G2 A2/1/~ B2/4 C#3/p3/2/~  D3/4 - A2/p1/1 -  F#2/4 D2 - -`,
	"A major down and up":          `A2/p1/1 G#2/phalf/1 F#2/p1/4 E2/1  D2 C#2/4 B1/1 A1  C#2/4 E2/1 A2/1 C#3/p3/2  D3/4 C#3/2 A2/p1/1 -`,

	"G major, a march": `D2 G2 B2/p1/4 D3/p3/4  D3 C#3/2 D3/4 -  A2/p1/1 B2/4 G2 E2/1  D2 - - -
		G2 D3/p3/4 G2 D3/4  C3/1 D3/4 C3/1 A2/p1/1  F#2/4 A2/1 G2 -`,
	"F major, half and third": `F1/phalf/1 C2/4 F2/4 A2/2  G2 Bb2/4 A2/2 G2  F2/4 - C3/p3/1 D3/4  C3/1 D3/4 C3/1 -
		A2/p1/1 Bb2/2 A2/1 G2  F2/2 E2/1 D2 C2/2  F2/2 - - -`,
	"B-flat major, leaps": `F2/phalf/4 D2 Bb1/1 D2  F2/4 Bb2/4 A2/2 -  G2 Eb2/1 C2/4 Eb2/1  D3/p3/4 C3/1 D3/4 -
		Bb2/phalf/4 G2 A2/2 F2/4  D2 Bb1/1 C2/4 D2  Bb1/1 - - -`,
	"D minor, leaps": `A2/p1/1 F2/2 D2 F2/2  A2/1 D3/p3/4 C#3/2 D3/4  Bb2/p1/2 A2/1 G2 Bb2/2  A2/1 - - -
		G2 Bb2/2 D3/p3/4 C3/1  A2/p1/1 G2 E2/1 G2  F2/2 E2/1 C#2/4 E2/1  D2 - - -`,

	"G major, once more up": `B2/p1/4 G2 A2/1 D2  G2 B2/4 C3/p2/4 B2/2  A2/p1/1 G2 F#2/4 A2/1
		D3/p3/4 - C3/1 D3/4  B2/p1/4 G2 E2/1 C2/2  D2 F#2/4 G2 -`,
	"F major, from the top": `D3/p3/4 C3/1 Bb2/p1/2 A2/1  G2 F2/2 E2/1 C2/2  F2/2 A2/1 G2 C2/2  F2/2 - - -
		F1/phalf/1 A1 C2/4 A1  Bb1/1 D2 F2/4 D2  C2/4 E2/2 F2/4 -`,
	"B-flat major, three strings": `Bb1/phalf/1 C2/4 D2 Bb1/1  Eb2/1 F2/4 G2 Eb2/1  F2/4 A2/2 Bb2/4 -
		D3/p3/4 C3/1 D3/4 C3/1  Bb2/phalf/4 G2 A2/2 F2/4  Bb1/1 - - -`,
	"D minor, C-sharp below": `D2 E2/p1/1 F2/2 D2  A2/1 G2 F2/2 E2/1  D2 C#2/4 D2 -
		A2/1 D3/p3/4 - C#3/2  D3/4 - A2/p1/1 Bb2/2  A2/1 F2/2 D2 -`,
}

// The pieces of testdata with the shifts that a teacher pencils in: those that
// carry their own marks by those, the others by the places here, measure/beat
// and the position gone to, written down from the notes alone before Finger was
// asked: common practice, no source. C beside B or B-flat and without D is taken
// in second with 4; a slurred pair stays under one hand; a line that does not
// need half position begins in first. When first compared, 40 of 47 were found
// (and 44 shifts in all): the hand stayed in half position for a dozen measures so as to save
// a shift. Since then Costs.Shift is smaller, and Costs.Height counts half position too.
var pencilled = map[string]inPencil{
	"harbor_steps.musicxml":  {shifts: "5/3:2 5/4:1"},
	"low_tide.abc":           {shifts: "11/3:2 12/1:1"},
	"orchard_waltz.musicxml": {shifts: "12/1:2 12/3:1 15/3:half"},
	"mill_wheel.musicxml":    {shifts: "3/4:2 3/6:1 6/1:half 7/3:1 9/3:3 9/6:1 15/1:half 15/6:1"},
	"ferry_bell.musicxml":    {shifts: "15/1:2 15/3:half"},
	"stone_bridge.abc":       {shifts: "6/1:half 6/2:1 7/1:2 7/3:1 9/2:2 10/1:1"},
	"cart_track.abc":         {shifts: "9/6:half 11/2:1 11/4:2 12/1:1 14/1:3 15/3:1 17/6:half"},

	// These three are marked for a pupil who has met first and third position and
	// no other: where G-sharp lies under the first finger in half position, it is
	// taken in third on the D string, and C goes down to B from third, where all
	// A minor tunes of a pupil who knows second take both there. Neither the marks
	// nor the costs are wrong, they are of two pupils; so the pieces are fingered
	// as with --positions 1,3.
	"lamplight.musicxml":  {positions: []string{"1", "3"}},
	"two_places.musicxml": {positions: []string{"1", "3"}},
	// "Sul D" stays in this one: it is what the music asks, and no one could know it.
	"lantern_row.abc": {positions: []string{"1", "3"}, strings: true},
}

// inPencil is what a teacher wrote into a piece, and for whom.
type inPencil struct {
	shifts    string   // "measure/beat:position …"; empty where the file is marked
	positions []string // those that the pupil knows; empty for all
	strings   bool     // the strings in the file are the composer's and stay
}

// compared is one line as a teacher has it and as Finger has it. A shift is
// named by where it lands, "measure/beat", and maps to the position gone to.
type compared struct {
	marked, found map[string]string
	hand          string // the fingers found
}

func shiftsOf(line []piece.Expected, p Plan) map[string]string {
	to := map[string]string{}
	for _, s := range p.Shifts {
		n := line[s.Note]
		to[fmt.Sprintf("%s/%.4g", n.Number, n.Beat)] = s.To
	}
	return to
}

// rubbedOut is a line without the marks of the left hand.
func rubbedOut(line []piece.Expected, keepStrings bool) []piece.Expected {
	bare := slices.Clone(line)
	for i, n := range bare {
		bare[i].Marks = piece.Marks{Bow: n.Marks.Bow}
		if keepStrings {
			bare[i].Marks.String = n.Marks.String
		}
	}
	return bare
}

func compareTunes(t *testing.T, texts map[string]string) map[string]compared {
	all := map[string]compared{}
	for name, text := range texts {
		line := tune(t, text)
		marked := DoubleBass().Finger(line, Options{})
		require.Empty(t, marked.Contradictions, name)
		plain := DoubleBass().Finger(rubbedOut(line, false), Options{})
		all[name] = compared{shiftsOf(line, marked), shiftsOf(line, plain), fingers(plain)}
	}
	return all
}

func comparePieces(t *testing.T) map[string]compared {
	names, err := filepath.Glob("../../testdata/pieces/*.*[lc]") // .musicxml and .abc
	require.NoError(t, err)
	all := map[string]compared{}
	for _, path := range names {
		name := filepath.Base(path)
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		p, err := notation.Read(name, data)
		require.NoError(t, err)
		line, _ := p.Line()
		teacher, ok := pencilled[name]
		require.True(t, ok, "nobody has marked %s", name)
		marked := map[string]string{}
		for _, shift := range strings.Fields(teacher.shifts) {
			place, to, _ := strings.Cut(shift, ":")
			marked[place] = to
		}
		if teacher.shifts == "" {
			line = markedMeasures(line)
			plan := DoubleBass().Finger(line, Options{})
			require.Empty(t, plan.Contradictions, name)
			marked = shiftsOf(line, plan)
		}
		plain := DoubleBass().Finger(rubbedOut(line, teacher.strings), Options{Positions: teacher.positions, QPM: p.TempoAt(0, 0)})
		all[name] = compared{marked, shiftsOf(line, plain), fingers(plain)}
	}
	return all
}

// markedMeasures are those with a finger over some note: nobody has marked the others.
func markedMeasures(line []piece.Expected) []piece.Expected {
	byHand := map[int]bool{}
	for _, n := range line {
		byHand[n.Measure] = byHand[n.Measure] || n.Marks.Finger != ""
	}
	return slices.DeleteFunc(line, func(n piece.Expected) bool { return !byHand[n.Measure] })
}

// With the teacher's marks rubbed out, at least seventeen in twenty of the teacher's
// shifts are found on the same note, and at least seventeen in twenty of those found
// are the teacher's: in the tunes that chose the costs, in those that did not,
// and in the test pieces. The counts of each are logged. It was nine in ten while
// the hand moved as late as it could: these marks do, and slide by a semitone on
// the fourth finger for it. Now it moves where an open string gives it time, and
// avoids the slide; the lines of testdata/printed count for more than these tunes.
func TestAnUnmarkedTuneShiftsWhereATeacherMarks(t *testing.T) {
	t.Run("tunes that chose the costs", func(t *testing.T) { mostAgree(t, compareTunes(t, taught)) })
	t.Run("tunes held out", func(t *testing.T) { mostAgree(t, compareTunes(t, heldOut)) })
	t.Run("test pieces", func(t *testing.T) { mostAgree(t, comparePieces(t)) })
}

func mostAgree(t *testing.T, lines map[string]compared) {
	var marked, found, both, toPlace int
	for _, name := range slices.Sorted(maps.Keys(lines)) {
		c := lines[name]
		here := 0
		for place, to := range c.marked {
			at, ok := c.found[place]
			if ok {
				here++
			}
			if at == to {
				toPlace++
			}
		}
		marked, found, both = marked+len(c.marked), found+len(c.found), both+here
		t.Logf("%s: %d marked, %d found, %d on the same note: %s", name, len(c.marked), len(c.found), here, c.hand)
		if here < max(len(c.marked), len(c.found)) {
			t.Logf("  marked %v, found %v", c.marked, c.found)
		}
	}
	require.NotZero(t, marked)
	t.Logf("%d shifts marked, %d found, %d on the same note, %d of them to the same position", marked, found, both, toPlace)
	assert.GreaterOrEqual(t, float64(both), 0.85*float64(marked))
	assert.GreaterOrEqual(t, float64(both), 0.85*float64(found))
}

// No single cost decides: made a third smaller or greater, each leaves nine in
// ten of the shifts where they were.
func TestTheCostsNeedNotBeExact(t *testing.T) {
	in := DoubleBass()
	v := reflect.ValueOf(&in.System.Costs).Elem()
	for i := range v.NumField() {
		for _, factor := range []float64{2. / 3, 4. / 3} {
			in.System.Costs = DefaultCosts()
			v.Field(i).SetFloat(v.Field(i).Float() * factor)
			var before, same int
			for _, text := range taught {
				line := rubbedOut(tune(t, text), false)
				usual := shiftsOf(line, DoubleBass().Finger(line, Options{}))
				now := shiftsOf(line, in.Finger(line, Options{}))
				before += len(usual)
				for place := range usual {
					if now[place] != "" {
						same++
					}
				}
			}
			assert.GreaterOrEqual(t, float64(same), 0.9*float64(before), "%s × %.2f", v.Type().Field(i).Name, factor)
		}
	}
}
