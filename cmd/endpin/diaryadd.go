package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"time"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/diary"
	"endpin/piece/finding"
	"endpin/piece/outside"
	"endpin/piece/player"
	"endpin/piece/words"
)

var diaryAdd = command{
	name: "add", key: "command.diary-add",
	options: func(f *pflag.FlagSet) {
		diaryOption(f)
		f.String("on", "", words.Say("command.option.on"))
		f.Bool("keep-sound", false, words.Say("command.option.keep-sound"))
		f.String("sound-limit", "", words.Say("command.option.sound-limit"))
		f.String("part", "", words.Say("command.option.part"))
		judgingOptions(f)
		replaceOption(f)
	},
	run: addToDiary,
}

// adding is what takes are added by.
type adding struct {
	c                 *call
	ctx               context.Context
	diary             *diary.Diary
	player, pieceFile string
	piece             *piece.Piece
	opts              finding.Options
	at                time.Time
	keepSound         bool
}

func addToDiary(c *call) error {
	if err := needs(c, 3); err != nil {
		return err
	}
	a := &adding{c: c, player: c.args[0], pieceFile: c.args[1]}
	from := c.args[2]
	var err error
	if a.at, err = on(c); err != nil {
		return err
	}
	keep, limit, err := soundAsked(c)
	if err != nil {
		return err
	}
	if a.piece, a.opts, err = pieceAsked(c, a.pieceFile, from); err != nil {
		return err
	}
	info, err := os.Stat(from)
	many := err == nil && info.IsDir()
	for _, option := range []string{"on", "json"} {
		if many && c.flags.Changed(option) {
			return words.Fault("command.diary-add.one", "option", option, "folder", from)
		}
	}
	if !many { // before a diary is begun
		r, err := job.OpenTake(from)
		if err != nil {
			return err
		}
		r.Close()
	}
	path, err := theDiary(c, a.player)
	if err != nil {
		return err
	}
	if _, err := player.Name(a.player); err != nil {
		return job.OfFile(path, err)
	}
	if a.diary, err = diary.Open(path); err != nil { // before a minute of listening
		return err
	}
	defer a.diary.Close()
	if err := a.diary.Writable(); err != nil {
		return err
	}
	if err := c.keeps(path); err != nil {
		return err
	}
	var stop func()
	a.ctx, stop = signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if many {
		err = a.folder(from, keep, limit)
	} else {
		err = a.one(from, keep, limit)
	}
	if err != nil {
		return err
	}
	c.stays()
	if text(c.flags, "json") != "-" {
		c.say(words.Of("command.diary-add.is", "file", path))
	}
	return a.diary.Safeguard(time.Now())
}

// soundAsked is what is said of keeping sound; nil for what is not said.
func soundAsked(c *call) (keep *bool, limit *int64, err error) {
	if c.flags.Changed("keep-sound") {
		said, _ := c.flags.GetBool("keep-sound")
		keep = &said
	}
	if said := text(c.flags, "sound-limit"); said != "" {
		n, err := byteCount(said)
		if err != nil {
			return nil, nil, err
		}
		limit = &n
	}
	return keep, limit, nil
}

// one adds one recording.
func (a *adding) one(file string, keep *bool, limit *int64) error {
	h, err := a.hear(file)
	if err != nil {
		return unheard(err)
	}
	if a.keepSound, err = a.diary.KeepSound(a.player, keep, limit); err != nil {
		return err
	}
	added, err := a.add(file, h)
	if err != nil {
		return err
	}
	if to := text(a.c.flags, "json"); to != "" {
		if err := a.c.toJSON(to, h); err != nil || to == "-" {
			return err
		}
	}
	a.say(file, h, added)
	return nil
}

// folder adds every recording of a folder and names what is left out. One that
// cannot be heard does not stop the others.
func (a *adding) folder(folder string, keep *bool, limit *int64) error {
	files, leftOut, err := job.Recordings(folder, a.pieceFile)
	if err != nil {
		return err
	}
	taken, said := 0, keep == nil && limit == nil
	for _, name := range files {
		file := filepath.Join(folder, name)
		h, err := a.hear(file)
		if errors.Is(err, context.Canceled) {
			return words.Many("command.diary-add.stopped", taken, "folder", folder).Fault()
		}
		if err != nil {
			why, _ := words.Reason(err, file)
			leftOut = append(leftOut, class.LeftOut{File: name, Reason: why})
			continue
		}
		if !said || !a.keepSound {
			if a.keepSound, err = a.diary.KeepSound(a.player, keep, limit); err != nil {
				return err
			}
			said = true
		}
		added, err := a.add(file, h)
		if err != nil {
			return err // the diary's own, or the disk's: it would be the same for the next
		}
		taken++
		a.say(file, h, added)
	}
	a.c.sayLeftOut(leftOut)
	if taken == 0 {
		return status{notHeard, words.Fault("command.diary-add.nothing", "folder", folder)}
	}
	return nil
}

func (a *adding) hear(file string) (*finding.Hearing, error) {
	h, _, err := job.Hear(a.ctx, a.piece, a.pieceFile, file, a.opts, nil)
	return h, err
}

func (a *adding) add(file string, h *finding.Hearing) (diary.Added, error) {
	return job.Remember(a.diary, job.Heard{Player: a.player, Piece: a.piece, PieceFile: a.pieceFile, Part: text(a.c.flags, "part"), Recording: file,
		Options: a.opts, Instrument: text(a.c.flags, "instrument"), Hearing: h, At: a.at, KeepSound: a.keepSound}, time.Now())
}

// say tells what became of a take.
func (a *adding) say(file string, h *finding.Hearing, added diary.Added) {
	when := words.Day(added.At).WithHour()
	if added.Already {
		a.c.say(words.Of("command.diary-add.already", "file", outside.Line(filepath.Base(file)), "name", added.Player, "when", when))
		return
	}
	a.c.say(words.Of("command.diary-add.added", "name", added.Player, "when", when, "piece", outside.Line(h.Piece),
		"notes", words.Many("command.count.notes", h.NotesHeard()), "landings", words.Many("command.count.landings", len(h.Landings))))
	for _, w := range added.Warnings {
		fmt.Fprintln(a.c.out, outside.Line(w))
	}
}

var diaryRehear = command{
	name: "rehear", key: "command.diary-rehear",
	options: diaryOption,
	run: func(c *call) error {
		player := ""
		switch len(c.args) {
		case 0:
		case 1:
			player = c.args[0]
		default:
			return needs(c, 1)
		}
		files, err := allDiaries(c)
		if player != "" {
			var path string
			path, err = theDiary(c, player)
			files = []string{path}
		}
		if err != nil {
			return err
		}
		ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
		defer stop()
		count := 0
		for _, path := range files {
			n, err := rehear(ctx, path, player)
			count += n
			if err != nil {
				return err
			}
		}
		return c.say(words.Many("command.diary-rehear.heard", count))
	},
}

func rehear(ctx context.Context, path, player string) (count int, err error) {
	d, err := diary.OpenThere(path)
	if err != nil {
		return 0, err
	}
	defer d.Close()
	kept, err := d.KeptBefore(finding.Listening, player)
	if err != nil {
		return 0, err
	}
	for _, k := range kept {
		if err := job.Rehear(ctx, d, k, time.Now()); err != nil {
			return count, err
		}
		count++
	}
	return count, nil
}
