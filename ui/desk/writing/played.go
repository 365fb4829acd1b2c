package writing

import (
	"os"
	"path/filepath"
	"strings"

	"endpin/piece/wholefile"
	"endpin/piece/words"
)

// What was played in lies in a folder of its own until the page that was written of it is kept:
// then it goes beside it, by its name. Where no page came of it, it lies there until one plays in
// again or leaves the desk.

func (w *Writing) playedIn() string { return filepath.Join(w.means.Folder, "played in") }

// played takes in a recording that was made here, of which a page came or not, and says where it
// lies.
func (w *Writing) played(path string, page, named bool) string {
	switch {
	case page:
		w.sound, w.spare = path, ""
		return words.Say("desk.writing.sound")
	case named:
		return words.Say("desk.writing.spare-named")
	}
	return words.Say("desk.writing.spare", "file", path)
}

// dropSpare removes a recording of which no page came.
func (w *Writing) dropSpare() {
	if w.spare == "" {
		return
	}
	if filepath.Dir(w.spare) == w.playedIn() {
		_ = os.Remove(w.spare)
	}
	w.spare = ""
	w.note()
}

// dropSound removes what a page was written of that is put away and was never kept.
func (w *Writing) dropSound() {
	if w.file == "" && filepath.Dir(w.sound) == w.playedIn() {
		_ = os.Remove(w.sound)
	}
	w.sound = ""
}

// beside lays what a page was written of beside the file that keeps it.
func (w *Writing) beside(file string) error {
	to := strings.TrimSuffix(file, ends) + filepath.Ext(w.sound)
	if w.sound == "" || w.sound == to {
		return nil
	}
	to = wholefile.Free(to)
	if err := os.Rename(w.sound, to); err != nil {
		return err
	}
	w.sound = to
	return nil
}
