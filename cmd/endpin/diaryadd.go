package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"time"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/dsp/recording"
	"endpin/piece/diary"
	"endpin/piece/finding"
)

var diaryAdd = command{
	name: "add", line: "diary add PLAYER PIECE RECORDING",
	about: `hear a recording and put what was heard into the diary
The recording is dated by its file unless --on says otherwise. It stays where it
is; --keep-sound keeps a copy of it beside the diary, so that a later Endpin can
hear it again, and this is remembered until --keep-sound=false.`,
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

func addToDiary(c *call) error {
	if err := needs(c, 3); err != nil {
		return err
	}
	player, pieceFile, recordingFile := c.args[0], c.args[1], c.args[2]
	opts, err := judging(c.flags)
	if err != nil {
		return err
	}
	at, err := on(c)
	if err != nil {
		return err
	}
	var keep *bool
	if c.flags.Changed("keep-sound") {
		said, _ := c.flags.GetBool("keep-sound")
		keep = &said
	}
	var limit *int64
	if said := text(c.flags, "sound-limit"); said != "" {
		n, err := byteCount(said)
		if err != nil {
			return err
		}
		limit = &n
	}
	if err := keeps(c.flags, pieceFile, recordingFile); err != nil {
		return err
	}
	p, err := job.ReadPiece(pieceFile, text(c.flags, "part"), opts.Instrument)
	if err != nil {
		return err
	}
	if err := job.Holds(p, opts, pieceFile); err != nil {
		return err
	}
	r, err := recording.Open(recordingFile)
	if err != nil {
		return err
	}
	defer r.Close()
	path, err := theDiary(c, player)
	if err != nil {
		return err
	}
	d, err := diary.Open(path) // before a minute of listening
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Writable(); err != nil {
		return err
	}
	if _, err := diary.Name(player); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	h, _, err := job.HearOpen(ctx, p, pieceFile, r, opts, nil)
	if err != nil {
		return unheard(err)
	}
	keeping, err := d.KeepSound(player, keep, limit)
	if err != nil {
		return err
	}
	a, err := job.Remember(d, job.Heard{Player: player, Piece: p, PieceFile: pieceFile, Part: text(c.flags, "part"), Recording: recordingFile,
		Options: opts, Instrument: text(c.flags, "instrument"), Hearing: h, At: at, KeepSound: keeping}, time.Now())
	if err != nil {
		return err
	}
	if err := sayAdded(c, h, a, path, recordingFile, player); err != nil {
		return err
	}
	return d.Safeguard(time.Now())
}

// sayAdded tells what became of the take.
func sayAdded(c *call, h *finding.Hearing, a diary.Added, path, recordingFile, player string) error {
	when := a.At.Format("2 January 2006, 15:04")
	if file := text(c.flags, "json"); file != "" {
		if err := toJSON(c, file, h); err != nil || file == "-" {
			return err
		}
	}
	if a.Already {
		fmt.Fprintf(c.out, "%s is in the diary already, as %s's take of %s. Nothing was added.\n", filepath.Base(recordingFile), player, when)
		return nil
	}
	fmt.Fprintf(c.out, "Added %s's take of %s: %s, %s, %s heard after a shift.\n", player, when, h.Piece,
		counting(len(h.Notes), "note"), counting(len(h.Landings), "landing"))
	for _, w := range a.Warnings {
		fmt.Fprintln(c.out, w)
	}
	_, err := fmt.Fprintf(c.out, "The diary is %s.\n", path)
	return err
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
