package diary

import (
	"database/sql"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/diary/packed"
	"endpin/piece/words"
)

// Sound is a recording that is to be kept, byte for byte.
type Sound struct {
	Name string // the recording's; how it ends tells the format
	Size int64
	Data io.Reader
}

// ends is how the file's name ends: its letters and digits, or ".sound".
func (s *Sound) ends() string {
	end := strings.ToLower(filepath.Ext(s.Name))
	for _, r := range strings.TrimPrefix(end, ".") {
		if !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9') {
			return ".sound"
		}
	}
	if len(end) < 2 || len(end) > 8 {
		return ".sound"
	}
	return end
}

// Sounds is the folder beside the diary that recordings are kept in. A file is
// named by its content, so that no name stands there, and a recording that two
// players played is kept once.
func (d *Diary) Sounds() string { return d.path + ".sounds" }

// keeping is a recording that is kept once its take stands in the diary.
type keeping struct {
	path string
	part string // what it is until then, "" where it was kept already
}

// keep writes a recording beside the diary, whole or not at all.
func (d *Diary) keep(content string, s *Sound) (*keeping, error) {
	name, err := soundName(content, s.ends())
	if err != nil {
		return nil, d.named(err)
	}
	k := &keeping{path: filepath.Join(d.Sounds(), name)}
	if _, err := os.Stat(k.path); err == nil {
		return k, nil
	}
	if err := os.MkdirAll(d.Sounds(), 0o700); err != nil {
		return nil, k.fault(err)
	}
	part, err := unfinished(k.path)
	if err != nil {
		return nil, k.fault(err)
	}
	k.part = part.Name()
	n, err := io.Copy(part, s.Data)
	if err == nil {
		err = part.Sync()
	}
	if e := part.Close(); err == nil {
		err = e
	}
	if err == nil && n != s.Size {
		err = words.Fault("diary.sound.short", "promised", s.Size, "held", n)
	}
	if err != nil {
		k.undo()
		return nil, k.fault(err)
	}
	return k, nil
}

func (k *keeping) fault(err error) error {
	return words.Fault("diary.sound.unkept", "folder", filepath.Dir(k.path), "err", cause(err))
}

// errSoundWent says that another program let a sound go that seemed kept already.
var errSoundWent = errors.New("the sound went away")

// wentAway reports whether a recording that was kept already is so no more. Asked
// while the diary is written, since a sound goes only then.
func (k *keeping) wentAway() bool {
	if k == nil || k.part != "" {
		return false
	}
	_, err := os.Stat(k.path)
	return err != nil
}

// stands keeps the recording. Should the program be cut off before, the next does it.
func (k *keeping) stands() error {
	if k.part == "" {
		return nil
	}
	if err := os.Rename(k.part, k.path); err != nil {
		return k.fault(err)
	}
	k.part = ""
	return nil
}

func (k *keeping) undo() {
	if k.part != "" {
		os.Remove(k.part)
	}
}

// SoundLimit is how many bytes of sound a diary keeps unless the player says
// otherwise: about fifty hours of a phone's recordings.
const SoundLimit = 2 << 30

// KeepSound notes what the player says of keeping sound, and how much of it the
// diary may hold; nil for what was not said.
func (d *Diary) KeepSound(player string, keep *bool, limit *int64) (kept bool, err error) {
	name, err := spelled(d.db, player)
	if err != nil {
		return false, d.named(err)
	}
	if keep != nil || limit != nil {
		err = d.write(func(tx *sql.Tx) (err error) {
			if keep != nil {
				_, err = tx.Exec(`INSERT INTO players (name, keep_sound) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET keep_sound = ?2`, name, *keep)
			}
			if err == nil && limit != nil {
				_, err = tx.Exec(`INSERT INTO settings VALUES ('sound_limit', ?1) ON CONFLICT (name) DO UPDATE SET value = ?1`, strconv.FormatInt(*limit, 10))
			}
			return err
		})
	}
	if err != nil {
		return false, err
	}
	err = d.db.QueryRow(`SELECT coalesce(max(keep_sound), 0) FROM players WHERE name = ?`, name).Scan(&kept)
	return kept, d.named(err)
}

// SoundLimit is how many bytes of sound the diary may keep, and how many it keeps.
func (d *Diary) SoundLimit() (limit, kept int64, err error) {
	if limit, err = soundLimit(d.db); err == nil {
		err = d.db.QueryRow(`SELECT coalesce(sum(bytes), 0) FROM (SELECT max(sound_bytes) AS bytes FROM takes WHERE sound <> '' GROUP BY content)`).Scan(&kept)
	}
	return limit, kept, d.named(err)
}

func soundLimit(db asker) (int64, error) {
	var said string
	err := db.QueryRow(`SELECT value FROM settings WHERE name = 'sound_limit'`).Scan(&said)
	if err == sql.ErrNoRows {
		return SoundLimit, nil
	}
	if err != nil {
		return 0, err
	}
	return strconv.ParseInt(said, 10, 64)
}

// makeRoom lets go of the oldest sound until what is left is within the limit;
// what was heard in it stays. The one just kept is let go last.
func (d *Diary) makeRoom(just string) (gone []string, err error) {
	err = d.write(func(tx *sql.Tx) error {
		limit, err := soundLimit(tx)
		if err != nil {
			return err
		}
		type file struct {
			content string
			bytes   int64
		}
		var files []file
		var all int64
		err = each(tx, `SELECT content, max(sound_bytes) FROM takes WHERE sound <> '' GROUP BY content ORDER BY content = ?, max(at_ms)`, []any{just},
			func(scan func(...any) error) error {
				var f file
				err := scan(&f.content, &f.bytes)
				files, all = append(files, f), all+f.bytes
				return err
			})
		if err != nil {
			return err
		}
		for len(files) > 0 && all > limit {
			f := files[0]
			files, all = files[1:], all-f.bytes
			if _, err := tx.Exec(`UPDATE takes SET sound = '', sound_bytes = 0 WHERE content = ?`, f.content); err != nil {
				return err
			}
			if err := note(tx, leaving+f.content); err != nil {
				return err
			}
			gone = append(gone, f.content)
		}
		return nil
	})
	if err == nil && len(gone) > 0 {
		_, err = d.takeAway()
		gone = []string{words.Say("diary.sound.let-go", "n", len(gone))}
	}
	return gone, err
}

// Kept is a take whose sound is kept.
type Kept struct {
	Take   int64
	Player string
	Sound  string // the file
	Asked  Asked
	Piece  *piece.Piece // left to whoever reads the Copy
}

// KeptBefore lists the takes with sound that no listening of this version or a
// later one has judged; player "" is every one.
func (d *Diary) KeptBefore(listening int, player string) ([]Kept, error) {
	name, err := d.spelledOrAll(player)
	if err != nil {
		return nil, err
	}
	var all []Kept
	err = d.each(`SELECT t.id, players.name, t.content, t.sound, h.asked
		FROM takes t JOIN players ON players.id = t.player JOIN hearings h ON h.take = t.id AND h.counted = 1
		WHERE t.sound <> '' AND h.listening < ?1 AND (?2 = '' OR players.name = ?2) ORDER BY t.at_ms`, []any{listening, name}, func(scan func(...any) error) error {
		var k Kept
		var content, ends, asked string
		if err := scan(&k.Take, &k.Player, &content, &ends, &asked); err != nil {
			return err
		}
		if err := json.Unmarshal([]byte(asked), &k.Asked); err != nil {
			return err
		}
		name, err := soundName(content, ends)
		k.Sound = filepath.Join(d.Sounds(), name)
		all = append(all, k)
		return err
	})
	return all, err
}

// CopyOf gives the file that the piece of a take was read from.
func (d *Diary) CopyOf(take int64) (c Copy, err error) {
	var file []byte
	var size int
	err = d.db.QueryRow(`SELECT c.name, c.part, c.file, c.size FROM takes t JOIN copies c ON c.id = t.copy WHERE t.id = ?`, take).Scan(&c.Name, &c.Part, &file, &size)
	if err == nil {
		if c.Data, err = packed.Inflate(file, size); err != nil {
			err = spoil(words.Fault("diary.spoiled.piece", "take", take, "err", err))
		}
	}
	return c, d.named(err)
}
