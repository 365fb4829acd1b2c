package diary_test

import (
	"bytes"
	"compress/zlib"
	"database/sql"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/diary"
)

// sounding is a take with its sound.
func sounding(t testing.TB, player, sound string) diary.Take {
	t.Helper()
	take := played(t, player, monday, 28)
	take.Content, _ = diary.SoundContent(strings.NewReader(sound))
	take.Sound = &diary.Sound{Name: "take.wav", Size: int64(len(sound)), Data: strings.NewReader(sound)}
	return take
}

func exported(t testing.TB, d *diary.Diary, folder string) {
	t.Helper()
	unread, err := d.Export(folder)
	require.NoError(t, err)
	require.Zero(t, unread)
}

// changed lets SQL change a diary that is closed, as whoever sends one may.
func changed(t testing.TB, path string, queries ...string) {
	t.Helper()
	raw, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	defer raw.Close()
	for _, q := range queries {
		_, err = raw.Exec(q)
		require.NoError(t, err, q)
	}
}

// neighbours are files beside a diary that no diary may touch.
func neighbours(t testing.TB, d *diary.Diary) (there func() int) {
	t.Helper()
	folder := filepath.Join(filepath.Dir(d.Path()), "vic")
	require.NoError(t, os.Mkdir(folder, 0o700))
	for _, name := range []string{"letter.txt", "photo.jpg", "song.wav"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte("mine"), 0o600))
	}
	return func() int {
		left, err := os.ReadDir(folder)
		require.NoError(t, err)
		return len(left)
	}
}

var noSounds = []string{"../vic/*", "../vic/letter", "*", "", "?", strings.Repeat("a", 63), strings.Repeat("A", 64), strings.Repeat("a", 60) + "/../"}

func TestAForeignExportNamesNoFileButSound(t *testing.T) {
	from := open(t)
	take := sounding(t, "Mina", "a sound")
	add(t, from, take)
	for _, content := range noSounds {
		d := open(t)
		there := neighbours(t, d)
		for _, only := range []string{"diary.json", "takes.csv"} {
			out := filepath.Join(t.TempDir(), "out")
			exported(t, from, out)
			if only == "takes.csv" {
				require.NoError(t, os.Remove(filepath.Join(out, "diary.json")))
			}
			text, err := os.ReadFile(filepath.Join(out, only))
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(filepath.Join(out, only), bytes.ReplaceAll(text, []byte(take.Content), []byte(content)), 0o600))
			_, err = d.Import(out)
			assert.Error(t, err, content)
			players, err := d.Players()
			require.NoError(t, err)
			assert.Empty(t, players, "nothing of it is read")
		}
		assert.Equal(t, 3, there(), content)
	}
}

func TestADiaryThatNamesOtherFilesIsNotOpened(t *testing.T) {
	for _, content := range noSounds {
		d := open(t)
		add(t, d, sounding(t, "Mina", "a sound"))
		require.NoError(t, d.Close())
		changed(t, d.Path(), `UPDATE takes SET content = '`+content+`'`)
		_, err := diary.Open(d.Path())
		if assert.ErrorContains(t, err, d.Path()+": ") {
			assert.ErrorContains(t, err, "SHA-256")
		}
	}
	d := open(t)
	add(t, d, sounding(t, "Mina", "a sound"))
	require.NoError(t, d.Close())
	changed(t, d.Path(), `UPDATE takes SET sound = '.w/../../vic/letter.txt'`)
	_, err := diary.Open(d.Path())
	assert.ErrorContains(t, err, "SHA-256")
}

// A diary may be changed while it is open: what is removed is looked at again.
func TestNothingButSoundIsEverRemoved(t *testing.T) {
	for _, content := range noSounds {
		d := open(t)
		there := neighbours(t, d)
		first := add(t, d, sounding(t, "Mina", "a sound"))
		add(t, d, sounding(t, "Ole", "another sound"))
		changed(t, d.Path(), `UPDATE takes SET content = '`+content+`' WHERE player = 1`)
		_, _ = d.RemoveTake("Mina", first.Take)
		_, _ = d.Forget("Mina")
		limit := int64(1)
		_, _ = d.KeepSound("Ole", nil, &limit)
		_, _ = d.Add(sounding(t, "Ines", "a third sound"))
		assert.Equal(t, 3, there(), content)
		_ = diary.Remove(d.Path())
		assert.Equal(t, 3, there(), content)
	}
}

func TestOnlyTheSoundThatTakesWereHeardInIsReadBack(t *testing.T) {
	from := open(t)
	take := sounding(t, "Mina", "a sound")
	add(t, from, take)
	require.NoError(t, os.WriteFile(filepath.Join(from.Sounds(), strings.Repeat("b", 64)+".wav"), []byte("of no take"), 0o600))
	out := filepath.Join(t.TempDir(), "out")
	exported(t, from, out)
	sounds, err := os.ReadDir(filepath.Join(out, "sounds"))
	require.NoError(t, err)
	require.Len(t, sounds, 1)
	kept := filepath.Join(out, "sounds", sounds[0].Name())

	require.NoError(t, os.WriteFile(filepath.Join(out, "sounds", "program.exe"), []byte("of no take"), 0o600))
	d := open(t)
	_, err = d.Import(out)
	require.NoError(t, err)
	names, err := os.ReadDir(d.Sounds())
	require.NoError(t, err)
	require.Len(t, names, 1)
	assert.Equal(t, take.Content+".wav", names[0].Name())

	require.NoError(t, os.WriteFile(kept, []byte("another sound"), 0o600))
	_, err = open(t).Import(out)
	assert.ErrorContains(t, err, kept)

	require.NoError(t, os.Remove(kept))
	d = open(t)
	soundless, err := d.Import(out)
	require.NoError(t, err)
	assert.Equal(t, 1, soundless)
	_, err = d.Check()
	assert.NoError(t, err)
}

// Other programs order and space JSON otherwise.
func TestAnExportWrittenAgainByAnotherProgramIsTheSameDiary(t *testing.T) {
	from := open(t)
	take := played(t, "Ole\u00e9 <\"first\">", monday, 28)
	take.Hearing.Landings[0].SettleMS = nil
	add(t, from, take)
	add(t, from, played(t, "Mina", monday, 20))
	out := filepath.Join(t.TempDir(), "out")
	exported(t, from, out)
	file := filepath.Join(out, "diary.json")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	var spaced bytes.Buffer
	require.NoError(t, json.Indent(&spaced, text, " ", "  "))
	var all any
	require.NoError(t, json.Unmarshal(text, &all))
	ordered, err := json.Marshal(all)
	require.NoError(t, err)
	require.True(t, bytes.HasPrefix(ordered, []byte(`{"tables"`)), "by name")
	for what, again := range map[string][]byte{"spaced": spaced.Bytes(), "ordered": ordered} {
		require.NoError(t, os.WriteFile(file, again, 0o600))
		d := open(t)
		_, err := d.Import(out)
		require.NoError(t, err, what)
		_, err = d.Check()
		require.NoError(t, err, what)
		assert.Equal(t, dump(t, from), dump(t, d), what)
		groups, _, err := weeksOf(t, d, "Mina").Landings()
		require.NoError(t, err)
		assert.Len(t, groups, 1)
	}
}

func TestWhatACheckWouldRefuseIsNotReadBack(t *testing.T) {
	from := open(t)
	add(t, from, played(t, "Mina", monday, 28))
	for what, change := range map[string][2]string{
		"a note lost":             {`"midi":[`, `"midi":[33,`},
		"a landing of nowhere":    {`{"shift":[1]`, `{"shift":[77]`},
		"a take counted twice":    {`"counted": 1`, `"counted": 2`},
		"a table that is not one": {`"settings": [`, `"settings": [{"name": "sound_limit", "value": "much"}`},
		"a piece longer":          {`"size": `, `"size": 1`},
	} {
		out := filepath.Join(t.TempDir(), "out")
		exported(t, from, out)
		file := filepath.Join(out, "diary.json")
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		require.Contains(t, string(text), change[0], what)
		require.NoError(t, os.WriteFile(file, bytes.Replace(text, []byte(change[0]), []byte(change[1]), 1), 0o600))
		d := open(t)
		_, err = d.Import(out)
		if assert.Error(t, err, what) {
			assert.Contains(t, err.Error(), out, what)
			assert.NotContains(t, err.Error(), "\n")
		}
		players, err := d.Players()
		require.NoError(t, err)
		assert.Empty(t, players, what)
	}
}

// Six megabytes of nothing may stand for six gigabytes.
func TestNothingIsInflatedBeyondWhatATakeMayBe(t *testing.T) {
	var packed bytes.Buffer
	w := zlib.NewWriter(&packed)
	for range 100 {
		_, err := w.Write(make([]byte, 1<<20))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	for _, where := range []string{"copies SET file = ?1, size = ?2", "hearings SET notes = ?1, notes_size = ?2"} {
		d := open(t)
		a := add(t, d, sounding(t, "Mina", "a sound"))
		raw, err := sql.Open("sqlite", d.Path())
		require.NoError(t, err)
		_, err = raw.Exec("UPDATE "+where, packed.Bytes(), 100<<20)
		require.NoError(t, err)
		require.NoError(t, raw.Close())
		_, err = d.Check()
		assert.ErrorContains(t, err, "more than any take", where)
		if strings.HasPrefix(where, "copies") {
			kept, err := d.KeptBefore(2, "")
			require.NoError(t, err)
			require.Len(t, kept, 1)
			_, err = d.CopyOf(a.Take)
			assert.ErrorContains(t, err, d.Path()+": ")
		}
	}
}

// A diary whose file is whole may still say what cannot be: whatever reads it says so,
// and names the ways out.
func TestADiaryThatIsSpoiledIsToldByWhateverReadsItWithTheWayOut(t *testing.T) {
	read := map[string]func(d *diary.Diary) error{
		"check": func(d *diary.Diary) error { _, err := d.Check(); return err },
		"takes": func(d *diary.Diary) error { _, err := d.Takes(diary.Span{Player: "Mina"}); return err },
		"weeks": func(d *diary.Diary) error {
			w, err := d.Weeks(diary.Span{Player: "Mina"})
			if err == nil {
				_, _, err = w.Landings()
			}
			if err == nil {
				_, err = w.Measures()
			}
			if err == nil {
				_, err = w.Tunings()
			}
			return err
		},
		"add": func(d *diary.Diary) error {
			_, err := d.Add(played(t, "Mina", monday.AddDate(0, 0, 9), 20))
			return err
		},
	}
	for change, sees := range map[string]string{
		`UPDATE hearings SET notes = x'00' WHERE take = 2`:                                                "check add",
		`UPDATE digests SET landings = '{"shift": [1]}' WHERE hearing = 2`:                                "check weeks",
		`UPDATE digests SET measures = '{' WHERE hearing = 2`:                                             "check weeks",
		`UPDATE digests SET open_strings = '{' WHERE hearing = 2`:                                         "check weeks",
		`UPDATE digests SET landings = replace(landings, '"shift":[1]', '"shift":[9]') WHERE hearing = 2`: "check weeks",
		`DELETE FROM digests WHERE hearing = 2`:                                                           "check takes weeks",
		`UPDATE hearings SET counted = 0 WHERE id = 2`:                                                    "check takes weeks",
	} {
		d := open(t)
		add(t, d, played(t, "Mina", monday, 28))
		add(t, d, played(t, "Mina", monday.AddDate(0, 0, 1), 20))
		require.NoError(t, d.Safeguard(monday))
		changed(t, d.Path(), change)
		for what, how := range read {
			err := how(d)
			if !strings.Contains(sees, what) {
				continue
			}
			if assert.Error(t, err, "%s: %s", change, what) {
				for _, way := range []string{d.Path() + ": ", d.Path() + ".good", "endpin diary export", "damaged"} {
					assert.Contains(t, err.Error(), way, "%s: %s", change, what)
				}
			}
		}
		changed(t, d.Path(), `PRAGMA foreign_keys = 1; DELETE FROM takes WHERE id > 2`)
		out := filepath.Join(t.TempDir(), "out")
		unread, err := d.Export(out)
		require.NoError(t, err, change)
		assert.Equal(t, 1, unread, change)
		again := open(t)
		_, err = again.Import(out)
		require.NoError(t, err, change)
		is, err := again.Check()
		require.NoError(t, err, change)
		assert.Equal(t, 1, is.Takes, change)
	}
}
