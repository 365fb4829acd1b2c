package job

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/diary"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/piece/words"
)

// DiaryFile is where a diary lies unless the player says otherwise: in the
// user's data folder, as the XDG Base Directory Specification has it, and in its
// counterparts on macOS and Windows. The folder is made.
func DiaryFile() (string, error) {
	folder, err := DataFolder()
	if err == nil {
		err = os.MkdirAll(folder, 0o700)
	}
	if err != nil {
		return "", words.Fault("job.diary.no-folder", "err", Cause(err))
	}
	return filepath.Join(folder, "diary.db"), nil
}

// DataFolder is where what a user made belongs: the diary, the desk's takes. It
// need not be there yet.
func DataFolder() (string, error) {
	if folder := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(folder) {
		return filepath.Join(folder, "endpin"), nil
	}
	switch runtime.GOOS {
	case "windows", "darwin", "ios":
		folder, err := os.UserConfigDir()
		return filepath.Join(folder, "endpin"), err
	}
	home, err := os.UserHomeDir()
	return filepath.Join(home, ".local", "share", "endpin"), err
}

// Heard is a take that was heard, to be put into a diary.
type Heard struct {
	Player     string
	Piece      *piece.Piece
	PieceFile  string
	PieceData  []byte // what stands in that file; nil for reading it
	Part       string // the part asked for
	Recording  string // its file
	Options    finding.Options
	Instrument string // its word
	Hearing    *finding.Hearing
	At         time.Time // when it was played; zero for what its file says (see PlayedAt)
	KeepSound  bool
}

// Remember puts a take into a diary. Now is the time of day.
func Remember(d *diary.Diary, h Heard, now time.Time) (diary.Added, error) {
	data := h.PieceData
	if data == nil {
		var err error
		if data, _, err = scoreIn(h.PieceFile); err != nil {
			return diary.Added{}, err
		}
	}
	file, err := os.Open(h.Recording)
	if err != nil {
		return diary.Added{}, OfFile(h.Recording, Cause(err))
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return diary.Added{}, OfFile(h.Recording, Cause(err))
	}
	content, err := diary.SoundContent(file)
	if err == nil {
		_, err = file.Seek(0, io.SeekStart)
	}
	if err != nil {
		return diary.Added{}, OfFile(h.Recording, Cause(err))
	}
	o := h.Options
	t := diary.Take{
		Player: h.Player, Piece: h.Piece, Copy: diary.Copy{Name: filepath.Base(h.PieceFile), Part: h.Part, Data: data},
		Content: content, At: h.At, Dated: !h.At.IsZero(), Now: now, Level: o.Level, Hearing: h.Hearing,
		Asked: diary.Asked{Measures: o.Measures, QPM: o.QPM, A4: o.A4, Intonation: h.Hearing.Intonation, Level: h.Hearing.Level,
			Instrument: h.Instrument, Positions: o.Positions},
	}
	if o.Instrument != nil {
		if in := o.Instrument.For(h.Piece); in.Chosen { // on the desk for the piece, which its copy does not tell, or for all
			t.Asked.School = in.System.School
		}
	}
	if !t.Dated {
		t.At, _ = PlayedAt(h.Recording)
	}
	if h.KeepSound {
		t.Sound = &diary.Sound{Name: h.Recording, Size: info.Size(), Data: file}
	}
	return d.Add(t)
}

// Rehear judges a take whose sound was kept anew, by the options that it was
// judged by before, and files the judgement beside the earlier.
func Rehear(ctx context.Context, d *diary.Diary, k diary.Kept, now time.Time) error {
	c, err := d.CopyOf(k.Take)
	if err != nil {
		return err
	}
	var options []notation.Option
	if c.Part != "" {
		options = append(options, notation.Part(c.Part))
	}
	p, err := notation.Read(c.Name, c.Data, options...)
	if err != nil {
		return err
	}
	o := finding.Options{Measures: k.Asked.Measures, QPM: k.Asked.QPM, A4: k.Asked.A4, Positions: k.Asked.Positions}
	in, errIn := fingerboard.ByWord(k.Asked.Instrument)
	if k.Asked.School != "" && errIn == nil {
		in, errIn = schooled(in, k.Asked.School)
	}
	o.Instrument = &in
	var errLevel, errTemper error
	o.Level, errLevel = finding.LevelByName(k.Asked.Level)
	o.Intonation, errTemper = finding.IntonationByName(k.Asked.Intonation)
	if err := errors.Join(errIn, errLevel, errTemper); err != nil {
		return OfFile(k.Sound, err)
	}
	r, err := recording.Open(k.Sound)
	if err != nil {
		return err
	}
	defer r.Close()
	h, _, err := HearOpen(ctx, p, c.Name, r, o, nil)
	if err != nil {
		return err
	}
	k.Piece = p
	return d.Rehear(k, h, o.Level, now)
}

// schooled is an instrument under a school that was kept.
func schooled(in fingerboard.Instrument, kept string) (fingerboard.Instrument, error) {
	s, err := fingerboard.SchoolKept(kept)
	if err != nil {
		return in, err
	}
	return in.Under(s)
}
