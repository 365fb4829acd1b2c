package diary

import (
	"io"
	"os"
	"path/filepath"
	"strings"
)

// Is reports whether a file is a diary, or lies beside one for it: its log, a copy of
// it, or a sound. What is not there is none.
func Is(path string) bool {
	if isDiary(path) {
		return true
	}
	folder, name := filepath.Split(path)
	for _, mark := range []string{"-wal", "-shm", "-journal", ".good", ".version-", ".part-"} {
		if of, _, beside := strings.Cut(name, mark); beside && isDiary(filepath.Join(folder, of)) {
			return true
		}
	}
	of, sounds := strings.CutSuffix(filepath.Clean(folder), ".sounds")
	return sounds && isDiary(of)
}

// isDiary looks for a database of SQLite's (its file format, "The Database Header"). A
// diary whose log was not brought into it yet does not say more than that, nor even
// that: then its log lies beside it.
func isDiary(path string) bool {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return false
	}
	if _, err := os.Stat(path + "-wal"); err == nil {
		return true
	}
	file, err := os.Open(path)
	if err != nil {
		return false
	}
	defer file.Close()
	var head [16]byte
	_, err = io.ReadFull(file, head[:])
	return err == nil && string(head[:]) == "SQLite format 3\x00"
}
