package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/diary"
	"endpin/piece/finding"
	"endpin/piece/outside"
	"endpin/piece/words"
)

var diaryAdd = command{
	name: "add", line: "diary add PLAYER PIECE RECORDING",
	about: `hear a recording and put what was heard into the diary
RECORDING may be a folder: every recording in it is then added, and what is left
out is named. A take is dated by --on, else by a date in its file's name, as in
2026-11-02 17-30, else by its file. The recording stays where it is; --keep-sound
keeps a copy of it beside the diary, so that a later Endpin can hear it again, and
this is remembered until --keep-sound=false.`,
	options: func(f *pflag.FlagSet) {
		diaryOption(f)
		f.String("on", "", "when it was played, as in `2026-11-02T17:30`")
		f.Bool("keep-sound", false, "keep the recording beside the diary")
		f.String("sound-limit", "", "how much `SPACE` kept sound may take, as in 500MB; 2GB unless given, and the oldest goes first")
		f.String("part", "", "the part to hear, by its `NAME` or number; the bass part, or the first, unless given")
		judgingOptions(f)
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
			return fmt.Errorf("--%s is for one recording, and %s is a folder: name a recording in it", option, from)
		}
	}
	if !many { // before a diary is begun
		r, err := recording.Open(from)
		if err != nil {
			return err
		}
		r.Close()
	}
	path, err := theDiary(c, a.player)
	if err != nil {
		return err
	}
	if _, err := diary.Name(a.player); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	if a.diary, err = diary.Open(path); err != nil { // before a minute of listening
		return err
	}
	defer a.diary.Close()
	if err := a.diary.Writable(); err != nil {
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
	if text(c.flags, "json") != "-" {
		fmt.Fprintf(c.out, "The diary is %s.\n", path)
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
		if err := toJSON(a.c, to, h); err != nil || to == "-" {
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
			return fmt.Errorf("%s: stopped; %s in the diary: give the same command to go on", folder, isOrAre(taken, "take"))
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
	for _, l := range leftOut {
		fmt.Fprintf(a.c.out, "Left out: %s: %s.\n", outside.Line(l.File), outside.Line(strings.TrimSuffix(l.Reason, ".")))
	}
	if taken == 0 {
		return status{notHeard, fmt.Errorf("%s: nothing in it went into the diary", folder)}
	}
	return nil
}

func isOrAre(n int, what string) string {
	if n == 1 {
		return "1 " + what + " is"
	}
	return counting(n, what) + " are"
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
	when := added.At.Format("2 January 2006, 15:04")
	if added.Already {
		fmt.Fprintf(a.c.out, "%s is in the diary already, as %s's take of %s. Nothing was added.\n", outside.Line(filepath.Base(file)), added.Player, when)
		return
	}
	fmt.Fprintf(a.c.out, "Added %s's take of %s: %s, %s, %s heard after a shift.\n", added.Player, when, outside.Line(h.Piece),
		counting(len(h.Notes), "note"), counting(len(h.Landings), "landing"))
	for _, w := range added.Warnings {
		fmt.Fprintln(a.c.out, outside.Line(w))
	}
}

var diaryRehear = command{
	name: "rehear", line: "diary rehear [PLAYER]",
	about: `hear kept sound again by this version of the listening
Takes that an earlier version judged and whose sound was kept are judged anew.
Both judgements stay in the diary; the newer one is counted.`,
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
		fmt.Fprintf(c.out, "%s heard again.\n", counting(count, "take"))
		return nil
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
