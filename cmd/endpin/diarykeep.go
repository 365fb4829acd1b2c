package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"endpin/piece/diary"
	"endpin/piece/diary/exported"
	"endpin/piece/outside"
	"endpin/piece/words"
)

var diaryTakes = command{
	name: "takes", key: "command.diary-takes",
	options: func(f *pflag.FlagSet) { diaryOption(f); spanOptions(f) },
	run: func(c *call) error {
		return ofPlayer(c, func(d *diary.Diary, span diary.Span) error {
			takes, err := d.Takes(span)
			if err != nil {
				return err
			}
			for _, t := range takes {
				key := "command.diary-takes.row"
				if t.Kept {
					key = "command.diary-takes.row.sound"
				}
				c.say(words.Of(key, "id", t.ID, "at", t.At.Format("2006-01-02 15:04 -0700"), "piece", outside.Line(t.Piece),
					"notes", words.Many("command.count.notes", t.Notes), "qpm", words.Whole(t.QPM), "findings", words.Many("command.count.findings", t.Findings)))
				if t.Warning != "" {
					fmt.Fprintf(c.out, "  %s\n", outside.Line(t.Warning))
				}
			}
			if len(takes) == 0 {
				c.say(words.Of("command.diary-takes.none"))
			}
			return nil
		})
	},
}

var diaryPlayers = command{
	name: "players", key: "command.diary-players",
	options: diaryOption,
	run: func(c *call) error {
		if err := needs(c, 0); err != nil {
			return err
		}
		return eachDiary(c, func(d *diary.Diary) error {
			players, err := d.Players()
			for _, p := range players {
				if p.Takes == 0 {
					c.say(words.Of("command.diary-players.row.none", "name", outside.Line(p.Name)))
					continue
				}
				c.say(words.Many("command.diary-players.row", p.Takes, "name", outside.Line(p.Name), "first", words.Day(p.First), "last", words.Day(p.Last)))
			}
			return err
		})
	},
}

// eachDiary opens the diaries asked for one after the other.
func eachDiary(c *call, do func(*diary.Diary) error) error {
	files, err := allDiaries(c)
	if err != nil {
		return err
	}
	for _, path := range files {
		d, err := diary.OpenThere(path)
		if err != nil {
			return err
		}
		err = do(d)
		d.Close()
		if err != nil {
			return err
		}
	}
	return nil
}

var diaryCheck = command{
	name: "check", key: "command.diary-check",
	options: diaryOption,
	run: func(c *call) error {
		if err := needs(c, 0); err != nil {
			return err
		}
		return eachDiary(c, func(d *diary.Diary) error {
			is, err := d.Check()
			if err != nil {
				return err
			}
			c.say(words.Of("command.diary-check.whole", "file", d.Path(), "players", words.Many("command.count.players", is.Players),
				"takes", words.Many("command.count.takes", is.Takes), "notes", words.Many("command.count.notes", is.Notes),
				"landings", words.Many("command.count.landings", is.Landings), "recordings", words.Many("command.count.recordings", is.Sounds)))
			if is.Left > 0 {
				c.say(words.Many("command.diary-check.cleaned", is.Left))
			}
			if n := len(is.Orphans); n > 0 {
				c.say(words.Many("command.diary-check.orphans", n, "folder", d.Sounds()))
			}
			if is.Copy != "" {
				c.say(words.Of("command.diary-check.copy", "file", is.Copy))
			}
			return nil
		})
	},
}

var diaryExport = command{
	name: "export", key: "command.diary-export",
	options: diaryOption,
	run: func(c *call) error {
		if err := needs(c, 1); err != nil {
			return err
		}
		return eachDiary(c, func(d *diary.Diary) error {
			folder := c.args[0]
			if diaries(c).Folder() {
				folder = filepath.Join(folder, strings.TrimSuffix(filepath.Base(d.Path()), filepath.Ext(d.Path())))
			}
			unread, err := d.Export(folder)
			if err != nil {
				return err
			}
			if unread > 0 {
				c.say(words.Many("command.diary-export.unread", unread))
			}
			return c.say(words.Of("command.diary-export.written", "folder", folder))
		})
	},
}

var diaryImport = command{
	name: "import", key: "command.diary-import",
	options: diaryOption,
	run: func(c *call) error {
		if err := needs(c, 1); err != nil {
			return err
		}
		if _, err := os.Stat(c.args[0]); err != nil {
			return words.Fault("job.folder.absent", "folder", c.args[0])
		}
		if err := exported.Looks(c.args[0]); err != nil {
			return err
		}
		path, err := theDiary(c, "")
		if err != nil {
			return err
		}
		d, err := diary.Open(path)
		if err != nil {
			return err
		}
		defer d.Close()
		soundless, err := d.Import(c.args[0])
		if err != nil {
			return err
		}
		if soundless > 0 {
			c.say(words.Many("command.diary-import.soundless", soundless))
		}
		return c.say(words.Of("command.diary-import.read", "file", path))
	},
}

var diaryForget = command{
	name: "forget", key: "command.diary-forget",
	options: func(f *pflag.FlagSet) { diaryOption(f); yesOption(f) },
	run: func(c *call) error {
		if err := needs(c, 1); err != nil {
			return err
		}
		if err := forgottenBefore(c); err != nil {
			return err
		}
		d, err := thereIs(c, c.args[0])
		if err != nil {
			return err
		}
		takes, err := forget(c, d)
		if e := d.Close(); err == nil {
			err = e
		}
		if err == nil && diaries(c).Folder() {
			err = diary.Remove(d.Path()) // the file was this player's alone, and has the name
		}
		if err != nil {
			return err
		}
		return c.say(words.Many("command.diary-forget.forgotten", takes))
	},
}

// forgottenBefore takes a player's own file away that a program has forgotten the player
// in and was cut off before it could remove it.
func forgottenBefore(c *call) error {
	path, err := theDiary(c, c.args[0])
	if err != nil || !diaries(c).Folder() {
		return err
	}
	d, err := diary.OpenThere(path)
	if err != nil {
		return nil // thereIs says it
	}
	players, err := d.Players()
	d.Close()
	if err != nil || len(players) > 0 {
		return err
	}
	return diary.Remove(path)
}

// forget asks, and does it.
func forget(c *call, d *diary.Diary) (takes int, err error) {
	w, err := d.Takes(diary.Span{Player: c.args[0]})
	if err != nil {
		return 0, err
	}
	name, err := d.Spelled(c.args[0])
	if err != nil {
		return 0, err
	}
	if err := sure(c, words.Many("command.diary-forget.what", len(w), "name", outside.Line(name)), name); err != nil {
		return 0, err
	}
	return d.Forget(name)
}

var diaryRemove = command{
	name: "remove", key: "command.diary-remove",
	options: func(f *pflag.FlagSet) { diaryOption(f); yesOption(f) },
	run: func(c *call) error {
		if err := needs(c, 2); err != nil {
			return err
		}
		take, err := strconv.ParseInt(c.args[1], 10, 64)
		if err != nil {
			return words.Fault("command.diary-remove.number", "typed", words.Quoted(c.args[1]))
		}
		d, err := thereIs(c, c.args[0])
		if err != nil {
			return err
		}
		defer d.Close()
		name, err := d.Spelled(c.args[0])
		if err != nil {
			return err
		}
		takes, err := d.Takes(diary.Span{Player: name})
		if err != nil {
			return err
		}
		for _, t := range takes {
			if t.ID != take {
				continue // one that is not there needs no question
			}
			what := words.Of("command.diary-remove.what", "name", outside.Line(name), "when", words.Day(t.At).WithHour(), "piece", outside.Line(t.Piece))
			if err := sure(c, what, name); err != nil {
				return err
			}
		}
		at, err := d.RemoveTake(name, take)
		if err != nil {
			return err
		}
		return c.say(words.Of("command.diary-remove.removed", "name", name, "when", words.Day(at).WithHour()))
	},
}
