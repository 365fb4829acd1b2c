package fingerboard_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
)

func printedPieces(t *testing.T) map[string]*piece.Piece {
	t.Helper()
	files, err := filepath.Glob("../../testdata/pieces/*.*")
	require.NoError(t, err)
	pieces := map[string]*piece.Piece{}
	for _, file := range append(files, "../../assets/demo.musicxml") {
		if filepath.Ext(file) == ".md" {
			continue
		}
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		p, err := notation.Read(file, data)
		require.NoError(t, err)
		pieces[filepath.Base(file)] = p
	}
	require.GreaterOrEqual(t, len(pieces), 11)
	return pieces
}

func TestAMarkedPartIsFingeredAsItWasBeforeItWasMarked(t *testing.T) {
	bass := fingerboard.DoubleBass()
	for name, p := range printedPieces(t) {
		for _, o := range []fingerboard.Options{{}, {Positions: []string{"1", "3"}}, {NoOpenStrings: true}} {
			line, _ := p.Line()
			plan := bass.Finger(line, o)
			for _, how := range []fingerboard.Penciled{fingerboard.WhereTheHandMoves, fingerboard.EveryNote} {
				marked := bass.Marked(p, line, plan, o, how)
				again, _ := marked.Line()
				now := bass.Finger(again, fingerboard.Options{NoOpenStrings: o.NoOpenStrings, Positions: o.Positions})
				require.Len(t, now.Notes, len(plan.Notes), name)
				for i, f := range plan.Notes {
					if line[i].Pass > 1 || f.Off {
						continue
					}
					g := now.Notes[i]
					assert.Equal(t, []string{f.Finger, f.Position}, []string{g.Finger, g.Position}, "%s measure %s note %d, %v", name, line[i].Number, i, o)
					assert.Equal(t, f.String, g.String, "%s measure %s", name, line[i].Number)
				}
			}
		}
	}
}

func TestMarkingKeepsTheTeachersMarksAndLeavesThePieceAlone(t *testing.T) {
	bass := fingerboard.DoubleBass()
	for name, p := range printedPieces(t) {
		line, _ := p.Line()
		before := make([]piece.Marks, len(line))
		for i, e := range line {
			before[i] = p.Measures[e.Measure].Notes[e.Note].Marks
		}
		marked := bass.Marked(p, line, bass.Finger(line, fingerboard.Options{}), fingerboard.Options{}, fingerboard.EveryNote)
		for i, e := range line {
			assert.Equal(t, before[i], p.Measures[e.Measure].Notes[e.Note].Marks, name)
			m := marked.Measures[e.Measure].Notes[e.Note].Marks
			if b := before[i]; b.Finger != "" {
				assert.Equal(t, b.Finger, m.Finger, name)
			}
			if b := before[i]; b.Position != "" {
				assert.Equal(t, b.Position, m.Position, name)
			}
		}
	}
}

func TestATeacherPencilsFewerFingersThanThereAreNotes(t *testing.T) {
	bass := fingerboard.DoubleBass()
	p := printedPieces(t)["demo.musicxml"]
	for i := range p.Measures {
		for j := range p.Measures[i].Notes {
			p.Measures[i].Notes[j].Marks = piece.Marks{}
		}
	}
	line, _ := p.Line()
	plan := bass.Finger(line, fingerboard.Options{})
	marked := bass.Marked(p, line, plan, fingerboard.Options{}, fingerboard.WhereTheHandMoves)
	fingers := 0
	for _, e := range line {
		if marked.Measures[e.Measure].Notes[e.Note].Marks.Finger != "" {
			fingers++
		}
	}
	assert.Less(t, fingers, len(line)/2)
	for _, s := range plan.Spans() {
		e := line[s.First]
		assert.NotEmpty(t, marked.Measures[e.Measure].Notes[e.Note].Marks.Finger, "the finger that a hand frame begins with")
	}
}

func TestAFrameSpansFromItsFirstStoppedNoteToItsLast(t *testing.T) {
	bass := fingerboard.DoubleBass()
	p := printedPieces(t)["two_places.musicxml"]
	line, _ := p.Line()
	plan := bass.Finger(line, fingerboard.Options{})
	spans := plan.Spans()
	require.Len(t, spans, len(plan.Shifts)+1)
	for i, sh := range plan.Shifts {
		assert.Equal(t, sh.Note, spans[i+1].First)
		assert.Equal(t, sh.LastNote, spans[i+1].Last)
	}
}
