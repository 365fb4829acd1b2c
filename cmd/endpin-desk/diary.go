package main

import (
	"errors"
	"io/fs"
	"os"
	"sync"
	"time"

	"endpin/assets"
	"endpin/cmd/job"
	"endpin/piece/diary"
	"endpin/piece/report/progress"
	"endpin/ui/desk/pieces"
	"endpin/ui/desk/weeks"
)

// diaries is `endpin diary` for the desk: each question opens the diary and
// closes it, so that other programs find it as they would without the desk.
type diaries struct {
	where job.Diaries
	mu    sync.Mutex
}

// with opens the diary that a player's takes lie in. Where none is there yet,
// begin makes one; else there is nothing to do.
func (d *diaries) with(player string, begin bool, do func(*diary.Diary) error) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	path, err := d.where.Of(player)
	if err != nil {
		return err
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) && !begin {
		return nil
	}
	open, err := diary.Open(path)
	if err != nil {
		return err
	}
	defer open.Close()
	return do(open)
}

// Remember implements weeks.Diary.
func (d *diaries) Remember(r weeks.Remembered) (kept weeks.Kept, err error) {
	r.Options.Instrument = &r.Score.On.Instrument
	err = d.with(r.Player, true, func(open *diary.Diary) error {
		keep, err := open.KeepSound(r.Player, nil, nil)
		if err != nil {
			return err
		}
		h := job.Heard{Player: r.Player, Piece: r.Score.Piece, PieceFile: r.Score.File, Part: r.Score.Part, Recording: r.Sound,
			Options: r.Options, Instrument: r.Score.On.Word, Hearing: r.Hearing, At: r.At, KeepSound: keep}
		if r.Score.Demo {
			h.PieceData = assets.DemoPiece
		}
		a, err := job.Remember(open, h, time.Now())
		if err != nil {
			return err
		}
		kept = weeks.Kept{Already: a.Already, Said: a.Warnings}
		return open.Safeguard(time.Now())
	})
	return kept, err
}

// Mended implements weeks.Diary.
func (d *diaries) Mended(m weeks.Mended) error {
	return d.with(m.Player, true, func(open *diary.Diary) error {
		return open.AddMended(diary.Mended{Player: m.Player, Piece: m.Score.Piece.Title, Content: m.Score.Content, At: m.At,
			Kind: m.Kind, Measure: m.Measure, Was: m.Was, Now: m.Now, Let: m.Let, Level: m.Level, Rounds: m.Rounds})
	})
}

// Players implements weeks.Diary.
func (d *diaries) Players() (names []string, err error) {
	files, err := d.where.All()
	if err != nil {
		return nil, err
	}
	for _, path := range files {
		in := diaries{where: job.Diaries(path)}
		err := in.with("", false, func(open *diary.Diary) error {
			players, err := open.Players()
			for _, p := range players {
				names = append(names, p.Name)
			}
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return names, nil
}

// Weeks implements weeks.Diary.
func (d *diaries) Weeks(player string, from time.Time) (m progress.Model, err error) {
	err = d.with(player, false, func(open *diary.Diary) error {
		m, err = job.DiaryPage(open, diary.Span{Player: player, From: from}, time.Now())
		return err
	})
	return m, err
}

// Practised is what the diary knows of a player's work on each piece, by its content.
func (d *diaries) Practised(player string) (by map[string]*pieces.Worked, err error) {
	by = map[string]*pieces.Worked{}
	err = d.with(player, false, func(open *diary.Diary) error {
		w, err := open.Weeks(diary.Span{Player: player})
		if err != nil {
			return err
		}
		for _, t := range w.Takes {
			if by[t.Content] == nil {
				by[t.Content] = &pieces.Worked{}
			}
			by[t.Content].Add(t.At, t.QPM, nil, nil)
		}
		measures, err := w.Measures()
		for _, m := range measures {
			to := by[m.Content].Measures
			to[m.Measure] = append(to[m.Measure], m.Passes...)
		}
		return err
	})
	return by, err
}

// Class implements weeks.Diary.
func (d *diaries) Class(from time.Time) (progress.ClassModel, error) {
	files, err := d.where.All()
	if err != nil {
		return progress.ClassModel{}, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	return job.DiaryClass(files, func(player string) (diary.Span, error) { return diary.Span{Player: player, From: from}, nil }, time.Now())
}

// Sound implements weeks.Diary.
func (d *diaries) Sound(player string) (s weeks.KeptSound, err error) {
	s.Limit = diary.SoundLimit
	err = d.with(player, false, func(open *diary.Diary) error {
		keep, err := open.KeepSound(player, nil, nil)
		if err != nil {
			return err
		}
		s.Keep = keep
		s.Limit, s.Taken, err = open.SoundLimit()
		return err
	})
	return s, err
}

// KeepSound implements weeks.Diary.
func (d *diaries) KeepSound(player string, s weeks.KeptSound) error {
	return d.with(player, true, func(open *diary.Diary) error {
		_, err := open.KeepSound(player, &s.Keep, &s.Limit)
		return err
	})
}
