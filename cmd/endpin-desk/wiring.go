package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"

	"fyne.io/fyne/v2"

	"endpin/assets"
	"endpin/cmd/job"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/dsp/sound"
	"endpin/dsp/sound/portaudio"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/homework"
	"endpin/piece/notation"
	"endpin/piece/pencil"
	"endpin/piece/transcription"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/assigned"
	"endpin/ui/desk/ear"
	"endpin/ui/desk/pieces"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/room"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/writing"
)

// readScore reads the piece in a file: a part of it, "" for the one that fits, for an
// instrument by its word, "" for the bass.
func readScore(path, part, instrument string) (*score.Score, error) {
	in := fingerboard.Instruments()[0]
	if instrument != "" {
		of, err := fingerboard.ByWord(instrument)
		if err != nil {
			return nil, err
		}
		in = fingerboard.Named{Word: instrument, Instrument: of}
	}
	p, err := job.ReadPiece(path, part, &in.Instrument)
	if err != nil {
		return nil, err
	}
	if len(p.Measures) == 0 {
		return nil, words.Fault("window.start.no-measures", "file", path)
	}
	s := score.For(p, path, in)
	s.Part = part
	if h, err := job.OpenHomework(path); err == nil {
		defer h.Close()
		s.Homework = h.File
	}
	return s, nil
}

// demoScore reads the piece that comes with Endpin.
func demoScore() (*score.Score, error) {
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	if err != nil {
		return nil, err
	}
	s := score.New(p, assets.DemoPieceName)
	s.Demo = true
	return s, nil
}

// means gives the desk this computer. The error tells of takes of before that could
// not be carried over; the desk serves all the same.
func means(o opts, out io.Writer) (m desk.Means, err error) {
	pupils, diary := &lessons{alone: fyne.DoAndWait}, &diaries{where: job.Diaries(o.diary)}
	m = desk.Means{
		Post: fyne.Do, Computer: room.Computer{Card: sound.New(portaudio.New()), Instead: demoTake},
		Ear:  ear.Ear{Hear: hear, HearSound: hearSound, Judge: judge},
		Free: freeRoom,

		Open: func(path string) (playback.Recording, error) { return job.OpenTake(path) },

		Homework: assigned.Means{
			Example: func(path string) (playback.Recording, error) { return job.OpenExample(path) },
			WriteHomework: func(to io.Writer, pieceFile string, marked []byte, h homework.Homework, example string) error {
				return writeHomework(to, job.Assigned{Homework: h, PieceFile: pieceFile, Score: marked, Recording: example})
			},
		},

		Pencil: func(s *score.Score) (*pencil.Pencil, error) {
			if s.Demo {
				return pencil.Open(assets.DemoPieceName, assets.DemoPiece)
			}
			return job.OpenPencil(s.File, s.Part, &s.On.Instrument)
		},

		Diary: diary, Practised: diary.Practised,

		HearClass: pupils.hear, AddToClass: pupils.add,
		ReadScore: func(path string) (*score.Score, error) { return readScore(path, "", "") },

		Pieces: pieces.Means{Read: readScore, Demo: demoScore},

		Writing: writing.Means{Transcribe: transcribe},
	}
	m.Settings = settingsFile()
	data, noData := job.DataFolder()
	if noData == nil {
		m.Pieces.Folder, m.Drills = filepath.Join(data, "pieces"), filepath.Join(data, "drills")
		m.Writing.Folder, m.Writing.Journal = filepath.Join(data, "written"), filepath.Join(data, "writing.json")
	}
	if o.folder != "" {
		m.Folder = o.folder
	} else if noData == nil {
		m.Folder = filepath.Join(data, "takes")
		if m.Settings != "" { // where takes lay at first
			err = shelf.Move(filepath.Join(filepath.Dir(m.Settings), "takes"), m.Folder)
		}
	}
	if o.work != "" {
		var once sync.Once
		m.Listening = func() { once.Do(func() { fmt.Fprintln(out, "listening") }) }
	}
	return m, err
}

// settingsFile is where the desk's settings are; "" where this computer has no place for such.
func settingsFile() string {
	folder, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(folder, "endpin", "desk.json")
}

// transcribe is `endpin transcribe` for the desk.
func transcribe(ctx context.Context, path, instrument string, asked transcription.Asked, told func(float64)) (*transcription.Written, error) {
	in, err := fingerboard.ByWord(instrument)
	if err != nil {
		return nil, err
	}
	return job.Transcribe(ctx, path, in, asked, told)
}

// hear is `endpin hear` for the desk: the same code on the same sound.
func hear(ctx context.Context, s *score.Score, path string, o finding.Options, told func(float64)) (*finding.Hearing, *dsp.Heard, error) {
	r, err := job.OpenTake(path)
	if err != nil {
		return nil, nil, err
	}
	return hearOpen(ctx, s, path, r, o, told)
}

// hearSound is hear for sound that lies in no file.
func hearSound(ctx context.Context, s *score.Score, name string, wav io.Reader, o finding.Options, told func(float64)) (*finding.Hearing, *dsp.Heard, error) {
	r, err := recording.Decode(name, wav)
	if err != nil {
		return nil, nil, err
	}
	return hearOpen(ctx, s, name, r, o, told)
}

func hearOpen(ctx context.Context, s *score.Score, path string, r *recording.Recording, o finding.Options, told func(float64)) (*finding.Hearing, *dsp.Heard, error) {
	defer r.Close()
	o.Instrument = &s.On.Instrument
	last := 0.0
	return forDesk(path)(job.HearOpen(ctx, s.Piece, s.File, r, o, func(share float64) {
		if share-last >= 0.01 || share < 0 && last >= 0 {
			last = share
			told(share)
		}
	}))
}

// judge is hear for a recording that was listened to while it was played.
func judge(ctx context.Context, s *score.Score, path string, heard *dsp.Heard, o finding.Options) (*finding.Hearing, *dsp.Heard, error) {
	r, err := job.OpenTake(path)
	if err != nil {
		return nil, nil, err
	}
	defer r.Close()
	o.Instrument = &s.On.Instrument
	return forDesk(path)(job.JudgeOpen(ctx, s.Piece, s.File, r, heard, o, nil))
}

// forDesk says why nothing was heard of a recording as it is read on the desk.
func forDesk(path string) func(*finding.Hearing, *dsp.Heard, error) (*finding.Hearing, *dsp.Heard, error) {
	return func(h *finding.Hearing, heard *dsp.Heard, err error) (*finding.Hearing, *dsp.Heard, error) {
		if nothing := (job.NotHeard{}); errors.As(err, &nothing) {
			err = job.OfFile(path, nothing.Why(job.ForDesk))
		}
		return h, heard, err
	}
}

// writeHomework is `endpin assign` for the desk.
func writeHomework(to io.Writer, a job.Assigned) error {
	var s *score.Score
	var err error
	if a.Score != nil { // as it was marked
		p, err := notation.Read(a.PieceFile, a.Score, notation.Part(a.Part))
		if err == nil {
			err = a.Ask(p)
		}
		if err != nil {
			return err
		}
		return a.Write(to)
	}
	if a.PieceFile == assets.DemoPieceName {
		a.Score = assets.DemoPiece
		s, err = demoScore()
	} else {
		s, err = readScore(a.PieceFile, a.Part, "")
	}
	if err == nil {
		err = a.Ask(s.Piece)
	}
	if err != nil {
		return err
	}
	return a.Write(to)
}

// demoTake plays the demo piece in the microphone's place, at the speed of playing and
// with the click where there is one, and the room stays silent after it. It plays no
// other piece.
func demoTake(s *score.Score, at func() float64) (dsp.Source, string, error) {
	if !s.Demo {
		return nil, "", nil
	}
	r, err := recording.Decode(assets.DemoTakeName, bytes.NewReader(assets.DemoTake))
	if err != nil {
		return nil, "", err
	}
	late := &room.Later{Source: room.Lasting{Source: r}, Wait: func() float64 { return at() - assets.DemoTakeBegins }}
	return &room.Paced{Source: late}, words.Say("window.start.demo-take"), nil
}
