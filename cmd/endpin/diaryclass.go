package main

import (
	"path/filepath"
	"time"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
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

// rememberClass puts the take that counts of each student of a class into the
// diary, or into the diaries of a folder, and says how many were new. Each take
// is dated by its file.
func rememberClass(c *call, run job.Class, sheet *class.Sheet) (added int, err error) {
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
		a, err := job.Remember(d, job.Heard{Player: s.Name, Piece: run.Piece, PieceFile: run.PieceFile, Part: text(c.flags, "part"),
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
