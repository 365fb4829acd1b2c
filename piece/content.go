package piece

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
)

// Content is what a piece is known by: the notes and rhythm of its line as they are
// played, whatever its file, title and fingering. The SHA-256 of onset, length and
// pitch of each note, in hexadecimal.
func Content(line []Expected) string {
	h := sha256.New()
	for i := range line {
		e := &line[i]
		_ = binary.Write(h, binary.BigEndian, [3]int64{int64(e.Onset), int64(e.Length), int64(e.MIDI)})
	}
	return hex.EncodeToString(h.Sum(nil))
}
