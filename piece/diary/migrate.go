package diary

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"endpin/piece/words"
)

// latest is the version of the schema that this program writes.
func latest() int { return len(steps) }

// bring brings the file to the last of the steps: a new one is made, an older
// one carried forward. The old file is kept as a copy until the new one is
// whole, and all steps are one transaction.
func (d *Diary) bring(steps []string) error {
	version, tables, err := d.version()
	if err != nil {
		return err
	}
	switch {
	case version > len(steps):
		return words.Fault("diary.later", "version", version, "known", len(steps))
	case version == len(steps):
		return nil
	case d.readOnly:
		return words.Fault("diary.older.read-only")
	case version == 0 && tables > 0:
		return d.damaged() // a database, but not ours
	}
	kept := ""
	if version > 0 {
		kept = fmt.Sprintf("%s.version-%d", d.path, version)
		if err := d.copyTo(kept); err != nil {
			return err
		}
	}
	if err := d.carry(steps); err != nil {
		if kept != "" {
			return words.Fault("diary.older.failed", "copy", kept, "err", err)
		}
		return err
	}
	if kept != "" {
		if err := os.Remove(kept); !errors.Is(err, fs.ErrNotExist) { // another program tidied
			return err
		}
	}
	return nil
}

// carry does the steps that are still to do, looks whether the file is whole,
// and only then lets it stand.
func (d *Diary) carry(steps []string) error {
	tx, err := d.db.BeginTx(context.Background(), nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	var version int // another program may have been quicker
	if err := tx.QueryRow("PRAGMA user_version").Scan(&version); err != nil {
		return err
	}
	for ; version < len(steps); version++ {
		if _, err := tx.Exec(steps[version]); err != nil {
			return err
		}
	}
	if _, err := tx.Exec(fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, version)); err != nil {
		return err
	}
	if err := whole(tx); err != nil {
		return err
	}
	return tx.Commit()
}

// version is that of the file's schema, 0 for a new file, and how many tables it has.
func (d *Diary) version() (version, tables int, err error) {
	var application int
	err = d.db.QueryRow(`SELECT (SELECT user_version FROM pragma_user_version), (SELECT application_id FROM pragma_application_id),
		(SELECT count(*) FROM sqlite_schema)`).Scan(&version, &application, &tables)
	if err == nil && tables > 0 && application != applicationID {
		version = 0
	}
	return version, tables, err
}

// sameVersion says that no later program has carried the file forward meanwhile.
func sameVersion(tx *sql.Tx) error {
	var version int
	if err := tx.QueryRow("PRAGMA user_version").Scan(&version); err != nil {
		return err
	}
	if version > latest() {
		return words.Fault("diary.later.open")
	}
	return nil
}

// asker is a database or a transaction.
type asker interface {
	Query(query string, args ...any) (*sql.Rows, error)
	QueryRow(query string, args ...any) *sql.Row
}

// whole asks SQLite whether the file is whole, and whether everything that is
// referred to is there.
func whole(db asker) error {
	var says string
	if err := db.QueryRow("PRAGMA integrity_check(1)").Scan(&says); err != nil {
		return err
	}
	if says != "ok" {
		return spoil(words.Fault("diary.spoiled.whole", "said", strings.Join(strings.Fields(says), " ")))
	}
	return each(db, "PRAGMA foreign_key_check", nil, func(scan func(...any) error) error {
		var table, parent string
		var row, key sql.NullInt64
		if err := scan(&table, &row, &parent, &key); err != nil {
			return err
		}
		return spoil(words.Fault("diary.spoiled.row", "table", table, "parent", parent))
	})
}
