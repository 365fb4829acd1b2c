package main

import (
	"os"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/diary"
	"endpin/piece/words"
)

var diaryCommand = command{
	name: "diary", key: "command.diary",
	below: []command{diaryAdd, diaryShifts, diaryMended, diaryReport, diaryTakes, diaryPlayers, diaryRehear, diaryCheck, diaryExport, diaryImport, diaryRemove, diaryForget},
}

// diaryOption is the option of every diary command.
func diaryOption(f *pflag.FlagSet) {
	f.String("diary", "", words.Say("command.option.diary.diary"))
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
	return openFor(path, player)
}

func openFor(path, player string) (*diary.Diary, error) {
	d, err := diary.OpenThere(path)
	if err != nil {
		return nil, err
	}
	if player == "" {
		return d, nil
	}
	known, err := d.Has(player)
	if err == nil && !known {
		err = words.Fault("command.diary.no-player", "file", path, "name", words.Quoted(player))
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
		err = words.Fault("command.diary.none", "folder", text(c.flags, "diary"))
	}
	return files, err
}

// needs says that a command was given its names.
func needs(c *call, names int) error {
	if len(c.args) != names {
		return words.Many("command.needs", names, "line", c.line(), "given", len(c.args)).Fault()
	}
	return nil
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
	return time.Time{}, words.Fault("command.on", "typed", said)
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
		return time.Time{}, words.Fault("command.since", "typed", said)
	}
	y, m, d := now.Date()
	return time.Date(y, m, d-n*days, 0, 0, 0, 0, now.Location()), nil
}

// ofPlayer tells of the one player named, in the span asked for.
func ofPlayer(c *call, tell func(d *diary.Diary, s diary.Span) error) error {
	if err := needs(c, 1); err != nil {
		return err
	}
	d, err := thereIs(c, c.args[0])
	if err != nil {
		return err
	}
	defer d.Close()
	s, err := asked(c, d, c.args[0])
	if err != nil {
		return err
	}
	return tell(d, s)
}

// asked is the span of a player's diary that is asked for: of a piece that is in it.
func asked(c *call, d *diary.Diary, player string) (diary.Span, error) {
	s, err := span(c, player)
	if err != nil || s.Piece == "" {
		return s, err
	}
	there, err := d.HasPiece(player, s.Piece)
	if err == nil && !there {
		err = words.Fault("command.diary.no-piece", "typed", words.Quoted(text(c.flags, "piece")), "file", d.Path(), "name", player)
	}
	return s, err
}

func span(c *call, player string) (diary.Span, error) {
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
		s.Piece = piece.Content(line)
	}
	return s, nil
}

func spanOptions(f *pflag.FlagSet) {
	f.String("piece", "", words.Say("command.option.piece"))
	f.String("since", "", words.Say("command.option.since"))
}

// byteCount reads an amount of disk, as in 500MB or 2GB.
func byteCount(said string) (int64, error) {
	number := strings.TrimRight(strings.ToUpper(strings.TrimSpace(said)), "BIKMGT")
	unit := strings.TrimSuffix(strings.ToUpper(strings.TrimSpace(said))[len(number):], "B")
	shift, known := map[string]int{"": 0, "K": 10, "M": 20, "G": 30, "T": 40}[unit]
	n, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil || !known || !within(n, 0, 1e6) {
		return 0, words.Fault("command.sound-limit", "typed", said)
	}
	return int64(n * float64(int64(1)<<shift)), nil
}
