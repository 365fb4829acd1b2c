package recording

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"endpin/dsp"
)

// The sampling rates that can be opened, samples a second.
const (
	MinRate = 8000
	MaxRate = 192000
)

// Recording is one recording, opened. It is a dsp.Source: mono, and samples
// between -1 and 1, whatever the file holds. Close it when done.
type Recording struct {
	name   string
	format format
	sound  samples // mono
	close  func() error
	err    error // what ended the stream; io.EOF for its end
}

// format is what a file's header says of its sound.
type format struct {
	rate     int
	channels int
	name     string  // "WAV, 24-bit"
	seconds  float64 // 0 where the file does not tell
}

// samples is a decoder: interleaved channels between -1 and 1, no NaN. Its
// read obeys the contract of dsp.Source.Read and returns whole frames of all
// channels; buf holds at least one frame.
type samples interface {
	read(buf []float32) (n int, err error)
	// warning is what was wrong with the file so far, or nil.
	warning() *dsp.Error
	close() error
}

// Open opens the recording at path. WAV, FLAC and MP3 are read by ourselves;
// any other format goes through ffmpeg where it is installed.
func Open(path string) (*Recording, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, named(path, plain(err))
	}
	info, err := file.Stat()
	if err == nil && info.IsDir() {
		err = dsp.Fault("recording.folder")
	}
	if err != nil {
		file.Close()
		return nil, named(path, plain(err))
	}
	in := input{r: bufio.NewReaderSize(file, sniffed)}
	if info.Mode().IsRegular() {
		in.path, in.size = path, info.Size()
	}
	rec, err := open(path, in)
	if err != nil {
		file.Close()
		return nil, err
	}
	decoder := rec.close
	rec.close = func() error { return errors.Join(decoder(), file.Close()) }
	return rec, nil
}

// Decode opens a recording that is not a file, such as one embedded in the
// program; name stands for it in errors. Where r can be closed, it is with the recording,
// or where there is none.
func Decode(name string, r io.Reader) (*Recording, error) {
	rec, err := open(name, input{r: bufio.NewReaderSize(r, sniffed)})
	if c, can := r.(io.Closer); can && err != nil {
		c.Close()
	} else if can {
		decoder := rec.close
		rec.close = func() error { return errors.Join(decoder(), c.Close()) }
	}
	return rec, err
}

// input is where a recording's bytes come from.
type input struct {
	r    *bufio.Reader
	path string // of a regular file, which ffmpeg may seek in; "" for a stream
	size int64  // of that file, bytes; 0 for a stream
}

func open(name string, in input) (*Recording, error) {
	return opens(name, func() (samples, format, error) { return decoder(in) })
}

// opens makes a recording of what a decoder opens.
func opens(name string, decode func() (samples, format, error)) (*Recording, error) {
	sound, format, err := decode()
	if err == nil && (format.rate < MinRate || format.rate > MaxRate) {
		sound.close()
		err = dsp.Fault("recording.rate", "rate", format.rate, "least", MinRate, "most", MaxRate)
	}
	if err != nil {
		return nil, named(name, err)
	}
	rec := &Recording{name: name, format: format, sound: sound, close: sound.close}
	if format.channels > 1 {
		rec.sound = newMix(sound, format)
	}
	return rec, nil
}

// decoder chooses the decoder by the content. Where a library refuses the very
// beginning of what sniffs as its format, ffmpeg may know that flavour of it.
func decoder(in input) (samples, format, error) {
	kind, err := sniff(in.r)
	if err != nil {
		return nil, format{}, plain(err)
	}
	var sound samples
	var is format
	switch kind {
	case isWAV:
		sound, is, err = openWAV(in.r, in.size)
	case isFLAC:
		sound, is, err = openFLAC(in.r)
	case isMP3:
		sound, is, err = openMP3(in.r)
	default:
		return openFFmpeg(in, dsp.Fault("recording.is.other"))
	}
	var other flavour
	switch {
	case !errors.As(err, &other):
		return sound, is, err
	case in.path != "": // a stream cannot be begun again
		return openFFmpeg(in, other.is)
	}
	return nil, format{}, dsp.Fault("recording.flavour", "is", other.is)
}

// flavour is the error of a decoder that does not know this kind of its format,
// and says which: recording.is.wav-bits.
type flavour struct{ is *dsp.Error }

func (f flavour) Error() string { return f.is.Error() }

// Rate implements dsp.Source.
func (r *Recording) Rate() int { return r.format.rate }

// Read implements dsp.Source.
func (r *Recording) Read(buf []float32) (int, error) {
	if r.err != nil {
		return 0, r.err
	}
	n, err := r.sound.read(buf)
	if err != nil {
		if err != io.EOF {
			err = named(r.name, plain(err))
		}
		r.err = err
	}
	return n, err
}

// Close lets go of the file, and ends ffmpeg where it was at work. The stream
// is over then.
func (r *Recording) Close() error {
	if r.close == nil {
		return nil
	}
	err := r.close()
	r.close = nil
	if r.err == nil {
		r.err = named(r.name, fs.ErrClosed)
	}
	return err
}

// Name is the recording's name as it was given.
func (r *Recording) Name() string { return r.name }

// Format says what the file holds: "WAV, 24-bit".
func (r *Recording) Format() string { return r.format.name }

// Channels is the number of channels in the file, before they became one.
func (r *Recording) Channels() int { return r.format.channels }

// Duration is the length by the file's header, s; 0 where it does not tell. A
// damaged file may hold less or more.
func (r *Recording) Duration() float64 { return r.format.seconds }

// Warning is what was wrong with the file though it could be read, such as that
// it is cut short; nil for nothing. It is complete once Read has come to the end.
func (r *Recording) Warning() *dsp.Error { return r.sound.warning() }

// named is an error about a file.
func named(name string, err error) error {
	var ours *dsp.Error
	if !errors.As(err, &ours) {
		ours = dsp.Fault("recording.failed", "err", err)
	}
	return ours.Of(name)
}

// plain gives the system's commonest errors words of their own.
func plain(err error) error {
	var in *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return dsp.Fault("recording.absent", "err", err)
	case errors.Is(err, fs.ErrPermission):
		return dsp.Fault("recording.forbidden", "err", err)
	case errors.As(err, &in):
		return dsp.Fault("recording.unreadable", "err", in.Err)
	}
	return err
}

// guard turns a panic of a third-party decoder into an error: what such a
// decoder makes of a damaged file is not in our hands.
func guard(decode func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("decoder panicked: %v", p)
		}
	}()
	return decode()
}
