package recording

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"os"
	"os/exec"
	"slices"
	"sync"
)

// Together opens recordings as Open does, each with its error, and those that need ffmpeg by one
// process: its start, in which it loads two hundred libraries, costs three times what it takes
// to decode a minute. It comes back when all of them are decoded, so they should be few and
// short. Where ffmpeg has anything to say of one of them, where they hold more than is to be
// held, and where a system gives a process no pipes of its own, each is opened alone, and says
// what Open says.
func Together(paths []string) (opened []*Recording, errs []error) {
	opened, errs = make([]*Recording, len(paths)), make([]error, len(paths))
	var need []int
	for i, path := range paths {
		if needsFFmpeg(path) {
			need = append(need, i)
		}
	}
	if len(need) > 1 {
		var files []string
		for _, i := range need {
			files = append(files, paths[i])
		}
		for k, sound := range decodeAll(files) {
			i := need[k]
			opened[i], errs[i] = opens(paths[i], func() (samples, format, error) { return wavOfFFmpeg(sound) })
		}
	}
	for i, path := range paths {
		if opened[i] == nil {
			opened[i], errs[i] = Open(path)
		}
	}
	return opened, errs
}

// needsFFmpeg reports whether a file is a recording that ffmpeg alone reads, as far as its
// beginning tells.
func needsFFmpeg(path string) bool {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return false
	}
	file, err := os.Open(path)
	if err != nil {
		return false
	}
	defer file.Close()
	kind, err := sniff(bufio.NewReaderSize(file, sniffed))
	return err == nil && kind == isOther
}

// decodeAll decodes files by one ffmpeg, each into a WAV that is held; nil where not all of it
// went as it should.
func decodeAll(files []string) (sounds []io.Reader) {
	program, err := findFFmpeg()
	if err != nil {
		return nil
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	cmd, said := unseen(exec.CommandContext(ctx, program, ffmpegBegins...)), &firstLines{}
	cmd.Stderr = said
	var pipes []*os.File
	var outs []string
	for i, file := range files {
		from, err := ffmpegFile(file)
		if err != nil {
			return nil
		}
		r, w, err := os.Pipe()
		if err != nil {
			return nil
		}
		defer r.Close()
		defer w.Close()
		pipes, cmd.ExtraFiles = append(pipes, r), append(cmd.ExtraFiles, w)
		cmd.Args = append(cmd.Args, ffmpegIn(from)...)
		outs = append(outs, ffmpegOut(i, 3+i)...)
	}
	cmd.Args = append(cmd.Args, outs...)
	if cmd.Start() != nil {
		return nil
	}
	for _, w := range cmd.ExtraFiles {
		w.Close() // ffmpeg's alone now
	}
	sounds = make([]io.Reader, len(files))
	var readers sync.WaitGroup
	for i, pipe := range pipes {
		readers.Go(func() {
			if sounds[i] = hold(pipe, mostHeld/len(files)); sounds[i] == nil {
				stop()
			}
		})
	}
	readers.Wait()
	if cmd.Wait() != nil || said.String() != "" || slices.Contains(sounds, nil) {
		return nil
	}
	return sounds
}

// mostHeld is how much sound is held at once, bytes: of one channel six minutes in all.
const mostHeld = 64 << 20

// hold reads a stream to its end, in pieces that go as they are read again; nil where it holds
// more than most bytes, or breaks off.
func hold(r io.Reader, most int) io.Reader {
	const piece = 256 << 10
	var all []io.Reader
	for range most / piece {
		data := make([]byte, piece)
		n, err := io.ReadFull(r, data)
		all = append(all, bytes.NewReader(data[:n]))
		switch {
		case err == io.EOF, err == io.ErrUnexpectedEOF:
			return io.MultiReader(all...)
		case err != nil:
			return nil
		}
	}
	return nil
}
