package diary

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"endpin/piece/wholefile"
	"endpin/piece/words"
)

// A program that is cut off leaves files behind that are half made, sound whose take
// did not come into the diary, and traces of what it was about to forget. A file that
// is being made bears the number of the program that makes it; what is to be taken
// away is noted in the diary together with the deletion. So the next opening tells
// what is left over from what another program is at, and finishes it.

// unmade is what stands between a file's name and the run that makes it.
const unmade = ".part-"

// unfinished makes the file that another is called while it is being made.
func unfinished(path string) (*os.File, error) {
	return os.CreateTemp(filepath.Dir(path), filepath.Base(path)+unmade+wholefile.Run+"-*") // its owner's alone to read
}

// What is noted in the settings until it is done; the value is the run that does it.
const (
	leaving  = "leaving "     // and the content of a sound, which no take needs
	leaveAll = leaving + "*"  // every sound that no take needs
	cleaning = "leaving none" // no trace may stay in the file's free pages, its log and its copies
)

// note writes down what is to be taken away.
func note(tx *sql.Tx, what string) error {
	_, err := tx.Exec(`INSERT INTO settings VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = ?2`, what, wholefile.Run)
	return err
}

// noted is what is to be taken away, and which run was to do it.
func noted(db asker) (map[string]string, error) {
	all := map[string]string{}
	err := each(db, `SELECT name, value FROM settings WHERE name GLOB 'leaving *'`, nil, func(scan func(...any) error) error {
		var name, by string
		err := scan(&name, &by)
		all[name] = by
		return err
	})
	return all, err
}

// beside are the files beside the diary that are being made, or were, and copies of
// earlier versions that it has been carried on from.
func (d *Diary) beside() (names []string) {
	files, _ := os.ReadDir(filepath.Dir(d.path)) // what cannot be listed cannot be cleaned
	for _, f := range files {
		rest, ours := strings.CutPrefix(f.Name(), filepath.Base(d.path)+".")
		version, earlier := strings.CutPrefix(rest, "version-")
		if n, err := strconv.Atoi(version); earlier && err == nil && n < latest() || ours && strings.Contains("."+rest, unmade) {
			names = append(names, f.Name())
		}
	}
	return names
}

// tidy finishes what a program that was cut off had begun, and gives the number of
// files that it left. What another program is at stays.
func (d *Diary) tidy() (left int, err error) {
	if _, err := d.emptyLog(0); err != nil { // what was never finished stands in it too
		return 0, d.named(err)
	}
	for _, name := range d.beside() {
		if _, by, _ := strings.Cut(name, unmade); !wholefile.AtWork(by) {
			if err := os.Remove(filepath.Join(filepath.Dir(d.path), name)); err != nil {
				return left, elsewhere(d.path, err)
			}
			left++
		}
	}
	s, err := d.openSounds()
	if err != nil {
		return left, err
	}
	defer s.close()
	n, err := s.settle(d)
	left += n
	if err != nil {
		return left, err
	}
	todo, err := noted(d.db)
	if err != nil {
		return left, d.named(err)
	}
	for _, by := range todo {
		if wholefile.AtWork(by) {
			return left, nil
		}
	}
	if len(todo) > 0 {
		n, err = d.takeAway()
		left += n
	}
	return left, err
}

// takeAway does what is noted to be done, and gives the number of sounds removed.
func (d *Diary) takeAway() (removed int, err error) {
	s, err := d.openSounds()
	if err != nil {
		return 0, err
	}
	defer s.close()
	var todo map[string]string
	err = d.write(func(tx *sql.Tx) error { // nobody puts a take in meanwhile
		if todo, err = noted(tx); err != nil {
			return err
		}
		orphans, err := s.orphans(tx)
		if err != nil {
			return err
		}
		for _, name := range orphans {
			content, _, _ := strings.Cut(name, ".")
			if _, this := todo[leaving+content]; !this && todo[leaveAll] == "" {
				continue
			}
			if err := s.remove(name); err != nil {
				return err
			}
			removed++
		}
		_, err = tx.Exec(`DELETE FROM settings WHERE name GLOB 'leaving *' AND name <> ?`, cleaning)
		return err
	})
	if err != nil || todo[cleaning] == "" {
		return removed, err
	}
	return removed, d.clean()
}

// emptyLog brings what stands in the log into the file and empties it, unless another
// program needs it for so many ms.
func (d *Diary) emptyLog(patient int) (empty bool, err error) {
	ctx := context.Background()
	c, err := d.db.Conn(ctx)
	if err != nil {
		return false, err
	}
	defer c.Close()
	defer c.ExecContext(ctx, fmt.Sprintf(`PRAGMA busy_timeout = %d`, patience))
	if _, err := c.ExecContext(ctx, fmt.Sprintf(`PRAGMA busy_timeout = %d`, patient)); err != nil {
		return false, err
	}
	var busy, log, done int
	err = c.QueryRowContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &log, &done)
	return busy == 0, err
}

// clean leaves no trace of what was deleted in the file, its log and its copies.
func (d *Diary) clean() error {
	if _, err := d.db.Exec(`VACUUM`); err != nil {
		return d.named(err)
	}
	empty, err := d.emptyLog(patience)
	if err != nil {
		return d.named(err)
	}
	if !empty {
		return d.named(words.Fault("diary.forgotten.log"))
	}
	copied := false
	for _, name := range append(d.beside(), filepath.Base(d.goodCopy())) {
		if _, by, being := strings.Cut(name, unmade); being && wholefile.AtWork(by) {
			return d.named(words.Fault("diary.forgotten.file", "file", name))
		}
		err := os.Remove(filepath.Join(filepath.Dir(d.path), name))
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			return elsewhere(filepath.Join(filepath.Dir(d.path), name), err)
		}
		copied = copied || err == nil && name == filepath.Base(d.goodCopy())
	}
	err = d.write(func(tx *sql.Tx) error {
		_, err := tx.Exec(`DELETE FROM settings WHERE name = ?`, cleaning)
		return err
	})
	if err == nil && copied {
		err = d.named(d.copyTo(d.goodCopy()))
	}
	return err
}
