package desk

import (
	"context"
	"io"
	"time"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/piece/finding"
	"endpin/ui/desk/classroom"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/weeks"
)

// Means is what a desk is given from outside: the world it must not reach for.
type Means struct {
	// Post has a function run on the goroutine that the desk belongs to.
	Post func(func())

	// Card is the computer's sound; nil for none.
	Card *sound.Card

	// Instead gives what plays in the place of a microphone that is not there,
	// and its name for the user; nil for nothing. Where the desk leads, its first
	// note is to sound after what at gives, in s, once the source is read.
	Instead func(at func() float64) (source dsp.Source, name string, err error)

	// Hear listens to a recording and judges it as a take, as `endpin hear` does.
	Hear func(ctx context.Context, s *Score, path string, o finding.Options, told func(share float64)) (*finding.Hearing, *dsp.Heard, error)

	// HearSound is Hear for a WAV that lies in no file; name stands for it.
	HearSound func(ctx context.Context, s *Score, name string, wav io.Reader, o finding.Options, told func(share float64)) (*finding.Hearing, *dsp.Heard, error)

	// Open opens a recording, to play a part of it.
	Open func(path string) (playback.Recording, error)

	// HearClass hears a folder of recordings and writes its pages; nil for none.
	HearClass classroom.Hear

	// Diary keeps takes over months; nil for none.
	Diary weeks.Diary

	// ReadScore reads a piece from a file; nil for none.
	ReadScore classroom.ReadScore

	// Room is how many bytes may still be written in a folder, where that is known;
	// nil where it never is.
	Room func(folder string) (bytes int64, known bool)

	Folder   string // where takes are kept
	Settings string // the settings' file; empty to remember nothing
	Now      func() time.Time

	// Listening is called once a stream runs, from its goroutine; may be nil.
	Listening func()

	create func(path string) (tape.File, error) // the file of a take; nil for one on disk
}

// silence is a source without sound, for ways in which nobody listens.
type silence struct{ rate int }

func (s silence) Rate() int { return s.rate }
func (s silence) Read(buf []float32) (int, error) {
	clear(buf)
	return len(buf), nil
}

// Paced gives a source at the speed at which a microphone would hear it.
type Paced struct {
	dsp.Source
	began time.Time
	given int64
}

// Read implements dsp.Source.
func (p *Paced) Read(buf []float32) (int, error) {
	if p.began.IsZero() {
		p.began = time.Now()
	}
	n, err := p.Source.Read(buf)
	p.given += int64(n)
	due := p.began.Add(time.Duration(float64(p.given) / float64(p.Rate()) * float64(time.Second)))
	time.Sleep(time.Until(due))
	return n, err
}

// Lasting goes on with silence where a source ends, as a room does.
type Lasting struct{ dsp.Source }

// Read implements dsp.Source.
func (l Lasting) Read(buf []float32) (int, error) {
	n, err := l.Source.Read(buf)
	if err != nil {
		clear(buf)
		return len(buf), nil
	}
	return n, nil
}

// Later holds a source back with silence, for as long as Wait says when it is
// first read, s.
type Later struct {
	dsp.Source
	Wait func() float64
	left int
	told bool
}

// Read implements dsp.Source.
func (l *Later) Read(buf []float32) (int, error) {
	if !l.told {
		l.told, l.left = true, int(max(0, l.Wait())*float64(l.Rate()))
	}
	if l.left == 0 {
		return l.Source.Read(buf)
	}
	n := min(l.left, len(buf))
	clear(buf[:n])
	l.left -= n
	return n, nil
}
