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
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/homework"
	"endpin/piece/notation"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/assigned"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/room"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
)

// readScore reads the piece, or the demo piece where none is named.
func readScore(path, part string) (*score.Score, error) {
	var p *piece.Piece
	var err error
	if path == "" {
		path = assets.DemoPieceName
		p, err = notation.Read(path, assets.DemoPiece)
	} else {
		p, err = job.ReadPiece(path, part, nil)
	}
	if err != nil {
		return nil, err
	}
	if len(p.Measures) == 0 {
		return nil, words.Fault("window.start.no-measures", "file", path)
	}
	s := score.New(p, path)
	if h, err := job.OpenHomework(path); err == nil {
		defer h.Close()
		s.Homework = h.File
	}
	return s, nil
}

// means gives the desk this computer. The error tells of takes of before that could
// not be carried over; the desk serves all the same.
func means(o opts, out io.Writer) (m desk.Means, err error) {
	pupils := &classes{}
	m = desk.Means{
		Post: fyne.Do, Computer: room.Computer{Card: sound.New(portaudio.New())},
		Hear: hear,
		Free: freeRoom,

		HearSound: hearSound,

		Open: func(path string) (playback.Recording, error) { return job.OpenTake(path) },

		Homework: assigned.Means{
			Example: func(path string) (playback.Recording, error) { return job.OpenExample(path) },
			WriteHomework: func(to io.Writer, pieceFile string, h homework.Homework, example string) error {
				h.Part = o.part
				return writeHomework(to, job.Assigned{Homework: h, PieceFile: pieceFile, Recording: example})
			},
		},

		Diary: &diaries{where: job.Diaries(o.diary), part: o.part},

		HearClass: pupils.hear, AddToClass: pupils.add,
		ReadScore: func(path string) (*score.Score, error) { return readScore(path, "") },
	}
	settings, noSettings := os.UserConfigDir()
	if noSettings == nil {
		m.Settings = filepath.Join(settings, "endpin", "desk.json")
	}
	if o.folder != "" {
		m.Folder = o.folder
	} else if data, e := job.DataFolder(); e == nil {
		m.Folder = filepath.Join(data, "takes")
		if noSettings == nil { // where takes lay at first
			err = shelf.Move(filepath.Join(settings, "endpin", "takes"), m.Folder)
		}
	}
	if o.piece == "" {
		m.Instead = demoTake
	}
	if o.work != "" {
		var once sync.Once
		m.Listening = func() { once.Do(func() { fmt.Fprintln(out, "listening") }) }
	}
	return m, err
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
	bass := fingerboard.DoubleBass()
	o.Instrument = &bass
	last := 0.0
	h, heard, err := job.HearOpen(ctx, s.Piece, s.File, r, o, func(share float64) {
		if share-last >= 0.01 || share < 0 && last >= 0 {
			last = share
			told(share)
		}
	})
	if nothing := (job.NotHeard{}); errors.As(err, &nothing) {
		err = job.OfFile(path, nothing.Why(job.ForDesk))
	}
	return h, heard, err
}

// writeHomework is `endpin assign` for the desk.
func writeHomework(to io.Writer, a job.Assigned) error {
	file := a.PieceFile
	if file == assets.DemoPieceName {
		file, a.Score = "", assets.DemoPiece
	}
	s, err := readScore(file, a.Part)
	if err == nil {
		err = a.Ask(s.Piece)
	}
	if err != nil {
		return err
	}
	return a.Write(to)
}

// demoTake plays in the microphone's place, at the speed of playing and with the
// click where there is one, and the room stays silent after it.
func demoTake(at func() float64) (dsp.Source, string, error) {
	r, err := recording.Decode(assets.DemoTakeName, bytes.NewReader(assets.DemoTake))
	if err != nil {
		return nil, "", err
	}
	late := &room.Later{Source: room.Lasting{Source: r}, Wait: func() float64 { return at() - assets.DemoTakeBegins }}
	return &room.Paced{Source: late}, words.Say("window.start.demo-take"), nil
}
