package recording

import (
	"bufio"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"

	"endpin/dsp"
)

// mostCopied is how much of a stream is copied to be converted, bytes: a file of a phone's holds
// a thirtieth of it.
const mostCopied = 1 << 30

// openAfconvert decodes in through afconvert, which every Mac has and which opens what phones
// send: M4A, MP4, 3GP, AMR, CAF. It writes no pipe but a file, which is gone when it is closed.
// What it opens, and how it is called, is from its own help (afconvert -h, printed at
// https://ss64.com/osx/afconvert.html).
func openAfconvert(program string, in input, is *dsp.Error) (samples, format, error) {
	folder, err := os.MkdirTemp("", "endpin-sound-")
	if err != nil {
		return nil, format{}, plain(err)
	}
	defer os.RemoveAll(folder) // of what is open the system keeps the content
	from, err := filepath.Abs(in.path)
	if in.path == "" {
		from, err = filepath.Join(folder, "in"), copied(in.r, filepath.Join(folder, "in"))
	}
	if err != nil {
		return nil, format{}, plain(err)
	}
	to := filepath.Join(folder, "out.wav")
	if err := exec.Command(program, "-f", "WAVE", "-d", "LEI16", from, to).Run(); err != nil {
		return nil, format{}, dsp.Fault("recording.no-ffmpeg", "is", is, "err", err)
	}
	file, err := os.Open(to)
	if err != nil {
		return nil, format{}, plain(err)
	}
	info, err := file.Stat()
	if err != nil {
		file.Close()
		return nil, format{}, plain(err)
	}
	sound, form, err := openWAV(bufio.NewReader(file), info.Size())
	if err != nil {
		file.Close()
		return nil, format{}, err
	}
	form.name = "through afconvert"
	return converted{sound, file}, form, nil
}

// copied writes a stream into a new file.
func copied(r io.Reader, path string) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.CopyN(file, r, mostCopied)
	if err == io.EOF {
		err = nil
	}
	return errors.Join(err, file.Close())
}

// converted is the sound of a file that is let go with it.
type converted struct {
	samples
	file *os.File
}

func (c converted) close() error { return errors.Join(c.samples.close(), c.file.Close()) }
