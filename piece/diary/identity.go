package diary

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"endpin/piece"
)

// PieceContent is what a piece is known by: its notes and rhythm as they are
// played, whatever its file, title and fingering. The SHA-256 of onset, length
// and pitch of each note, in hexadecimal.
func PieceContent(line []piece.Expected) string {
	h := sha256.New()
	for i := range line {
		e := &line[i]
		_ = binary.Write(h, binary.BigEndian, [3]int64{int64(e.Onset), int64(e.Length), int64(e.MIDI)})
	}
	return hex.EncodeToString(h.Sum(nil))
}

// SoundContent is what a recording is known by: the SHA-256 of its bytes, in
// hexadecimal.
func SoundContent(r io.Reader) (string, error) {
	h := sha256.New()
	if _, err := io.Copy(h, r); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// Name is a player's name as the diary writes it: in Unicode's composed form
// (UAX 15, NFC), so that an é typed in either of its two ways is one player, and
// without space around it.
func Name(name string) (string, error) {
	name = strings.Join(strings.Fields(norm.NFC.String(strings.ToValidUTF8(name, "\uFFFD"))), " ")
	if name == "" {
		return "", tell("a player needs a name")
	}
	for _, r := range name {
		if unicode.IsControl(r) {
			return "", tell("the name %q: leave out what does not print", name)
		}
	}
	if len(name) > 1000 {
		return "", tell("the player's name is too long: write a shorter one")
	}
	return name, nil
}

// fileEnd is how the diary of one player ends in a folder of diaries.
const fileEnd = ".diary"

// FileIn is the file of one player in a folder of diaries: the letters and
// digits of the name, and the beginning of its SHA-256, so that no two names
// share a file on any disk.
func FileIn(folder, player string) (string, error) {
	name, err := Name(player)
	if err != nil {
		return "", err
	}
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
	sum := sha256.Sum256([]byte(name))
	return filepath.Join(folder, fmt.Sprintf("%s-%x%s", plain.String(), sum[:4], fileEnd)), nil
}

// FilesIn are the diaries in a folder.
func FilesIn(folder string) ([]string, error) {
	return filepath.Glob(filepath.Join(globbed(folder), "*"+fileEnd))
}

// globbed makes a folder's name mean itself in a pattern.
func globbed(folder string) string {
	return strings.NewReplacer("[", "[[]", "*", "[*]", "?", "[?]").Replace(folder)
}
