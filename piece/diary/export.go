package diary

import (
	"context"
	"database/sql"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"endpin/piece/diary/exported"
	"endpin/piece/words"
)

// exportSounds is the folder of an export that kept sound goes into.
const exportSounds = "sounds"

// Export writes everything into a new or empty folder, twice: as diary.json, and
// as one CSV table each. Kept sound goes into sounds. Takes that cannot be read are
// left out; their number is given.
func (d *Diary) Export(folder string) (unread int, err error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return 0, elsewhere(folder, err)
	}
	if there, err := os.ReadDir(folder); err != nil || len(there) > 0 {
		if err == nil {
			err = words.Fault("diary.export.taken")
		}
		return 0, elsewhere(folder, err)
	}
	tx, err := d.db.BeginTx(context.Background(), &sql.TxOptions{ReadOnly: true}) // one moment of it
	if err != nil {
		return 0, d.named(err)
	}
	defer tx.Rollback()
	spoiled := map[int64]bool{}
	err = eachHeard(tx, func(take int64, _ int, wrong error) error {
		if wrong != nil {
			spoiled[take] = true
		}
		return nil
	})
	if err != nil {
		return 0, d.named(err)
	}
	if err := exported.Write(exported.Without(spoiled), tx, folder); err != nil {
		var p *fs.PathError
		if errors.As(err, &p) { // the folder is at fault, not the diary
			return 0, elsewhere(folder, err)
		}
		return 0, d.named(err)
	}
	return len(spoiled), d.exportSounds(tx, filepath.Join(folder, exportSounds))
}

// elsewhere names a folder that is not the diary's.
func elsewhere(folder string, err error) error {
	if err == nil {
		return nil
	}
	return words.Fault("diary.file", "file", folder, "err", cause(err))
}

// cause is what the system says, without its own naming of the file.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// exportSounds copies the sounds of all takes, as far as they are there.
func (d *Diary) exportSounds(tx *sql.Tx, to string) error {
	sounds, err := d.openSounds()
	if err != nil {
		return err
	}
	defer sounds.close()
	needed, err := wanted(tx)
	if err != nil {
		return d.named(err)
	}
	for name := range needed {
		in, err := sounds.open(name)
		if err != nil {
			continue // check says so
		}
		if err = os.MkdirAll(to, 0o700); err == nil {
			err = exported.File(filepath.Join(to, name), func(w io.Writer) error {
				_, err := io.Copy(w, in)
				return err
			})
		}
		in.Close()
		if err != nil {
			return elsewhere(to, err)
		}
	}
	return nil
}
