package diary

import (
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"endpin/piece/wholefile"
	"endpin/piece/words"
)

// soundFolder is the folder beside a diary that sound is kept in, opened: no name in
// it leads out of it, whoever wrote the diary. It may not be there.
type soundFolder struct {
	path string
	root *os.Root // nil where there is none
}

// openSounds opens the folder of a diary's sounds.
func (d *Diary) openSounds() (*soundFolder, error) { return openSoundsIn(d.Sounds()) }

func openSoundsIn(path string) (*soundFolder, error) {
	root, err := os.OpenRoot(path)
	if errors.Is(err, fs.ErrNotExist) {
		return &soundFolder{path: path}, nil
	}
	if err != nil {
		return nil, elsewhere(path, err)
	}
	return &soundFolder{path, root}, nil
}

func (s *soundFolder) close() {
	if s.root != nil {
		s.root.Close()
	}
}

// soundName is the name of a sound's file: its content, 64 hexadecimal digits, and how
// it ends. Nothing else is ever opened or removed, whatever stands in the diary.
func soundName(content, ends string) (string, error) {
	if !isSound(content + ends) {
		return "", spoil(words.Fault("diary.spoiled.sound", "name", words.QuotedHead(content+ends, mostTold)))
	}
	return content + ends, nil
}

// isSound reports whether a file's name is that of a sound.
func isSound(name string) bool {
	content, ends, _ := strings.Cut(name, ".")
	return isContent(content) && len(ends) >= 1 && len(ends) <= 7 && strings.Trim(ends, "abcdefghijklmnopqrstuvwxyz0123456789") == ""
}

// isContent reports whether a text is a SHA-256 as the diary writes it.
func isContent(s string) bool { return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == "" }

// names lists what lies there.
func (s *soundFolder) names() ([]string, error) {
	if s.root == nil {
		return nil, nil
	}
	files, err := fs.ReadDir(s.root.FS(), ".")
	if err != nil {
		return nil, elsewhere(s.path, err)
	}
	names := make([]string, len(files))
	for i, f := range files {
		names[i] = f.Name()
	}
	return names, nil
}

// open opens a sound; anything but a file that lies there itself is none.
func (s *soundFolder) open(name string) (*os.File, error) {
	if s.root == nil {
		return nil, fs.ErrNotExist
	}
	if info, err := s.root.Lstat(name); err != nil || !info.Mode().IsRegular() {
		return nil, fs.ErrNotExist
	}
	return s.root.Open(name)
}

// holds reports whether a file lies there that has the content of a sound's name.
func (s *soundFolder) holds(name, sound string) bool {
	file, err := s.open(name)
	if err != nil {
		return false
	}
	defer file.Close()
	is, err := SoundContent(file)
	return err == nil && strings.HasPrefix(sound, is+".")
}

func (s *soundFolder) remove(name string) error {
	if err := s.root.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return elsewhere(s.path, err)
	}
	return nil
}

// wanted are the names of the sounds that takes were heard in, each with one of them.
func wanted(db asker) (map[string]int64, error) {
	all := map[string]int64{}
	err := each(db, `SELECT id, content, sound FROM takes WHERE sound <> ''`, nil, func(scan func(...any) error) error {
		var id int64
		var content, ends string
		if err := scan(&id, &content, &ends); err != nil {
			return err
		}
		name, err := soundName(content, ends)
		all[name] = id
		return err
	})
	return all, err
}

// orphans are the sounds that no take needs.
func (s *soundFolder) orphans(db asker) (orphans []string, err error) {
	needed, err := wanted(db)
	if err != nil {
		return nil, err
	}
	names, err := s.names()
	for _, name := range names {
		if _, is := needed[name]; !is && isSound(name) {
			orphans = append(orphans, name)
		}
	}
	return orphans, err
}

// settle looks after the sounds that a program left unfinished when it was cut off,
// and gives their number: one whose take stands in the diary was whole before the take
// was, and gets its name; of the others nothing is needed.
func (s *soundFolder) settle(d *Diary) (left int, err error) {
	names, err := s.names()
	if err != nil {
		return 0, err
	}
	for _, name := range names {
		becomes, by, being := strings.Cut(name, unmade)
		if !being || wholefile.AtWork(by) {
			continue
		}
		left++
		err := d.write(func(tx *sql.Tx) error {
			needed, err := wanted(tx)
			if err != nil {
				return err
			}
			if _, is := needed[becomes]; is && !s.holds(becomes, becomes) && s.holds(name, becomes) {
				return s.root.Rename(name, becomes)
			}
			return s.remove(name)
		})
		if err != nil {
			return left, err
		}
	}
	return left, nil
}

// check says that every recording kept is there and is what it was.
func (s *soundFolder) check(db asker) (count int, bytes int64, err error) {
	needed, err := wanted(db)
	if err != nil {
		return 0, 0, err
	}
	for name := range needed {
		file, err := s.open(name)
		if err != nil {
			return 0, 0, words.Fault("diary.sound.absent", "file", fmt.Sprint(s.path, string(os.PathSeparator), name))
		}
		info, err := file.Stat()
		file.Close()
		if err != nil {
			return 0, 0, err
		}
		if !s.holds(name, name) {
			return 0, 0, words.Fault("diary.sound.other", "file", fmt.Sprint(s.path, string(os.PathSeparator), name))
		}
		bytes += info.Size()
		count++
	}
	return count, bytes, nil
}
