package diary

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// older makes a diary of this version with a player in it, for a later to carry on.
func older(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "diary.db")
	d, err := Open(path)
	require.NoError(t, err)
	_, err = d.db.Exec(`INSERT INTO players (name) VALUES ('Mina')`)
	require.NoError(t, err)
	require.NoError(t, d.Close())
	return path
}

func TestAnOlderDiaryIsCarriedForward(t *testing.T) {
	path := older(t)
	d, err := open(path, append(append([]string{}, steps...), `ALTER TABLE players ADD COLUMN town TEXT NOT NULL DEFAULT 'Kiel'`))
	require.NoError(t, err)
	defer d.Close()
	var name, town string
	require.NoError(t, d.db.QueryRow(`SELECT name, town FROM players`).Scan(&name, &town))
	assert.Equal(t, "Mina Kiel", name+" "+town)
	_, err = os.Stat(path + fmt.Sprint(".version-", latest()))
	assert.ErrorIs(t, err, os.ErrNotExist, "the new one is whole: the old file goes")

	again, err := Open(path) // by the earlier program
	if err == nil {
		again.Close()
	}
	assert.ErrorContains(t, err, "later Endpin")
}

func TestADiaryThatCannotBeCarriedForwardStaysAsItWas(t *testing.T) {
	path := older(t)
	_, err := open(path, append(append([]string{}, steps...), `ALTER TABLE players ADD COLUMN town TEXT; UPDATE no_such_table SET x = 1`))
	require.Error(t, err)
	assert.Contains(t, err.Error(), path+": ")
	assert.Contains(t, err.Error(), path+fmt.Sprint(".version-", latest()))
	require.NoError(t, wholeFile(path+fmt.Sprint(".version-", latest())), "the copy of the old file is whole")
	d, err := Open(path)
	require.NoError(t, err)
	defer d.Close()
	var n int
	require.NoError(t, d.db.QueryRow(`SELECT count(*) FROM players`).Scan(&n))
	assert.Equal(t, 1, n)
	assert.Error(t, d.db.QueryRow(`SELECT town FROM players`).Scan(&n), "no half of a step stands")
}

func TestAFullDiskLosesNothingThatStood(t *testing.T) {
	path := older(t)
	d, err := Open(path)
	require.NoError(t, err)
	defer d.Close()
	d.db.SetMaxOpenConns(1)
	// A file that may not grow answers as a full disk does: SQLITE_FULL.
	var pages int
	require.NoError(t, d.db.QueryRow(`PRAGMA page_count`).Scan(&pages))
	_, err = d.db.Exec(`PRAGMA max_page_count = 1`) // SQLite takes the present size
	require.NoError(t, err)
	_, err = d.db.Exec(`INSERT INTO settings VALUES ('much', hex(randomblob(100000)))`)
	err = d.named(err)
	require.ErrorContains(t, err, "the disk is full")
	assert.Contains(t, err.Error(), path+": ")
	is, err := d.Check()
	require.NoError(t, err)
	assert.Equal(t, 1, is.Players)
}

func TestAFolderThatMayOnlyBeReadIsReadAndSaysSo(t *testing.T) {
	if os.Geteuid() == 0 { // who may write everywhere
		asNobody(t)
		return
	}
	path := older(t)
	require.NoError(t, os.Chmod(filepath.Dir(path), 0o500))
	defer os.Chmod(filepath.Dir(path), 0o700)
	d, err := Open(path)
	require.NoError(t, err)
	defer d.Close()
	players, err := d.Players()
	require.NoError(t, err)
	assert.Len(t, players, 1)
	yes := true
	_, err = d.KeepSound("Mina", &yes, nil)
	assert.ErrorContains(t, err, "may only be read")
}

// What version 1 kept in a row a landing, a measure and a string reads the same
// after it was carried forward, by whoever asks for it in SQL.
func TestADiaryOfVersionOneReadsTheSameAfterwards(t *testing.T) {
	path := filepath.Join(t.TempDir(), "diary.db")
	d, err := open(path, steps[:1])
	require.NoError(t, err)
	_, err = d.db.Exec(`
		INSERT INTO players VALUES (1, 'Mina', 0);
		INSERT INTO pieces VALUES (1, 'abc', 'Gate Song');
		INSERT INTO copies VALUES (1, 1, 'abc', 'gate.abc', '', x'00', 1);
		INSERT INTO shifts VALUES (1, 1, 1, '2', 2, 2, '1', '3', 3), (2, 1, 3, '4', 1, 2, '3', '1', -3);
		INSERT INTO takes VALUES (1, 1, 1, 1, 'aa', 1793550600000, 60, '2026-11-01', 0, 12.5, '', '', 0), (2, 1, 1, 1, 'bb', 1793637000000, 60, '2026-11-02', 0, 12.5, '', '', 0);
		INSERT INTO hearings SELECT id, id, 1, 1, 0, '{}', 'intermediate', 'equal', 18, 25, 100, 0.7, 8, 10, 440, 441.5, 80, 78.25, '[]', '[]', x'00', 0, 0 FROM takes;
		INSERT INTO landings VALUES (1, 1793550600000, 1, 0, 2, 1, 1, 28.5, 120, 78.2, 'open string', 0, 1, 0, 'sure', 3.75),
			(1, 1793550600000, 1, 1, 1, 1, 1, -3, NULL, 78.3, '', 1, 0, 1, 'not sure', 9.125);
		INSERT INTO measures VALUES (1, 0, '1', 4, 4, 0, 0), (1, 1, '2 "b"', 4, 3, 1, 2);
		INSERT INTO open_strings VALUES (1, 2, -1.5, 3), (1, 4, 2.25, 1);`)
	require.NoError(t, err)
	questions := []string{
		`SELECT player, at_ms, hearing, n, shift, counted, pass, cents, settle_ms, qpm, carried_by, plucked, marked, alternative, trust, at_s FROM landings ORDER BY hearing, n`,
		`SELECT * FROM measures ORDER BY hearing, printed`, `SELECT * FROM open_strings ORDER BY hearing, string`, `SELECT * FROM shift_landings ORDER BY measure`}
	ask := func(d *Diary) (all [][]any) {
		for _, q := range questions {
			rows, err := d.db.Query(q)
			require.NoError(t, err, q)
			cols, _ := rows.Columns()
			for rows.Next() {
				row, into := make([]any, len(cols)), make([]any, len(cols))
				for i := range row {
					into[i] = &row[i]
				}
				require.NoError(t, rows.Scan(into...))
				all = append(all, row)
			}
			require.NoError(t, rows.Err())
		}
		return all
	}
	before := ask(d)
	require.Len(t, before, 8)
	require.NoError(t, d.Close())
	d, err = Open(path)
	require.NoError(t, err)
	defer d.Close()
	assert.Equal(t, before, ask(d))
	w, err := d.Weeks(Span{Player: "Mina"})
	require.NoError(t, err)
	groups, _, err := w.Landings()
	require.NoError(t, err)
	require.Len(t, groups, 2)
	assert.Equal(t, []float64{-3, 28.5}, []float64{groups[0].Landings[0].Cents, groups[1].Landings[0].Cents})
	measures, err := w.Measures()
	require.NoError(t, err)
	assert.Len(t, measures, 2)
}
