package diary

import (
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"endpin/piece/words"
)

// Forget truly removes a player: the takes and all that was heard in them, what was mended, the
// sound that no other player's take needs, and pieces that nobody else played.
// What is deleted is overwritten, the file made anew without it, the log beside it
// emptied, and the good copy replaced. What a disk's own snapshots hold is beyond
// it. The number of takes forgotten is given.
func (d *Diary) Forget(player string) (int, error) {
	takes := 0
	err := d.write(func(tx *sql.Tx) error {
		name, err := spelled(tx, player)
		if err != nil {
			return err
		}
		var id int64
		err = tx.QueryRow(`SELECT id FROM players WHERE name = ?`, name).Scan(&id)
		if err == sql.ErrNoRows {
			return words.Fault("diary.no-player", "name", words.Quoted(name))
		}
		if err != nil {
			return err
		}
		if err := tx.QueryRow(`SELECT count(*) FROM takes WHERE player = ?`, id).Scan(&takes); err != nil {
			return err
		}
		for _, delete := range []string{
			`DELETE FROM takes WHERE player = ?1`, // hearings and what hangs on them go with it
			`DELETE FROM players WHERE id = ?1`,
		} {
			if _, err := tx.Exec(delete, id); err != nil {
				return err
			}
		}
		if err := errors.Join(note(tx, leaveAll), note(tx, cleaning)); err != nil {
			return err
		}
		return unplayed(tx)
	})
	if err != nil {
		return 0, err
	}
	_, err = d.takeAway()
	return takes, err
}

// RemoveTake truly removes one of a player's takes, as Forget does all of them, and
// gives when it was played.
func (d *Diary) RemoveTake(player string, take int64) (time.Time, error) {
	var at time.Time
	err := d.write(func(tx *sql.Tx) error {
		name, err := spelled(tx, player)
		if err != nil {
			return err
		}
		var ms int64
		var zone int
		var content string
		err = tx.QueryRow(`SELECT at_ms, zone_min, content FROM takes t JOIN players ON players.id = t.player WHERE players.name = ? AND t.id = ?`,
			name, take).Scan(&ms, &zone, &content)
		if err == sql.ErrNoRows {
			return words.Fault("diary.no-take", "name", name, "take", take)
		}
		if err != nil {
			return err
		}
		at = moment(ms, zone)
		if err := errors.Join(note(tx, leaving+content), note(tx, cleaning)); err != nil {
			return err
		}
		if _, err := tx.Exec(`DELETE FROM takes WHERE id = ?`, take); err != nil {
			return err
		}
		return unplayed(tx)
	})
	if err != nil {
		return at, err
	}
	_, err = d.takeAway()
	return at, err
}

// unplayed removes pieces that nobody has a take of any more.
func unplayed(tx *sql.Tx) error {
	_, err := tx.Exec(`DELETE FROM copies WHERE id NOT IN (SELECT copy FROM takes);
		DELETE FROM shifts WHERE piece NOT IN (SELECT piece FROM takes);
		DELETE FROM pieces WHERE id NOT IN (SELECT piece FROM takes) AND id NOT IN (SELECT piece FROM mended)`)
	return err
}

// Remove removes a diary that is closed, and all that Endpin put beside it.
func Remove(path string) error {
	d := &Diary{path: path}
	sounds, err := d.openSounds()
	if err != nil {
		return err
	}
	defer sounds.close()
	names, err := sounds.names()
	if err != nil {
		return err
	}
	for _, name := range names {
		if isSound(name) || strings.Contains(name, unmade) {
			if err := sounds.remove(name); err != nil {
				return err
			}
		}
	}
	files := []string{d.Sounds(), path + "-wal", path + "-shm", path + "-journal", d.goodCopy()}
	for _, name := range d.beside() {
		files = append(files, filepath.Join(filepath.Dir(path), name))
	}
	for _, file := range append(files, path) { // last, so that whoever is cut off can begin again
		if e := os.Remove(file); e != nil && !errors.Is(e, fs.ErrNotExist) && err == nil {
			err = elsewhere(file, e)
		}
	}
	return err
}
