package job

import (
	"os"
	"path/filepath"
	"time"

	"endpin/dsp/recording"
	"endpin/piece/class"
)

// Recordings are the names of a folder's recordings, and what else lies in it.
func Recordings(folder, pieceFile string) (names []string, leftOut []class.LeftOut, err error) {
	files, leftOut, err := InFolder(folder, []string{pieceFile}, nil)
	for _, f := range files {
		names = append(names, f.Name)
	}
	return names, leftOut, err
}

// PlayedAt is when the recording in a file was made, and what tells so; zero where there is
// none.
func PlayedAt(path string) (time.Time, class.By) {
	if h := Handed(path); h != nil {
		return h.Take.Played, class.ByRecording
	}
	info, err := os.Stat(path)
	if err != nil {
		return time.Time{}, ""
	}
	return class.Played(filepath.Base(path), recording.Made(path), info.ModTime())
}
