package diary

import (
	"errors"
	"os"

	"endpin/piece/words"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// mostTold is how much of what stands in a diary wrongly is told, in characters.
const mostTold = 80

// spoiled is what stands in a diary and cannot be read, or cannot be.
type spoiled struct{ error }

func spoil(what error) error { return spoiled{what} }

func (s spoiled) Unwrap() error { return s.error }

// atDiary is an error that names its diary.
type atDiary struct {
	path string
	error
}

func (a atDiary) Unwrap() error { return a.error }

// of marks an error that names this diary.
func (d *Diary) of(fault error) error { return atDiary{d.path, fault} }

// named says what went wrong with the diary, in one line with the mend.
func (d *Diary) named(err error) error {
	if err == nil {
		return nil
	}
	var already atDiary
	if errors.As(err, &already) && already.path == d.path {
		return err
	}
	var what spoiled
	if errors.As(err, &what) {
		return d.of(words.Fault("diary.spoiled", "file", d.path, "what", what.error, "mend", d.mend()))
	}
	var s *sqlite.Error
	if !errors.As(err, &s) {
		return d.of(words.Fault("diary.file", "file", d.path, "err", err))
	}
	switch s.Code() & 0xff {
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return d.damaged()
	case sqlite3.SQLITE_FULL:
		return d.of(words.Fault("diary.full", "file", d.path))
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM:
		return d.of(words.Fault("diary.forbidden", "file", d.path))
	case sqlite3.SQLITE_CANTOPEN:
		return d.of(words.Fault("diary.closed", "file", d.path))
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return d.of(words.Fault("diary.busy", "file", d.path))
	case sqlite3.SQLITE_IOERR: // a full disk too, where the log's index finds no room
		return d.of(words.Fault("diary.disk", "file", d.path, "err", err))
	}
	return d.of(words.Fault("diary.file", "file", d.path, "err", err))
}

// damaged names the damaged diary and the last good copy of it.
func (d *Diary) damaged() error {
	return d.of(words.Fault("diary.damaged", "file", d.path, "mend", d.mend()))
}

// mend names the last good copy, and what to do with it. A log left beside would be
// put into the copy.
func (d *Diary) mend() words.Sentence {
	info, err := os.Stat(d.goodCopy())
	if err != nil {
		return words.Of("diary.mend.no-copy")
	}
	return words.Of("diary.mend", "copy", d.goodCopy(), "date", words.Day(info.ModTime()).WithHour())
}
