package classes

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/notation"
)

func TestThePageOfAStudentWhomTheRosterHasNamedSinceGoesAway(t *testing.T) {
	c := folder(t)
	out := filepath.Dir(c.Keep)
	require.NoError(t, os.MkdirAll(c.Keep, 0o700))
	write := func(results []class.Result, names ...string) {
		var seats []class.Seat
		for _, n := range names {
			seats = append(seats, class.Seat{Name: n, Files: []string{n + ".wav"}})
		}
		_, err := Write(t.Context(), out, &c, &Heard{Sheets: []*class.Sheet{class.Gather(c.Pieces[0].Piece, "", seats, results, nil)}}, Pages{})
		require.NoError(t, err)
	}
	heard := func(names ...string) (r []class.Result) {
		for _, n := range names {
			r = append(r, class.Result{File: n + ".wav", Hearing: &finding.Hearing{}})
		}
		return r
	}
	page := func(name string) string { return filepath.Join(out, name+".html") }

	write(heard("IMG 1", "IMG 2", "IMG 3"), "IMG 1", "IMG 2", "IMG 3")
	require.NoError(t, os.WriteFile(page("IMG 2"), []byte("a teacher's own words"), 0o600))
	require.NoError(t, os.WriteFile(page("letter"), []byte("none of ours"), 0o600))
	write(heard("Anna"), "Anna", "Ben")
	assert.FileExists(t, page("IMG 1"), "Ben was not heard yet: nothing goes away")
	write(heard("Anna", "Ben"), "Anna", "Ben")
	assert.NoFileExists(t, page("IMG 1"))
	assert.NoFileExists(t, page("IMG 3"))
	assert.FileExists(t, page("IMG 2"), "somebody has changed it")
	assert.FileExists(t, page("letter"))
	assert.FileExists(t, page("Anna"))
}

func TestNamesThatNoSystemAllowsStillMakePages(t *testing.T) {
	seats := []class.Seat{}
	results := []class.Result{}
	for i, n := range []string{"con", "Class", "Ann/../Lee", "ann lee", "…", "=1+1", "Zoë"} {
		file := string(rune('a'+i)) + ".wav"
		seats = append(seats, class.Seat{Name: n, Files: []string{file}})
		results = append(results, class.Result{File: file, Hearing: &finding.Hearing{}})
	}
	c := folder(t)
	pages := pageNames(class.PagesOf([]*piece.Piece{c.Pieces[0].Piece}, []*class.Sheet{class.Gather(c.Pieces[0].Piece, "", seats, results, nil)}))
	assert.Equal(t, map[string]string{"con": "con 2.html", "Class": "Class 2.html", "Ann/../Lee": "Ann Lee.html", "ann lee": "ann lee 2.html",
		"…": "student.html", "=1+1": "1 1.html", "Zoë": "Zoë.html"}, pages)
}

func TestAClassOnAnotherPieceLeavesTheFirstAlone(t *testing.T) {
	c := folder(t)
	out := filepath.Dir(c.Keep)
	c.Keep = ""
	require.NoError(t, c.Into(out, ""))
	heard := func(c *Class, names ...string) string {
		t.Helper()
		var seats []class.Seat
		var results []class.Result
		for _, n := range names {
			seats = append(seats, class.Seat{Name: n, Files: []string{n + ".wav"}})
			results = append(results, class.Result{File: n + ".wav", Hearing: &finding.Hearing{}})
		}
		require.NoError(t, os.MkdirAll(c.Keep, 0o700))
		done, err := Write(t.Context(), out, c, &Heard{Sheets: []*class.Sheet{class.Gather(c.Pieces[0].Piece, "", seats, results, nil)}}, Pages{})
		sheet := done.Sheet
		require.NoError(t, err)
		return sheet
	}
	heard(&c, "Anna", "Ben")
	page := filepath.Join(out, "Anna.html")
	before := stands(t, page)

	other := c
	p, err := notation.Read("other.abc", []byte("X:1\nT:Other\nL:1/4\nK:G clef=bass\nG,, A,, B,, C, |]\n"))
	require.NoError(t, err)
	other.Pieces = []Piece{{Piece: p, File: "other.abc"}}
	assert.ErrorContains(t, other.Into(out, ""), out)
	assert.Equal(t, before, stands(t, page))
	other.Outputs = &job.Outputs{Replace: true}
	assert.NoError(t, other.Into(out, ""))

	written := before[:200] + "A word of the teacher's." + before[200:]
	standing(t, page, written)
	table := filepath.Join(out, TableName)
	standing(t, table, stands(t, table)+"Anna,by hand\r\n")
	sheet := heard(&c, "Anna", "Ben")
	assert.Equal(t, written, stands(t, page), "what a teacher wrote stays")
	assert.FileExists(t, filepath.Join(out, "Anna 2.html"))
	assert.Contains(t, stands(t, sheet), "Anna%202.html", "and the sheet leads to the new page")
	assert.Contains(t, stands(t, table), "by hand")
	assert.FileExists(t, filepath.Join(out, "class 2.csv"))
	assert.Equal(t, filepath.Join(out, SheetName), sheet)
	assert.NoFileExists(t, filepath.Join(out, "Ben 2.html"))
}

func TestThePaperIsSaidOnce(t *testing.T) {
	c := folder(t)
	out := filepath.Dir(c.Keep)
	page := func(r *class.Remarks, paper string) string {
		sheet := class.Gather(c.Pieces[0].Piece, "", []class.Seat{{Name: "Anna", Files: []string{"a.wav"}}}, []class.Result{{File: "a.wav", Hearing: &finding.Hearing{}}}, nil)
		_, err := Write(t.Context(), out, &c, &Heard{Sheets: []*class.Sheet{sheet}}, Pages{Remarks: r, Paper: paper})
		require.NoError(t, err)
		return stands(t, filepath.Join(out, "Anna.html"))
	}
	assert.NotContains(t, page(&class.Remarks{}, ""), "@page { size:")
	said := &class.Remarks{}
	page(said, "A4")
	require.NoError(t, KeepRemarks(out, said))
	kept, err := RemarksIn(out)
	require.NoError(t, err)
	assert.Contains(t, page(kept, ""), "@page { size: A4; }", "also where the desk writes the pages")
	assert.Contains(t, page(kept, "Letter"), "@page { size: Letter; }")
}

// stands is what lies in a file, and standing puts it there.
func stands(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(data)
}

func standing(t *testing.T, path, text string) {
	t.Helper()
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
}
