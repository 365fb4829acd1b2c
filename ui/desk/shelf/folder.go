package shelf

import (
	"encoding/json"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"endpin/ui/desk/score"
	"endpin/ui/desk/tape"
)

// stamp is the name of a take by the time at which it was made.
const stamp = "2006-01-02 15-04-05"

// Read reads the takes in a folder, the newest first. A WAV whose JSON is
// missing or damaged is a take all the same, and one that was cut off is
// repaired, so that it can be offered whole.
func Read(folder string) []*Take {
	sounds, _ := filepath.Glob(filepath.Join(escape(folder), "*.wav"))
	var all []*Take
	for _, sound := range sounds {
		t := &Take{Sound: sound, kept: true}
		if data, err := os.ReadFile(t.beside()); err == nil {
			if json.Unmarshal(data, t) != nil {
				*t = Take{Sound: sound, kept: true}
			}
		}
		if t.Made.IsZero() {
			if info, err := os.Stat(sound); err == nil {
				t.Made = info.ModTime()
			}
		}
		if !t.Complete {
			seconds, err := tape.Repair(sound)
			if err != nil || seconds < 0.5 { // nothing was played
				continue
			}
			t.Seconds = seconds
		}
		all = append(all, t)
	}
	all = append(all, opened(folder)...)
	sort.SliceStable(all, func(a, b int) bool { return all[a].Made.After(all[b].Made) })
	return all
}

// Noted reads the notes of the takes in a folder, in no order, and none of their sound:
// those that were judged, and of which it is known of what piece they are.
func Noted(folder string) (all []*Take) {
	files, _ := filepath.Glob(filepath.Join(escape(folder), "*.json"))
	for _, path := range files {
		t := &Take{}
		if data, err := os.ReadFile(path); err == nil && json.Unmarshal(data, t) == nil && t.Complete && t.Content != "" {
			all = append(all, t)
		}
	}
	return all
}

// opened reads the notes of recordings that lie elsewhere.
func opened(folder string) (all []*Take) {
	notes, _ := filepath.Glob(filepath.Join(escape(folder), "* opened*.json"))
	for _, path := range notes {
		var t Take
		data, err := os.ReadFile(path)
		if err != nil || json.Unmarshal(data, &t) != nil || t.Recording == "" {
			continue
		}
		t.Sound, t.notes, t.Complete = t.Recording, path, true
		all = append(all, &t)
	}
	return all
}

// escape keeps Glob from reading a folder's own name as a pattern.
func escape(path string) string {
	return strings.NewReplacer("*", "\\*", "?", "\\?", "[", "\\[", "\\", "\\\\").Replace(path)
}

// ofPiece leaves out the takes of other pieces.
func ofPiece(s *score.Score, all []*Take) (own []*Take) {
	for _, t := range all {
		if t.of(s) {
			own = append(own, t)
		}
	}
	return own
}

// of reports whether it is a take of a piece: by the notes, wherever their file lies
// now; one of before, by the file or its title.
func (t *Take) of(s *score.Score) bool {
	if t.Content != "" {
		return t.Content == s.Content
	}
	return t.Piece == "" || same(t.Piece, s.File) || t.Title == s.Title()
}

func same(a, b string) bool {
	x, _ := filepath.Abs(a)
	y, _ := filepath.Abs(b)
	return a == b || x == y
}
