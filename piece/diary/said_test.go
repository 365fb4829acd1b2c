package diary_test

import (
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/diary"
	"endpin/piece/words/pseudo"
)

func TestWhatADiarySaysStandsInTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	folder := t.TempDir()
	said := map[string]string{}
	tell := func(what string, err error) {
		require.Error(t, err, what)
		said[what] = err.Error()
	}
	in := func(name string) string { return filepath.Join(folder, name) }
	_, err := diary.OpenThere(in("none.db"))
	tell("no diary", err)
	_, err = diary.Open(folder)
	tell("a folder", err)
	_, err = diary.Open(in("none") + "/diary.db")
	tell("nowhere", err)
	require.NoError(t, os.WriteFile(in("text.db"), []byte(strings.Repeat("no diary ", 1000)), 0o600))
	_, err = diary.Open(in("text.db"))
	tell("another file", err)

	d := open(t)
	take := played(t, "Mina", monday, 28)
	add(t, d, take)
	again := take
	again.At, again.Dated = monday.Add(time.Hour), true
	refingered := played(t, "Mina", monday.Add(48*time.Hour), 20)
	refingered.Hearing.Notes[5].Position, refingered.Hearing.Notes[3].AfterShift = "2", true
	old := played(t, "Mina", time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC), 28)
	old.Now = monday
	early := played(t, "Mina", monday, 5)
	early.Now = monday.Add(-72 * time.Hour)
	for _, x := range []diary.Take{again, refingered, old, early} {
		warned := add(t, d, x).Warnings
		assert.NotEmpty(t, warned)
		said[strings.Join(warned, " ")] = strings.Join(warned, " ")
	}
	_, err = d.Add(played(t, "", monday, 28))
	tell("nobody", err)
	_, err = d.Forget("Otto")
	tell("no player", err)
	_, err = d.RemoveTake("Mina", 999)
	tell("no take", err)
	exported := in("export")
	_, err = d.Export(exported)
	require.NoError(t, err)
	_, err = d.Export(exported)
	tell("written over", err)
	_, err = d.Import(exported)
	tell("not empty", err)
	for what, text := range map[string]string{
		"no export": "[]", "a later one": `{"version": 99}`, "an earlier one": `{"version": 1}`, "another table": `{"version": 2, "tables": {"cats": []}}`,
		"no value": `{"version": 2, "tables": {"players": [{}]}}`, "no number": `{"version": 2, "tables": {"players": [{"id": "x", "name": "", "keep_sound": 0}]}}`,
	} {
		require.NoError(t, os.WriteFile(in("bad.json"), []byte(text), 0o600))
		_, err = open(t).Import(in("bad.json"))
		tell(what, err)
	}

	raw, err := sql.Open("sqlite", d.Path())
	require.NoError(t, err)
	defer raw.Close()
	for what, statement := range map[string]string{
		"notes": `UPDATE hearings SET notes = x'00'`, "a content": `UPDATE takes SET content = 'x' WHERE id = 1`, "a copy": `UPDATE copies SET size = 1`,
	} {
		_, err = raw.Exec(statement)
		require.NoError(t, err)
		_, err = d.Check()
		tell("spoiled: "+what, err)
		assert.Contains(t, err.Error(), "⟦", what)
	}
	_, err = raw.Exec(`PRAGMA user_version = 999`)
	require.NoError(t, err)
	_, err = d.Add(refingered)
	tell("a later program", err)
	_, err = diary.Open(d.Path())
	tell("a later diary", err)

	own := []string{d.Path(), folder, filepath.Dir(filepath.Dir(d.Path())), "text.db", "none.db", "none/diary.db", "export", "bad.json", "-wal", "-shm", "--diary", "--on",
		`"Otto"`, "Mina", `"cats"`, "players", "invalid character", "json:", "zlib: invalid header", "unexpected EOF", "strconv.ParseInt: parsing", "invalid syntax", "diary.db", "good"}
	for what, s := range said {
		assert.Empty(t, pseudo.Plain(s, own...), "%s: %s", what, s)
		assert.NotContains(t, s, "<no value>", what)
	}
}
