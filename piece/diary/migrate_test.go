package diary

import (
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
	_, err = os.Stat(path + ".version-1")
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
	assert.Contains(t, err.Error(), path+".version-1")
	require.NoError(t, wholeFile(path+".version-1"), "the copy of the old file is whole")
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
	if os.Geteuid() == 0 {
		t.Skip("root may write everywhere")
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
