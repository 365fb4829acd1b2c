package job

import (
	"os"
	"time"

	"endpin/piece/diary"
	"endpin/piece/report/progress"
	"endpin/piece/words"
)

// Diaries says where diaries lie: a file, a folder with a file for each player, or
// "" for the file in the user's data folder.
type Diaries string

// Of is the file that a player's diary lies in.
func (p Diaries) Of(player string) (string, error) {
	switch {
	case p == "":
		return DiaryFile()
	case !p.Folder():
		return string(p), nil
	case player == "":
		return "", words.Fault("job.diary.folder", "folder", string(p))
	}
	return diary.FileIn(string(p), player)
}

// Folder says whether each player has a file.
func (p Diaries) Folder() bool {
	info, err := os.Stat(string(p))
	return err == nil && info.IsDir()
}

// All are the files: one, which need not be there yet, or those of a folder.
func (p Diaries) All() ([]string, error) {
	if p.Folder() {
		return diary.FilesIn(string(p))
	}
	path, err := p.Of("")
	return []string{path}, err
}

// DiaryClass gathers the weeks of all players in these files; span says for each
// of them which. Players without a take in them are left out.
func DiaryClass(files []string, span func(player string) (diary.Span, error), now time.Time) (progress.ClassModel, error) {
	var m progress.ClassModel
	for _, path := range files {
		if err := addClass(&m, path, span, now); err != nil {
			return m, err
		}
	}
	return m, nil
}

func addClass(m *progress.ClassModel, path string, span func(player string) (diary.Span, error), now time.Time) error {
	d, err := diary.OpenThere(path)
	if err != nil {
		return err
	}
	defer d.Close()
	players, err := d.Players()
	if err != nil {
		return err
	}
	for _, p := range players {
		s, err := span(p.Name)
		if err != nil {
			return err
		}
		page, err := DiaryPage(d, s, now)
		if err != nil {
			return err
		}
		if len(page.Takes) == 0 {
			continue
		}
		if m.From.IsZero() || page.From.Before(m.From) {
			m.From = page.From
		}
		if page.To.After(m.To) {
			m.To = page.To
		}
		m.Players = append(m.Players, page)
	}
	return nil
}
