package job

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
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
		_, err := WriteClass(t.Context(), out, &c, &HeardClass{Sheets: []*class.Sheet{class.Gather(c.Pieces[0].Piece, "", seats, results, nil)}}, ClassPages{})
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
