package diary

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// told is an error that is said already in the user's words.
type told struct{ text string }

func (t told) Error() string { return t.text }

func tell(format string, args ...any) error { return told{fmt.Sprintf(format, args...)} }

// spoiled is what stands in a diary and cannot be read, or cannot be.
type spoiled struct{ text string }

func (s spoiled) Error() string { return s.text }

func spoil(format string, args ...any) error { return spoiled{fmt.Sprintf(format, args...)} }

// named says what went wrong with the diary, in one line with the mend.
func (d *Diary) named(err error) error {
	if err == nil {
		return nil
	}
	if strings.HasPrefix(err.Error(), d.path+": ") {
		return err
	}
	var of spoiled
	if errors.As(err, &of) {
		return fmt.Errorf("%s: the diary is damaged: %s; endpin diary export writes the takes that can be read, and %s", d.path, of.text, d.mend())
	}
	var s *sqlite.Error
	if !errors.As(err, &s) {
		return fmt.Errorf("%s: %w", d.path, err)
	}
	switch s.Code() & 0xff {
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return d.damaged()
	case sqlite3.SQLITE_FULL:
		return fmt.Errorf("%s: the disk is full: make room and do it again; what stood in the diary stands as before", d.path)
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM:
		return fmt.Errorf("%s: the diary may only be read: change its permissions, or choose another place with --diary", d.path)
	case sqlite3.SQLITE_CANTOPEN:
		return fmt.Errorf("%s: the diary cannot be opened: look at the folder and its permissions", d.path)
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return fmt.Errorf("%s: another program is writing in the diary and does not end: close it and do it again", d.path)
	case sqlite3.SQLITE_IOERR: // a full disk too, where the log's index finds no room
		return fmt.Errorf("%s: the disk is full or does not answer as it should (%v): make room and do it again; what stood in the diary stands as before", d.path, err)
	}
	return fmt.Errorf("%s: %w", d.path, err)
}

// damaged names the damaged diary and the last good copy of it.
func (d *Diary) damaged() error {
	return fmt.Errorf("%s: the diary is damaged, or is no diary of Endpin's, and nothing was written; %s", d.path, d.mend())
}

// mend names the last good copy, and what to do with it. A log left beside would be
// put into the copy.
func (d *Diary) mend() string {
	mend := "there is no copy of it: move it away, and a new one is begun"
	if info, err := os.Stat(d.goodCopy()); err == nil {
		mend = fmt.Sprintf("the last good copy is %s, of %s: move the damaged one away, with what lies beside it as -wal and -shm, and put a copy of the good one in its place",
			d.goodCopy(), info.ModTime().Format("2 January 2006, 15:04"))
	}
	return mend
}
