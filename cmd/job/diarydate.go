package job

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"time"

	"endpin/piece/class"
)

// Recordings are the names of a folder's recordings, and what else lies in it.
func Recordings(folder, pieceFile string) (names []string, leftOut []class.LeftOut, err error) {
	files, leftOut, err := inFolder(folder, []string{pieceFile})
	for _, f := range files {
		names = append(names, f.name)
	}
	return names, leftOut, err
}

// PlayedAt is when the recording in a file was made, as far as the file says; zero where
// there is none.
func PlayedAt(path string) time.Time {
	if h := Handed(path); h != nil {
		return h.Take.Played
	}
	info, err := os.Stat(path)
	if err != nil {
		return time.Time{}
	}
	return played(filepath.Base(path), info.ModTime())
}

// dateInName is a day, and perhaps a time, as phones, recorders and the desk write
// them into a name: 2026-11-02 17-30-05, 20261102_1730, 2026.11.02.
var dateInName = regexp.MustCompile(`(?:^|\D)((?:19|20)\d\d)([-_.]?)(0[1-9]|1[0-2])([-_.]?)(0[1-9]|[12]\d|3[01])(?:[-_. T]{1,2}(?:at )?([01]\d|2[0-3])[-_.:h]?([0-5]\d)(?:[-_.:m]?([0-5]\d))?)?(?:\D|$)`)

// played is when a recording was made, as far as its file says: by the date in its
// name, which copying does not change, else by when it was written. A name with a
// day alone has the file's time of that day, or noon.
func played(name string, written time.Time) time.Time {
	m := dateInName.FindStringSubmatch(name)
	if m == nil || m[2] != m[4] {
		return written
	}
	n := make([]int, len(m))
	for i := range m {
		n[i], _ = strconv.Atoi(m[i])
	}
	if m[6] == "" {
		if y, month, d := written.Date(); y == n[1] && int(month) == n[3] && d == n[5] {
			return written
		}
		n[6] = 12
	}
	at := time.Date(n[1], time.Month(n[3]), n[5], n[6], n[7], n[8], 0, written.Location())
	if at.Day() != n[5] { // such as the 31st of April
		return written
	}
	return at
}
