package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/cmd/job/classes"
	"endpin/piece/class"
	"endpin/piece/diary"
	"endpin/piece/outside"
	"endpin/piece/words"
)

// ownDiary is the value of a bare --diary: the diary in the user's data folder. No file
// is called so.
const ownDiary = "\x00"

// classDiaryOption is --diary for a class, which may stand alone.
func classDiaryOption(f *pflag.FlagSet) {
	f.String("diary", "", words.Say("command.option.diary"))
	f.Lookup("diary").NoOptDefVal = ownDiary
}

// spacedDiary takes what stands behind --diary and a space for its value where it can be one:
// a diary, or a file or folder of diaries still to be made, and where enough names are left.
func (c *call) spacedDiary() {
	at := slices.Index(c.typed, "--diary")
	if at < 0 || at+1 >= len(c.typed) || len(c.args) < 3 || text(c.flags, "diary") != ownDiary {
		return
	}
	place := c.typed[at+1]
	if k := slices.Index(c.args, place); k >= 0 && isDiaryPlace(place) {
		c.args = slices.Delete(slices.Clone(c.args), k, k+1)
		_ = c.flags.Set("diary", place)
	}
}

func isDiaryPlace(path string) bool {
	info, err := os.Stat(path)
	if err != nil {
		return errors.Is(err, fs.ErrNotExist) && !class.IsMedia(path)
	}
	if !info.IsDir() {
		return diary.Is(path)
	}
	files, _ := diary.FilesIn(path)
	all, err := os.ReadDir(path)
	return len(files) > 0 || err == nil && len(all) == 0
}

// rememberClass puts the take that counts of each student of a class into the
// diary, or into the diaries of a folder, and says how many were new. Each take
// is dated by its file.
func rememberClass(c *call, run classes.Class, p classes.Piece, sheet *class.Sheet) (added int, err error) {
	open := map[string]*diary.Diary{}
	defer func() {
		for _, d := range open {
			if e := d.Safeguard(time.Now()); err == nil {
				err = e
			}
			d.Close()
		}
	}()
	for i := range sheet.Students {
		s := &sheet.Students[i]
		if s.Hearing == nil || s.Recording == nil {
			continue
		}
		path, err := theDiary(c, s.Name)
		if err != nil {
			return added, err
		}
		d := open[path]
		if d == nil {
			if d, err = diary.Open(path); err != nil {
				return added, err
			}
			open[path] = d
		}
		keep, err := d.KeepSound(s.Name, nil, nil)
		if err != nil {
			return added, err
		}
		a, err := job.Remember(d, job.Heard{Player: s.Name, Piece: p.Piece, PieceFile: p.File, Part: text(c.flags, "part"),
			Recording: filepath.Join(run.Folder, *s.Recording), Options: run.Options, Instrument: text(c.flags, "instrument"),
			Hearing: s.Hearing, KeepSound: keep && !run.NoSound}, time.Now())
		if err != nil {
			return added, err
		}
		if !a.Already {
			added++
		}
		for _, w := range a.Warnings {
			if text(c.flags, "json") != "-" {
				c.say(words.Of("command.class.warning", "name", outside.Line(s.Name), "warning", outside.Line(w)))
			}
		}
	}
	return added, nil
}
