package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece/diary"
)

var diaryCommand = command{
	name: "diary", line: "diary …",
	about: `keep what was heard, and say how each shift goes over weeks
The diary is one file in your data folder, or --diary FILE. With --diary FOLDER
each player has a file of their own in it. Nothing leaves this computer.`,
	below: []command{diaryAdd, diaryShifts, diaryReport, diaryTakes, diaryPlayers, diaryRehear, diaryCheck, diaryExport, diaryImport, diaryRemove, diaryForget},
}

// diaryOption is the option of every diary command.
func diaryOption(f *pflag.FlagSet) {
	f.String("diary", "", "the diary, a `FILE`, or a folder with one file for each player; the one in your data folder unless given")
}

// diaries are where --diary says, or else in the user's data folder.
func diaries(c *call) job.Diaries {
	if said := text(c.flags, "diary"); said != ownDiary {
		return job.Diaries(said)
	}
	return ""
}

// theDiary is the file that a player's diary lies in.
func theDiary(c *call, player string) (string, error) { return diaries(c).Of(player) }

// thereIs opens a diary that must be there and know the player.
func thereIs(c *call, player string) (*diary.Diary, error) {
	path, err := theDiary(c, player)
	if err != nil {
		return nil, err
	}
	d, err := diary.OpenThere(path)
	if err != nil {
		return nil, err
	}
	if player == "" {
		return d, nil
	}
	known, err := d.Has(player)
	if err == nil && !known {
		err = fmt.Errorf("%s: there is no player %q in it: endpin diary players lists them", path, player)
	}
	if err != nil {
		d.Close()
		return nil, err
	}
	return d, nil
}

// allDiaries are the files that are asked for: one, or those of a folder.
func allDiaries(c *call) ([]string, error) {
	files, err := diaries(c).All()
	if err == nil && len(files) == 0 {
		err = fmt.Errorf("%s: there is no diary in this folder yet: endpin diary add begins one", text(c.flags, "diary"))
	}
	return files, err
}

// needs says that a command was given its names.
func needs(c *call, names int) error {
	if len(c.args) != names {
		return fmt.Errorf("endpin %s: %s are needed, %d were given", c.line, counting(names, "name"), len(c.args))
	}
	return nil
}

func counting(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// onForms are how a time may be written after --on; without a zone it is the
// time of this computer's.
var onForms = []string{"2006-01-02T15:04", "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02"}

// on reads when a take was played; zero where nobody said.
func on(c *call) (time.Time, error) {
	said := text(c.flags, "on")
	if said == "" {
		return time.Time{}, nil
	}
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04Z07:00"} {
		if t, err := time.Parse(form, said); err == nil {
			return t, nil
		}
	}
	for _, form := range onForms {
		if t, err := time.ParseInLocation(form, said, time.Local); err == nil {
			return t, nil
		}
	}
	return time.Time{}, fmt.Errorf("--on %s: write it as in 2026-11-02T17:30", said)
}

// since reads where a span begins: a day, or so many days or weeks ago.
func since(c *call, now time.Time) (time.Time, error) {
	said := text(c.flags, "since")
	if said == "" {
		return time.Time{}, nil
	}
	if t, err := time.ParseInLocation(time.DateOnly, said, time.Local); err == nil {
		return t, nil
	}
	number, unit := said[:len(said)-1], said[len(said)-1]
	n, err := strconv.Atoi(number)
	days, known := map[byte]int{'d': 1, 'w': 7}[unit]
	if err != nil || !known || n < 1 || n > 40000 {
		return time.Time{}, fmt.Errorf("--since %s: write a day, as in 2026-10-01, or how long ago, as in 30d or 4w", said)
	}
	y, m, d := now.Date()
	return time.Date(y, m, d-n*days, 0, 0, 0, 0, now.Location()), nil
}

// asked is the span of a player's diary that is asked for.
func asked(c *call, player string) (diary.Span, error) {
	from, err := since(c, time.Now())
	s := diary.Span{Player: player, From: from, Piece: text(c.flags, "piece")}
	if err != nil || s.Piece == "" {
		return s, err
	}
	if info, e := os.Stat(s.Piece); e == nil && !info.IsDir() {
		p, err := job.ReadPiece(s.Piece, "", nil)
		if err != nil {
			return s, err
		}
		line, _ := p.Line()
		s.Piece = diary.PieceContent(line)
	}
	return s, nil
}

func spanOptions(f *pflag.FlagSet) {
	f.String("piece", "", "only this `PIECE`, by its title or its file")
	f.String("since", "", "only from this `DAY` on, as in 2026-10-01, or 30d or 4w back")
}

// byteCount reads an amount of disk, as in 500MB or 2GB.
func byteCount(said string) (int64, error) {
	number := strings.TrimRight(strings.ToUpper(strings.TrimSpace(said)), "BIKMGT")
	unit := strings.TrimSuffix(strings.ToUpper(strings.TrimSpace(said))[len(number):], "B")
	shift, known := map[string]int{"": 0, "K": 10, "M": 20, "G": 30, "T": 40}[unit]
	n, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil || !known || !within(n, 0, 1e6) {
		return 0, fmt.Errorf("--sound-limit %s: write it as in 500MB or 2GB", said)
	}
	return int64(n * float64(int64(1)<<shift)), nil
}

// absent says that an output is not one of the files that are read.
func absent(out string, read ...string) error {
	for _, in := range read {
		a, errA := os.Stat(out)
		b, errB := os.Stat(in)
		if errA == nil && errB == nil && os.SameFile(a, b) {
			return fmt.Errorf("%s: would write over what is to be read: give it another name", filepath.ToSlash(out))
		}
	}
	return nil
}
