package diary

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"endpin/piece/player"
)

// SoundContent is what a recording is known by: the SHA-256 of its bytes, in
// hexadecimal.
func SoundContent(r io.Reader) (string, error) {
	h := sha256.New()
	if _, err := io.Copy(h, r); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// spelled is a player's name as it was first written into the diary, however it is
// typed now; as it is typed where it is new.
func spelled(in asker, typed string) (string, error) {
	name, err := player.Name(typed)
	if err != nil {
		return "", err
	}
	is := ""
	err = each(in, `SELECT name FROM players ORDER BY name <> ?1, id`, []any{name}, func(scan func(...any) error) error { // itself first
		var known string
		err := scan(&known)
		if is == "" && player.Same(known, name) {
			is = known
		}
		return err
	})
	return cmp.Or(is, name), err
}

// fileEnd is how the diary of one player ends in a folder of diaries.
const fileEnd = ".diary"

// FileIn is the file of one player in a folder of diaries: the letters and
// digits of the name, and the beginning of its SHA-256, so that no two names
// share a file on any disk. Where there is a file of the same player under another
// spelling, it is that.
func FileIn(folder, of string) (string, error) {
	name, err := player.Name(of)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256([]byte(name))
	own := filepath.Join(folder, fmt.Sprintf("%s-%x%s", plain(name), sum[:4], fileEnd))
	if _, err := os.Stat(own); err == nil {
		return own, nil
	}
	all, err := FilesIn(folder)
	if err != nil {
		return "", err
	}
	for _, file := range all {
		stem := strings.TrimSuffix(filepath.Base(file), fileEnd)
		if at := strings.LastIndexByte(stem, '-'); at < 0 || !strings.EqualFold(stem[:at], plain(name)) {
			continue
		}
		d, err := OpenThere(file)
		if err != nil {
			return "", err
		}
		theirs, err := d.Has(name)
		d.Close()
		if theirs || err != nil {
			return file, err
		}
	}
	return own, nil
}

// plain are the letters and digits of a name's beginning, hyphens between.
func plain(name string) string {
	var plain strings.Builder
	for _, r := range name {
		if plain.Len() > 40 {
			break
		}
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			plain.WriteRune(r)
		} else {
			plain.WriteByte('-')
		}
	}
	return plain.String()
}

// FilesIn are the diaries in a folder.
func FilesIn(folder string) ([]string, error) {
	return filepath.Glob(filepath.Join(globbed(folder), "*"+fileEnd))
}

// globbed makes a folder's name mean itself in a pattern.
func globbed(folder string) string {
	return strings.NewReplacer("[", "[[]", "*", "[*]", "?", "[?]").Replace(folder)
}
