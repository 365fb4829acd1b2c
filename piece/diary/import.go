package diary

import (
	"database/sql"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"endpin/piece/diary/exported"
	"endpin/piece/words"
)

// Import reads an export back into a diary that is still empty, whole or not at
// all: from diary.json where there is one, else from the CSV tables. The diary is
// then the same as the one exported, and what a check would refuse is not read.
// Takes whose sound the export no longer has stand without it; their number is given.
func (d *Diary) Import(folder string) (soundless int, err error) {
	var takes int
	if err := d.db.QueryRow(`SELECT count(*) FROM players`).Scan(&takes); err != nil {
		return 0, d.named(err)
	}
	if takes > 0 {
		return 0, d.named(words.Fault("diary.import.taken"))
	}
	info, err := os.Stat(folder)
	if err != nil {
		return 0, elsewhere(folder, err)
	}
	from := folder
	if !info.IsDir() {
		folder = filepath.Dir(folder)
	}
	var kept []*keeping
	defer func() {
		for _, k := range kept {
			k.undo()
		}
	}()
	err = d.write(func(tx *sql.Tx) error {
		if _, err := tx.Exec(`PRAGMA defer_foreign_keys = 1; DELETE FROM settings`); err != nil { // tables may stand in any order
			return err
		}
		if err := exported.Read(tx, from); err != nil {
			if p, is := err.(*fs.PathError); is {
				return elsewhere(p.Path, err)
			}
			return err
		}
		if _, err := tx.Exec(`DELETE FROM settings WHERE name GLOB 'leaving *'`); err != nil {
			return err
		}
		if _, err := looked(tx); err != nil {
			return words.Fault("diary.import.failed", "file", folder, "err", words.Told(err))
		}
		kept, soundless, err = d.importSounds(tx, filepath.Join(folder, exportSounds))
		return err
	})
	if err != nil {
		return 0, err
	}
	for _, k := range kept {
		if err := k.stands(); err != nil {
			return 0, err
		}
	}
	return soundless, nil
}

// importSounds keeps the sound of the takes just read. One that is not there is let go.
func (d *Diary) importSounds(tx *sql.Tx, from string) (kept []*keeping, missing int, err error) {
	sounds, err := openSoundsIn(from)
	if err != nil {
		return nil, 0, err
	}
	defer sounds.close()
	needed, err := wanted(tx)
	if err != nil {
		return nil, 0, err
	}
	for name := range needed {
		content, _, _ := strings.Cut(name, ".")
		in, err := sounds.open(name)
		if err != nil {
			missing++
			if _, err := tx.Exec(`UPDATE takes SET sound = '', sound_bytes = 0 WHERE content = ?`, content); err != nil {
				return kept, 0, err
			}
			continue
		}
		info, err := in.Stat()
		if err == nil && !sounds.holds(name, name) {
			err = words.Fault("diary.import.other-sound", "file", filepath.Join(from, name))
		}
		if err == nil {
			var k *keeping
			if k, err = d.keep(content, &Sound{Name: name, Size: info.Size(), Data: in}); err == nil {
				kept = append(kept, k)
			}
		}
		in.Close()
		if err != nil {
			return kept, 0, err
		}
	}
	return kept, missing, nil
}
