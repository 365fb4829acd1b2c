package diary

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"endpin/piece/words"

	_ "modernc.org/sqlite" // the driver, in Go alone
)

// Diary is an open diary. Several programs may have one file open, and several
// goroutines one Diary.
type Diary struct {
	path     string
	db       *sql.DB
	readOnly bool
	left     int // files that a program left when it was cut off, cleaned away
}

// Open opens the diary in a file, which is made where there is none, and brings
// an older one to this version. Where its folder may only be read the diary is
// opened for reading. Every error names the file.
func Open(path string) (*Diary, error) { return open(path, steps) }

// OpenThere opens a diary that must be there already.
func OpenThere(path string) (*Diary, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, words.Fault("diary.absent", "file", path)
	}
	return Open(path)
}

// patience is how long one program waits for another's writing, ms.
const patience = 10000

func open(path string, steps []string) (*Diary, error) {
	d := &Diary{path: path}
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil, words.Fault("diary.folder", "file", path)
	}
	if !writable(path) {
		if _, err := os.Stat(path); err != nil {
			return nil, words.Fault("diary.unwritable", "file", path)
		}
		d.readOnly = true
	} else if file, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL, 0o600); err == nil {
		file.Close() // SQLite would let others read a file that it makes, and gives its companions what this one has
	}
	_, cut := os.Lstat(path + "-wal") // whoever ends well takes the log along
	var err error
	if d.db, err = sql.Open("sqlite", d.address()); err != nil {
		return nil, d.named(err)
	}
	if err := d.ready(steps, cut == nil); err != nil {
		d.db.Close()
		return nil, d.named(err)
	}
	return d, nil
}

// ready makes a diary just opened what this program knows: of this version, naming
// nothing but sound, and without what a program left that was cut off.
func (d *Diary) ready(steps []string, cut bool) error {
	if err := d.bring(steps); err != nil {
		return err
	}
	if _, err := wanted(d.db); err != nil {
		return err
	}
	todo, err := noted(d.db)
	if err == nil && !d.readOnly && (cut || len(todo) > 0) {
		d.left, _ = d.tidy() // where that cannot be, check says why
	}
	return err
}

// writable tells whether SQLite may write the file and its companions beside it.
func writable(path string) bool {
	name := path + unmade + "0" // always the same: one that was left goes away with the next
	probe, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE, 0o600)
	if err != nil {
		return false
	}
	probe.Close()
	os.Remove(name)
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err == nil {
		file.Close()
	}
	return err == nil || errors.Is(err, fs.ErrNotExist)
}

// address is the file as SQLite is to open it. Whoever writes waits for whoever
// else does (immediate transactions), and what is deleted is overwritten.
func (d *Diary) address() string {
	full, err := filepath.Abs(d.path)
	if err != nil {
		full = d.path
	}
	full = filepath.ToSlash(full)
	if !strings.HasPrefix(full, "/") {
		full = "/" + full
	}
	address := "file://" + strings.NewReplacer("%", "%25", "?", "%3f", "#", "%23").Replace(full) +
		fmt.Sprintf("?_txlock=immediate&_pragma=busy_timeout(%d)&_pragma=foreign_keys(1)&_pragma=secure_delete(1)", patience)
	if !d.readOnly {
		return address + "&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)"
	}
	if _, err := os.Stat(d.path + "-wal"); err != nil {
		return address + "&immutable=1" // nobody can be writing where nobody may
	}
	return address + "&mode=ro"
}

// Path is the file.
func (d *Diary) Path() string { return d.path }

// Close closes the diary.
func (d *Diary) Close() error { return d.db.Close() }

// Writable says why the diary may not be written, nil where it may.
func (d *Diary) Writable() error {
	if d.readOnly {
		return d.of(words.Fault("diary.read-only", "file", d.path))
	}
	return nil
}

// write does what changes the diary, whole or not at all.
func (d *Diary) write(change func(tx *sql.Tx) error) error {
	if err := d.Writable(); err != nil {
		return err
	}
	tx, err := d.db.BeginTx(context.Background(), nil)
	if err != nil {
		return d.named(err)
	}
	defer tx.Rollback()
	if err := sameVersion(tx); err != nil {
		return d.named(err)
	}
	if err := change(tx); err != nil {
		return d.named(err)
	}
	return d.named(tx.Commit())
}
