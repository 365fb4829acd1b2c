package recording

import (
	"bufio"
	"fmt"
	"io"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"endpin/dsp"
)

// ffmpegSound is any other format, decoded by ffmpeg and read as the WAV that it
// writes into a pipe.
type ffmpegSound struct {
	samples // the WAV
	command *exec.Cmd
	errors  *firstLines
	sound   bool // some came
	waited  bool
	failed  error
}

// ffmpegReads are the demuxers that ffmpeg may use: containers of one
// recording. Playlists, devices and generators are not among them, so that no
// file can send ffmpeg to another file or to the network.
const ffmpegReads = "aac,ac3,aiff,amr,amrnb,amrwb,ape,asf,au,avi,caf,dsf,eac3,flac,flv,iff,loas," +
	"matroska,webm,mov,mp4,mp3,mpc,mpc8,mpeg,mpegts,ogg,spdif,tak,tta,voc,w64,wav,wsd,wv"

// fillGaps puts silence where the file's own times leave sound out, so that what
// comes after a gap is heard when it was played: a phone's AMR sends nothing in a
// pause, and damage tears parts away. Up to 50 ms of it may be the jitter of a phone
// that stamps its packets carelessly, which must not cut the sound up (common
// practice, no source).
const fillGaps = "aresample=async=1:min_hard_comp=0.05"

// openFFmpeg decodes in through ffmpeg; is says why it has to.
func openFFmpeg(in input, is *dsp.Error) (samples, format, error) {
	program, err := findFFmpeg()
	if of, e := exec.LookPath("afconvert"); err != nil && e == nil {
		return openAfconvert(of, in, is)
	}
	if err != nil {
		return nil, format{}, dsp.Fault("recording.no-ffmpeg", "is", is, "err", err)
	}
	from := "pipe:0"
	if in.path != "" {
		if from, err = ffmpegFile(in.path); err != nil {
			return nil, format{}, err
		}
	}
	f := &ffmpegSound{errors: &firstLines{}}
	f.command = unseen(exec.Command(program, slices.Concat(ffmpegBegins, ffmpegIn(from), ffmpegOut(0, 1))...))
	f.command.Stderr = f.errors
	if in.path == "" {
		feed, err := f.command.StdinPipe()
		if err != nil {
			return nil, format{}, err
		}
		// Not left to exec: it would wait for a stream that never ends, while
		// this is over when ffmpeg is and the stream gives one more byte.
		go func() {
			io.Copy(feed, in.r)
			feed.Close()
		}()
	}
	out, err := f.command.StdoutPipe()
	if err != nil {
		return nil, format{}, err
	}
	if err := f.command.Start(); err != nil {
		return nil, format{}, dsp.Fault("recording.ffmpeg-broken", "err", err)
	}
	sound, form, err := wavOfFFmpeg(out)
	if err != nil {
		f.wait(true)
		return nil, format{}, f.complaint(is)
	}
	f.samples = sound
	return f, form, nil
}

// ffmpegBegins is how every command of ffmpeg's begins.
var ffmpegBegins = []string{"-nostdin", "-hide_banner", "-v", "error"}

// ffmpegFile names a file to ffmpeg: an explicit protocol keeps a name that begins with "-" or
// "http:" a name.
func ffmpegFile(path string) (string, error) {
	full, err := filepath.Abs(path)
	return "file:" + full, err
}

// ffmpegIn has ffmpeg read a recording.
func ffmpegIn(from string) []string {
	return []string{"-protocol_whitelist", "file,pipe", "-format_whitelist", ffmpegReads, "-threads", "1", "-vn", "-sn", "-dn", "-i", from}
}

// ffmpegOut has ffmpeg write the sound of what it reads, the first or another, as WAV into one of
// its open files.
func ffmpegOut(of, file int) []string {
	return []string{"-map", fmt.Sprintf("%d:a:0", of), "-map_metadata", "-1", "-af", fillGaps,
		"-c:a", "pcm_f32le", "-threads", "1", "-flush_packets", "0", "-f", "wav", fmt.Sprintf("pipe:%d", file)}
}

// wavOfFFmpeg reads the WAV that ffmpeg writes, whose header cannot tell how long it is.
func wavOfFFmpeg(out io.Reader) (samples, format, error) {
	sound, form, err := openWAV(bufio.NewReader(out), 0)
	form.name, form.seconds = "through ffmpeg", 0
	return sound, form, err
}

// complaint is the error where no sound came out.
func (f *ffmpegSound) complaint(is *dsp.Error) error {
	said := f.errors.String()
	switch {
	case strings.Contains(said, "matches no streams"):
		return dsp.Fault("recording.no-sound")
	case strings.Contains(said, "moov atom not found"):
		return dsp.Fault("recording.no-end")
	case strings.Contains(said, "not on whitelist"), strings.Contains(said, "Invalid data found"), said == "":
		return dsp.Fault("recording.unknown", "is", is)
	}
	return dsp.Fault("recording.ffmpeg-refuses", "said", said)
}

// read implements samples. The process is over when the stream is.
func (f *ffmpegSound) read(buf []float32) (int, error) {
	if f.waited {
		return 0, io.EOF
	}
	n, err := f.samples.read(buf)
	if err != nil {
		f.failed = f.wait(err != io.EOF)
	}
	f.sound = f.sound || n > 0
	return n, err
}

// warning implements samples: ffmpeg plays what it can of a damaged file, and its own
// decoder of AMR complains about each pause that the phone did not send.
func (f *ffmpegSound) warning() *dsp.Error {
	if !f.waited {
		return nil // ffmpeg may be writing
	}
	said := f.errors.String()
	switch {
	case strings.Contains(string(f.errors.text), "[amrnb @"):
		return dsp.Fault("recording.warn.pauses")
	case said != "":
		return dsp.Fault("recording.warn.damaged", "said", said)
	case f.failed != nil:
		return dsp.Fault("recording.warn.ended", "err", f.failed)
	}
	return nil
}

func (f *ffmpegSound) close() error {
	f.wait(true)
	return nil
}

// wait reaps the process, ending it first if asked.
func (f *ffmpegSound) wait(kill bool) error {
	if f.waited {
		return nil
	}
	f.waited = true
	if kill {
		f.command.Process.Kill()
	}
	return f.command.Wait()
}

// firstLines keeps the beginning of what a program says and swallows the rest.
type firstLines struct{ text []byte }

func (l *firstLines) Write(p []byte) (int, error) {
	const most = 2000
	l.text = append(l.text, p[:min(len(p), most-len(l.text))]...)
	return len(p), nil
}

// String is the first line, without the address and the path that ffmpeg puts
// before what it has to say.
func (l *firstLines) String() string {
	line, _, _ := strings.Cut(strings.TrimSpace(string(l.text)), "\n")
	if strings.HasPrefix(line, "[") {
		if _, rest, ok := strings.Cut(line, "] "); ok {
			line = rest
		}
	}
	if strings.HasPrefix(line, "file:") {
		if at := strings.LastIndex(line, ": "); at >= 0 {
			line = line[at+2:]
		}
	}
	return strings.TrimSpace(line)
}
