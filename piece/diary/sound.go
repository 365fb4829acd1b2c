package diary

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/wholefile"
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

func (d *Diary) soundFile(content, ends string) string {
	return filepath.Join(d.Sounds(), content+ends)
}

// keeping is a recording that has been kept and may still be taken back.
type keeping struct {
	path string
	made bool
}

// keep writes a recording beside the diary, whole or not at all.
func (d *Diary) keep(content string, s *Sound) (*keeping, error) {
	path := d.soundFile(content, s.ends())
	if _, err := os.Stat(path); err == nil {
		return &keeping{path: path}, nil
	}
	fault := func(err error) error {
		var p *fs.PathError
		if errors.As(err, &p) {
			err = p.Err
		}
		return fmt.Errorf("%s: the recording cannot be kept there: %w; make room, or add it without --keep-sound", d.Sounds(), err)
	}
	if err := os.MkdirAll(d.Sounds(), 0o700); err != nil {
		return nil, fault(err)
	}
	err := wholefile.Replace(path, func(to *os.File) error {
		n, err := io.Copy(to, s.Data)
		if err == nil && n != s.Size {
			err = fmt.Errorf("of %d bytes %d came", s.Size, n)
		}
		if err != nil {
			return err
		}
		return to.Sync()
	})
	if err != nil {
		return nil, fault(err)
	}
	return &keeping{path, true}, nil
}

func (k *keeping) stands() { k.made = false }

func (k *keeping) undo() {
	if k.made {
		os.Remove(k.path)
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
	if keep == nil && limit == nil {
		err = d.db.QueryRow(`SELECT keep_sound FROM players WHERE name = ?`, name).Scan(&kept)
		if err == sql.ErrNoRows {
			err = nil
		}
		return kept, d.named(err)
	}
	err = d.write(func(tx *sql.Tx) error {
		if keep != nil {
			if _, err := tx.Exec(`INSERT INTO players (name, keep_sound) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET keep_sound = ?2`, name, *keep); err != nil {
				return err
			}
		}
		if limit != nil {
			if _, err := tx.Exec(`INSERT INTO settings VALUES ('sound_limit', ?1) ON CONFLICT (name) DO UPDATE SET value = ?1`, strconv.FormatInt(*limit, 10)); err != nil {
				return err
			}
		}
		err := tx.QueryRow(`SELECT keep_sound FROM players WHERE name = ?`, name).Scan(&kept)
		if err == sql.ErrNoRows {
			err = nil
		}
		return err
	})
	return kept, err
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
		rows, err := tx.Query(`SELECT content, sound, max(sound_bytes) FROM takes WHERE sound <> '' GROUP BY content ORDER BY content = ?, max(at_ms)`, just)
		if err != nil {
			return err
		}
		type file struct {
			content, ends string
			bytes         int64
		}
		var files []file
		var all int64
		for rows.Next() {
			var f file
			if err := rows.Scan(&f.content, &f.ends, &f.bytes); err != nil {
				rows.Close()
				return err
			}
			files, all = append(files, f), all+f.bytes
		}
		if err := rows.Err(); err != nil {
			return err
		}
		for len(files) > 0 && all > limit {
			f := files[0]
			files, all = files[1:], all-f.bytes
			if err := d.letGo(tx, f.content); err != nil {
				return err
			}
			gone = append(gone, f.content)
		}
		return nil
	})
	if len(gone) > 0 {
		gone = []string{fmt.Sprintf("Sound is kept up to a limit (--sound-limit): the oldest was let go, %d in number; what was heard in it stays.", len(gone))}
	}
	return gone, err
}

// letGo removes a recording; the takes heard in it stay.
func (d *Diary) letGo(tx *sql.Tx, content string) error {
	if _, err := tx.Exec(`UPDATE takes SET sound = '', sound_bytes = 0 WHERE content = ?`, content); err != nil {
		return err
	}
	files, err := filepath.Glob(filepath.Join(globbed(d.Sounds()), content+".*"))
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := os.Remove(f); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// checkSounds says that every recording kept is there and is what it was.
func (d *Diary) checkSounds() (count int, bytes int64, err error) {
	rows, err := d.db.Query(`SELECT DISTINCT content, sound FROM takes WHERE sound <> ''`)
	if err != nil {
		return 0, 0, err
	}
	defer rows.Close()
	for rows.Next() {
		var content, ends string
		if err := rows.Scan(&content, &ends); err != nil {
			return 0, 0, err
		}
		path := d.soundFile(content, ends)
		file, err := os.Open(path)
		if err != nil {
			return 0, 0, tell("the sound %s is not there: put it back, or remove its take", path)
		}
		is, err := SoundContent(file)
		if info, e := file.Stat(); e == nil {
			bytes += info.Size()
		}
		file.Close()
		if err != nil {
			return 0, 0, err
		}
		if is != content {
			return 0, 0, tell("the sound %s is not what was kept: put back the one that was", path)
		}
		count++
	}
	return count, bytes, rows.Err()
}

// Kept is a take whose sound is kept.
type Kept struct {
	Take   int64
	Player string
	Sound  string // the file
	Copy   Copy
	Asked  Asked
	Piece  *piece.Piece // left to whoever reads Copy
}

// KeptBefore lists the takes with sound that no listening of this version or a
// later one has judged; player "" is every one.
func (d *Diary) KeptBefore(listening int, player string) ([]Kept, error) {
	name := ""
	if player != "" {
		var err error
		if name, err = spelled(d.db, player); err != nil {
			return nil, d.named(err)
		}
	}
	rows, err := d.db.Query(`SELECT t.id, players.name, t.content, t.sound, c.name, c.part, c.file, c.size, h.asked
		FROM takes t JOIN players ON players.id = t.player JOIN copies c ON c.id = t.copy JOIN hearings h ON h.take = t.id AND h.counted = 1
		WHERE t.sound <> '' AND h.listening < ?1 AND (?2 = '' OR players.name = ?2) ORDER BY t.at_ms`, listening, name)
	if err != nil {
		return nil, d.named(err)
	}
	defer rows.Close()
	var all []Kept
	for rows.Next() {
		var k Kept
		var content, ends, asked string
		var packed []byte
		var size int
		if err := rows.Scan(&k.Take, &k.Player, &content, &ends, &k.Copy.Name, &k.Copy.Part, &packed, &size, &asked); err != nil {
			return nil, d.named(err)
		}
		if k.Copy.Data, err = inflate(packed, size); err != nil {
			return nil, d.named(err)
		}
		if err := json.NewDecoder(bytes.NewBufferString(asked)).Decode(&k.Asked); err != nil {
			return nil, d.named(err)
		}
		k.Sound = d.soundFile(content, ends)
		all = append(all, k)
	}
	return all, d.named(rows.Err())
}
