package classes

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/piece/class"
	"endpin/piece/finding"
)

// Each week's recordings lie in a folder of their own: last week is known from the diary alone.
func TestAStudentsPageTellsOfLastWeekWhereEachWeekHasAFolder(t *testing.T) {
	out := t.TempDir()
	monday := time.Date(2026, 11, 16, 17, 0, 0, 0, time.UTC)
	weeks, err := KeepWeeks(out, Weeks{Keep: true}, monday)
	require.NoError(t, err)
	remarks := &class.Remarks{}
	run := func(day int, sound string, by class.By, f ...finding.Finding) (class.Student, *class.Term) {
		c := folder(t)
		c.Pieces[0].Data = assets.DemoPiece
		require.NoError(t, os.WriteFile(filepath.Join(c.Folder, "Anna.wav"), []byte(sound), 0o600))
		p := c.Pieces[0].Piece
		line, _ := p.Line()
		h := &finding.Hearing{Level: "intermediate", Findings: f, WorthFixing: []int{}}
		onset := 1.0
		for _, e := range line {
			h.Notes = append(h.Notes, finding.Note{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, MIDI: e.MIDI, Onset: &onset, Trust: dsp.Sure, State: finding.StatePlayed})
		}
		played := Played{Result: class.Result{File: "Anna.wav", Hearing: h, At: monday.AddDate(0, 0, day).Add(123456), By: by}}
		sheet := class.Gather(p, "Stairs", []class.Seat{{Name: "Anna", Files: []string{"Anna.wav"}}}, []class.Result{played.Result}, nil)
		heard := &Heard{Sheets: []*class.Sheet{sheet}, Played: map[string]Played{"Anna.wav": played}}
		term, err := TermOf(out, &c, heard, weeks, remarks, "bass", monday.AddDate(0, 0, 20))
		require.NoError(t, err)
		return sheet.Students[0], term
	}
	sharp := func(cents float64) finding.Finding {
		return finding.Finding{Kind: finding.SharpAfterShift, Measure: "5", ToMeasure: "5", Pass: 1, Beat: 1, Trust: dsp.Sure, Notes: 1, Value: cents, Tolerance: 18}
	}
	late := finding.Finding{Kind: finding.Late, Measure: "9", ToMeasure: "9", Pass: 1, Beat: 1, Trust: dsp.Sure, Notes: 1, Value: 200, Tolerance: 100}
	first, _ := run(0, "one", class.ByName, sharp(37), late)
	assert.Empty(t, first.Moved)
	again, _ := run(0, "one", class.ByName, sharp(37), late)
	assert.Empty(t, again.Moved, "a take is not compared with itself")

	second, term := run(7, "two", class.ByName, sharp(24))
	says := "Better since last week, no longer told: late in measure 9; still told: sharp after shift in measure 5 (was +37 cents, now +24 cents)."
	assert.Equal(t, says, second.Moved)
	assert.Equal(t, says, term.Students[0].In("2026-11-23", "Stairs").Moved, "the sheet over all says the same")
	copied, _ := run(10, "two", class.ByFile, sharp(24))
	assert.Equal(t, says, copied.Moved, "a copy is the take that it was copied from")

	page := func(st class.Student) string {
		return (&class.Page{Name: st.Name, Parts: []class.Part{{Title: "Stairs", Student: &st}}}).Ident()
	}
	remarks.For("Anna").Strike(class.StrikeOf("Stairs", &late), true)
	struck, _ := run(7, "two", class.ByName, sharp(24))
	assert.Equal(t, "Still told since last week: sharp after shift in measure 5 (was +37 cents, now +24 cents).", struck.Moved, "what the teacher struck has not become better")
	assert.Equal(t, page(second), page(struck), "whoever has seen the page has seen this one")
}
