package diary

import (
	"database/sql"
	"errors"
	"os"
	"time"

	"endpin/piece/diary/packed"
	"endpin/piece/words"
)

// goodCopy is the file beside the diary that a whole copy of it is kept in.
func (d *Diary) goodCopy() string { return d.path + ".good" }

// copyTo makes a whole copy of the diary, and puts it in its place when it is.
func (d *Diary) copyTo(path string) error {
	file, err := unfinished(path)
	if err != nil {
		return err
	}
	file.Close()
	part := file.Name()
	defer os.Remove(part)
	if _, err := d.db.Exec("VACUUM INTO ?", part); err != nil {
		return err
	}
	if err := wholeFile(part); err != nil {
		return err
	}
	if file, err := os.OpenFile(part, os.O_RDWR, 0); err == nil {
		err = file.Sync()
		file.Close()
		if err != nil {
			return err
		}
	}
	return os.Rename(part, path)
}

// wholeFile says that a copy is whole.
func wholeFile(path string) error {
	c := &Diary{path: path, readOnly: true}
	var err error
	if c.db, err = sql.Open("sqlite", c.address()); err != nil {
		return err
	}
	defer c.db.Close()
	return whole(c.db)
}

// bytesADay: a diary is copied once a day, and one day less often for each so
// many bytes that it has grown: copying takes time.
const bytesADay = 64 << 20

// Safeguard renews the good copy beside the diary where it has grown old. A
// diary that is damaged is not copied, so the last good copy stays.
func (d *Diary) Safeguard(now time.Time) error {
	if d.readOnly {
		return nil
	}
	every := 24 * time.Hour
	if info, err := os.Stat(d.path); err == nil {
		every += time.Duration(info.Size()/bytesADay) * 24 * time.Hour
	}
	if info, err := os.Stat(d.goodCopy()); err == nil {
		if age := now.Sub(info.ModTime()); age >= 0 && age < every {
			return nil
		}
	}
	return d.named(d.copyTo(d.goodCopy()))
}

// Check looks through the whole diary and says what is wrong with it: damage, kept
// sound that is not there, and what a program left that was cut off, which it cleans
// away. A whole diary is copied.
func (d *Diary) Check() (Checked, error) {
	c, err := looked(d.db)
	if err != nil {
		return c, d.named(err)
	}
	if !d.readOnly {
		left, err := d.tidy()
		if d.left += left; err != nil {
			return c, err
		}
	}
	c.Left = d.left
	sounds, err := d.openSounds()
	if err != nil {
		return c, err
	}
	defer sounds.close()
	if c.Sounds, c.SoundBytes, err = sounds.check(d.db); err != nil {
		return c, d.named(err)
	}
	if c.Orphans, err = sounds.orphans(d.db); err != nil {
		return c, d.named(err)
	}
	if !d.readOnly {
		err = d.named(d.copyTo(d.goodCopy()))
		c.Copy = d.goodCopy()
	}
	return c, err
}

// Checked is what a check found to be whole.
type Checked struct {
	Players, Takes, Notes, Landings int
	Sounds                          int // recordings kept
	SoundBytes                      int64
	Left                            int      // files that a program left when it was cut off, now cleaned away
	Orphans                         []string // sounds that no take is of
	Copy                            string   // the good copy just made, "" for none
}

// looked looks through all that stands in a diary, or is about to.
func looked(db asker) (c Checked, err error) {
	if err := whole(db); err != nil {
		return c, err
	}
	err = db.QueryRow(`SELECT (SELECT count(*) FROM players), (SELECT count(*) FROM takes),
		(SELECT coalesce(sum(note_count), 0) FROM hearings)`).Scan(&c.Players, &c.Takes, &c.Notes)
	if err != nil {
		return c, err
	}
	if _, err := soundLimit(db); err != nil {
		return c, spoil(words.Fault("diary.spoiled.limit", "err", err))
	}
	if err := checkCopies(db); err != nil {
		return c, err
	}
	err = eachHeard(db, func(_ int64, n int, wrong error) error {
		c.Landings += n
		return wrong
	})
	return c, err
}

// checkCopies says that what recordings are named by is of this diary's making, and
// that the pieces can be read.
func checkCopies(db asker) error {
	err := each(db, `SELECT id, content FROM takes`, nil, func(scan func(...any) error) error {
		var take int64
		var content string
		if err := scan(&take, &content); err != nil {
			return err
		}
		if !isContent(content) {
			return spoil(words.Fault("diary.spoiled.content", "take", take, "content", words.QuotedHead(content, mostTold)))
		}
		return nil
	})
	if err != nil {
		return err
	}
	return each(db, `SELECT id, file, size FROM copies`, nil, func(scan func(...any) error) error {
		var id int64
		var file []byte
		var size int
		if err := scan(&id, &file, &size); err != nil {
			return err
		}
		if _, err := packed.Inflate(file, size); err != nil {
			return spoil(words.Fault("diary.spoiled.piece-file", "piece", id, "err", err))
		}
		return nil
	})
}

// eachHeard hands over each take with the number of its landings, of each of its
// hearings, and what is wrong with it, nil where it can be read.
func eachHeard(db asker, tell func(take int64, landings int, wrong error) error) error {
	var take int64
	err := each(db, `SELECT takes.id FROM takes LEFT JOIN hearings ON hearings.take = takes.id AND counted = 1
		GROUP BY takes.id HAVING count(hearings.id) <> 1`, nil, func(scan func(...any) error) error {
		if err := scan(&take); err != nil {
			return err
		}
		return tell(take, 0, spoil(words.Fault("diary.spoiled.counted", "take", take)))
	})
	if err != nil {
		return err
	}
	shifts := map[int64]bool{}
	err = each(db, "SELECT id FROM shifts", nil, func(scan func(...any) error) error {
		var id int64
		err := scan(&id)
		shifts[id] = true
		return err
	})
	if err != nil {
		return err
	}
	return each(db, "SELECT take, notes, notes_size, note_count, coalesce(g.landings, ''), coalesce(g.measures, ''), coalesce(g.open_strings, '') FROM hearings LEFT JOIN digests g ON g.hearing = hearings.id", nil,
		func(scan func(...any) error) error {
			var file, l, m, o []byte
			var size, count int
			if err := scan(&take, &file, &size, &count, &l, &m, &o); err != nil {
				return err
			}
			notes, err := packed.Unpack(file, size)
			if err == nil && len(notes) != count {
				err = words.Fault("diary.spoiled.some", "held", len(notes), "promised", count)
			}
			if err != nil {
				return tell(take, 0, spoil(words.Fault("diary.spoiled.notes", "take", take, "err", err)))
			}
			var c packed.Landings
			if err := errors.Join(packed.Read(l, &c), packed.Read(m, &packed.Measures{}), packed.Read(o, &packed.Strings{})); err != nil {
				return tell(take, 0, spoil(words.Fault("diary.spoiled.landings-and-measures", "take", take)))
			}
			for _, shift := range c.Shift {
				if !shifts[shift] {
					return tell(take, 0, spoil(words.Fault("diary.spoiled.shift", "take", take)))
				}
			}
			return tell(take, len(c.Shift), nil)
		})
}
