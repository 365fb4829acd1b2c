package main

import (
	"context"
	"errors"
	"io"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/transcription"
	"endpin/piece/words"
)

var transcribeCommand = command{
	name: "transcribe", key: "command.transcribe",
	options: func(f *pflag.FlagSet) {
		f.String("out", "", words.Say("command.option.out.transcribe"))
		f.String("key", "", words.Say("command.option.key"))
		f.String("metre", "", words.Say("command.option.metre"))
		f.Float64("tempo", 0, words.Say("command.option.tempo.transcribe"))
		f.String("title", "", words.Say("command.option.title"))
		f.String("instrument", "bass", words.Say("command.option.instrument", "names", instruments()))
		replaceOption(f)
	},
	run: transcribe,
}

// transcribe writes down what is played in a recording.
func transcribe(c *call) error {
	out, in, err := c.toPiece("command.transcribe.needs")
	if err != nil {
		return err
	}
	asked, err := askedOf(c.flags)
	if err != nil {
		return err
	}
	written, err := job.Transcribe(context.Background(), c.args[0], in, asked, nil)
	if errors.As(err, &transcription.TooFew{}) || errors.As(err, &job.NotHeard{}) {
		return status{notHeard, err}
	}
	if err != nil {
		return err
	}
	written.Piece.Title = text(c.flags, "title")
	write, err := job.Converted(written.Piece, c.args[0], out)
	if err != nil {
		return err
	}
	if strings.EqualFold(filepath.Ext(out), ".musicxml") { // the one format that marks can be written in
		write = func(w io.Writer) error {
			return export.MusicXML(w, written.Piece, export.Options{Questions: questions(written.Doubts)})
		}
	}
	file, err := c.outputs.Write(out, write)
	if err != nil {
		return err
	}
	for _, line := range transcribed(written, asked) {
		c.say(line)
	}
	c.stays()
	return c.say(words.Of("command.transcribe.written", "file", file))
}

// transcribed says what was found, what of it was only proposed, and what is in doubt, the most
// doubtful first.
func transcribed(w *transcription.Written, asked transcription.Asked) []words.Sentence {
	p := w.Piece
	line, _ := p.Line()
	lines := []words.Sentence{
		words.Many("command.transcribe.notes", len(line), "measures", words.Many("command.transcribe.measures", len(p.Measures))),
		words.Of("command.transcribe.tempo", "tempo", words.Whole(w.QPM)),
	}
	if asked.Time == nil {
		lines = append(lines, words.Of("command.transcribe.metre", "beats", w.Time.Beats, "unit", w.Time.Unit))
	}
	if asked.Key == nil {
		lines = append(lines, keyProposed(w.Key))
	}
	lines = append(lines, w.Said...)
	for _, d := range w.Doubts {
		for i := range line {
			if e := &line[i]; e.Measure == d.At.Measure && e.Note == d.At.Note {
				n := &p.Measures[e.Measure].Notes[e.Note]
				lines = append(lines, words.Of("command.transcribe.doubt."+string(d.About), "measure", d.Measure, "beat", words.Beat(e.Beat), "note", words.Note{Step: n.Step, Alter: n.Alter}))
			}
		}
	}
	return lines
}

func keyProposed(k piece.Key) words.Sentence {
	letter, alter := k.Tonic()
	key := "command.transcribe.key.major"
	if k.Minor {
		key = "command.transcribe.key.minor"
	}
	return words.Of(key, "tonic", words.Note{Step: letter, Alter: alter})
}

// questions are the notes over which a question mark stands.
func questions(doubts []transcription.Doubt) (at []piece.At) {
	for _, d := range doubts {
		at = append(at, d.At)
	}
	return at
}

var (
	typedMetre = regexp.MustCompile(`^([1-9][0-9]?)/(1|2|4|8|16)$`)
	typedKey   = regexp.MustCompile(`^([A-G])(#|♯|b|♭)?(m|min| minor| major)?$`)
)

// askedOf reads what is told beforehand.
func askedOf(f *pflag.FlagSet) (asked transcription.Asked, err error) {
	if asked.QPM, _ = f.GetFloat64("tempo"); f.Changed("tempo") && !within(asked.QPM, 15, 400) {
		return asked, words.Fault("command.tempo", "typed", typed(f, "tempo"), "least", 15, "most", 400)
	}
	if typed := text(f, "metre"); typed != "" {
		m := typedMetre.FindStringSubmatch(typed)
		if m == nil {
			return asked, words.Fault("command.metre", "typed", words.Quoted(typed))
		}
		beats, _ := strconv.Atoi(m[1])
		unit, _ := strconv.Atoi(m[2])
		asked.Time = &piece.Time{Beats: beats, Unit: unit}
	}
	if typed := text(f, "key"); typed != "" {
		m := typedKey.FindStringSubmatch(typed)
		if m == nil {
			return asked, words.Fault("command.key", "typed", words.Quoted(typed))
		}
		k := piece.Key{Fifths: strings.Index(piece.Sharps, m[1]) - 1, Minor: m[3] == "m" || m[3] == "min" || m[3] == " minor"}
		switch m[2] {
		case "#", "♯":
			k.Fifths += 7
		case "b", "♭":
			k.Fifths -= 7
		}
		if k.Minor {
			k.Fifths -= 3
		}
		if k.Fifths < -7 || k.Fifths > 7 {
			return asked, words.Fault("command.key", "typed", words.Quoted(typed))
		}
		asked.Key = &k
	}
	return asked, nil
}
