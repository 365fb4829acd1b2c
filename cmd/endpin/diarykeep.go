package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"endpin/piece/diary"
	"endpin/piece/outside"
)

var diaryTakes = command{
	name: "takes", line: "diary takes PLAYER",
	about:   "list a player's takes, each with its number",
	options: func(f *pflag.FlagSet) { diaryOption(f); spanOptions(f) },
	run: func(c *call) error {
		if err := needs(c, 1); err != nil {
			return err
		}
		d, err := thereIs(c, c.args[0])
		if err != nil {
			return err
		}
		defer d.Close()
		span, err := asked(c, c.args[0])
		if err != nil {
			return err
		}
		takes, err := d.Takes(span)
		if err != nil {
			return err
		}
		for _, t := range takes {
			sound := ""
			if t.Kept {
				sound = ", sound kept"
			}
			fmt.Fprintf(c.out, "%d  %s  %s, %s at %.0f quarter notes a minute, %s%s\n", t.ID, t.At.Format("2006-01-02 15:04 -0700"), outside.Line(t.Piece),
				counting(t.Notes, "note"), t.QPM, counting(t.Findings, "finding"), sound)
			if t.Warning != "" {
				fmt.Fprintf(c.out, "  %s\n", outside.Line(t.Warning))
			}
		}
		if len(takes) == 0 {
			fmt.Fprintln(c.out, "No take in this time.")
		}
		return nil
	},
}

var diaryPlayers = command{
	name: "players", line: "diary players",
	about:   "list the players",
	options: diaryOption,
	run: func(c *call) error {
		if err := needs(c, 0); err != nil {
			return err
		}
		return eachDiary(c, func(d *diary.Diary) error {
			players, err := d.Players()
			for _, p := range players {
				if p.Takes == 0 {
					fmt.Fprintf(c.out, "%s  no take\n", outside.Line(p.Name))
					continue
				}
				fmt.Fprintf(c.out, "%s  %s, %s to %s\n", outside.Line(p.Name), counting(p.Takes, "take"), p.First.Format("2 January 2006"), p.Last.Format("2 January 2006"))
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
	name: "check", line: "diary check",
	about: `look through the whole diary, and make a good copy of it
Where something is damaged it is said, and the last good copy named.`,
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
			fmt.Fprintf(c.out, "%s is whole: %s, %s, %s, %s, %s kept.\n", d.Path(), counting(is.Players, "player"), counting(is.Takes, "take"),
				counting(is.Notes, "note"), counting(is.Landings, "landing"), counting(is.Sounds, "recording"))
			if is.Left > 0 {
				fmt.Fprintf(c.out, "Cleaned away, as a program that was cut off left them: %s.\n", counting(is.Left, "file"))
			}
			if n := len(is.Orphans); n > 0 {
				fmt.Fprintf(c.out, "In %s %s of no take: endpin diary add --keep-sound takes a recording in again, else delete it.\n", d.Sounds(), isOrAre(n, "recording"))
			}
			if is.Copy != "" {
				fmt.Fprintf(c.out, "A good copy is %s.\n", is.Copy)
			}
			return nil
		})
	},
}

var diaryExport = command{
	name: "export", line: "diary export FOLDER",
	about: `write everything in the diary as JSON and CSV into a new folder
diary.json has it all; the same stands in a CSV table each. Kept sound is copied
beside them. endpin diary import reads it back.`,
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
				fmt.Fprintf(c.out, "Left out: %s that cannot be read.\n", counting(unread, "take"))
			}
			_, err = fmt.Fprintf(c.out, "Written into %s.\n", folder)
			return err
		})
	},
}

var diaryImport = command{
	name: "import", line: "diary import FOLDER",
	about: `read an export back into a new diary
From diary.json where the folder has it, else from its CSV tables.`,
	options: diaryOption,
	run: func(c *call) error {
		if err := needs(c, 1); err != nil {
			return err
		}
		if _, err := os.Stat(c.args[0]); err != nil {
			return fmt.Errorf("%s: there is no such folder: look at the name", c.args[0])
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
			fmt.Fprintf(c.out, "The sound of %s not in the export: those takes stand without it.\n", isOrAre(soundless, "recording"))
		}
		_, err = fmt.Fprintf(c.out, "Read back into %s.\n", path)
		return err
	},
}

var diaryForget = command{
	name: "forget", line: "diary forget PLAYER",
	about: `remove a player from the diary for good
Everything heard of the player goes, and kept sound with it, also out of the good
copy. Pages and exports made before are files of yours: delete those yourself. It asks
first.`,
	options: func(f *pflag.FlagSet) { diaryOption(f); yesOption(f) },
	run: func(c *call) error {
		if err := needs(c, 1); err != nil {
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
		_, err = fmt.Fprintf(c.out, "Forgotten, with %s.\n", counting(takes, "take"))
		return err
	},
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
	if err := sure(c, fmt.Sprintf("%s with %s", name, counting(len(w), "take")), name); err != nil {
		return 0, err
	}
	return d.Forget(name)
}

var diaryRemove = command{
	name: "remove", line: "diary remove PLAYER TAKE",
	about: `remove one take for good
TAKE is its number in endpin diary takes. What was heard in it goes, and its sound,
also out of the good copy. It asks first.`,
	options: func(f *pflag.FlagSet) { diaryOption(f); yesOption(f) },
	run: func(c *call) error {
		if err := needs(c, 2); err != nil {
			return err
		}
		take, err := strconv.ParseInt(c.args[1], 10, 64)
		if err != nil {
			return fmt.Errorf("take %q: write its number: endpin diary takes lists them", c.args[1])
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
			what := fmt.Sprintf("%s's take of %s, %s", name, t.At.Format("2 January 2006, 15:04"), outside.Line(t.Piece))
			if err := sure(c, what, name); err != nil {
				return err
			}
		}
		at, err := d.RemoveTake(name, take)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(c.out, "Removed %s's take of %s.\n", name, at.Format("2 January 2006, 15:04"))
		return err
	},
}
