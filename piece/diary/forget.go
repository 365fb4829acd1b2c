package diary

import (
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"time"
)

// Forget truly removes a player: the takes and all that was heard in them, the
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
			return tell("there is no player %q in the diary: endpin diary players lists them", name)
		}
		if err != nil {
			return err
		}
		contents, err := alone(tx, id)
		if err != nil {
			return err
		}
		for _, content := range contents {
			if err := d.letGo(tx, content); err != nil {
				return err
			}
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
		return unplayed(tx)
	})
	if err != nil {
		return 0, err
	}
	return takes, d.clean()
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
		var zone, others int
		var content string
		err = tx.QueryRow(`SELECT at_ms, zone_min, content, (SELECT count(*) FROM takes o WHERE o.content = t.content AND o.sound <> '' AND o.id <> t.id)
			FROM takes t JOIN players ON players.id = t.player WHERE players.name = ? AND t.id = ?`, name, take).Scan(&ms, &zone, &content, &others)
		if err == sql.ErrNoRows {
			return tell("%s has no take %d: endpin diary takes lists them with their numbers", name, take)
		}
		if err != nil {
			return err
		}
		at = moment(ms, zone)
		if others == 0 {
			if err := d.letGo(tx, content); err != nil {
				return err
			}
		}
		if _, err := tx.Exec(`DELETE FROM takes WHERE id = ?`, take); err != nil {
			return err
		}
		return unplayed(tx)
	})
	if err != nil {
		return at, err
	}
	return at, d.clean()
}

// unplayed removes pieces that nobody has a take of any more.
func unplayed(tx *sql.Tx) error {
	for _, delete := range []string{
		`DELETE FROM copies WHERE id NOT IN (SELECT copy FROM takes)`,
		`DELETE FROM shifts WHERE piece NOT IN (SELECT piece FROM takes)`,
		`DELETE FROM pieces WHERE id NOT IN (SELECT piece FROM takes)`,
	} {
		if _, err := tx.Exec(delete); err != nil {
			return err
		}
	}
	return nil
}

// alone are the recordings kept that only this player's takes were heard in.
func alone(tx *sql.Tx, player int64) (contents []string, err error) {
	rows, err := tx.Query(`SELECT content FROM takes WHERE sound <> '' GROUP BY content HAVING min(player) = ?1 AND max(player) = ?1`, player)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var c string
		if err := rows.Scan(&c); err != nil {
			return nil, err
		}
		contents = append(contents, c)
	}
	return contents, rows.Err()
}

// clean leaves no trace of what was deleted in the file, its log and its copy.
func (d *Diary) clean() error {
	if _, err := d.db.Exec(`VACUUM`); err != nil {
		return d.named(err)
	}
	var busy, log, done int
	if err := d.db.QueryRow(`PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &log, &done); err != nil {
		return d.named(err)
	}
	if busy != 0 {
		return d.named(tell("what was forgotten is out of the diary, but another program keeps its log open: close it, and then endpin diary check"))
	}
	if _, err := os.Stat(d.goodCopy()); err == nil {
		if err := os.Remove(d.goodCopy()); err != nil {
			return outside(d.goodCopy(), err)
		}
		return d.named(d.copyTo(d.goodCopy()))
	}
	return nil
}

// Remove removes a diary that is closed, and all that lies beside it for it.
func Remove(path string) error {
	d := &Diary{path: path}
	for _, file := range []string{path, path + "-wal", path + "-shm", d.goodCopy()} {
		if err := os.Remove(file); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return outside(file, err)
		}
	}
	return outside(d.Sounds(), os.RemoveAll(d.Sounds()))
}
