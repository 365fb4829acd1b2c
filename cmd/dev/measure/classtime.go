package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"endpin/piece/pupil"
)

const (
	students     = 40
	performances = 8 // different ones; each is handed in by several students
)

// measureClass hears a class of forty one-minute recordings in a child process on
// all cores, as WAV and as phones send them, and one recording of an hour.
func measureClass(o options, folder string) error {
	endpin, err := buildEndpin(folder)
	if err != nil {
		return err
	}
	if err := measureSorted(o, folder, endpin); err != nil {
		return err
	}
	first, err := oneMinute(o.seed)
	if err != nil {
		return err
	}
	var takes []string
	for i := range performances {
		t := *first
		t.name = fmt.Sprintf("student %d", i+1)
		t.out = pupil.Player{Tune: t.tune, Scatter: pupil.Careful, Seed: o.seed + int64(i)}.Play()
		if err := t.render(folder); err != nil {
			return err
		}
		*first, takes = t, append(takes, t.wav)
	}
	piece := first.piece()

	fmt.Fprintf(o.out, "A class of %d recordings of about %.0f s, a child process on all cores (ffmpeg's time is in that of a file)\n", students, first.take.Truth.LengthS)
	fmt.Fprintf(o.out, "  %-30s %-10s %10s %14s %10s\n", "", "reach", "seconds", "CPU s a file", "peak MB")
	line := func(name, reach, in string, files int, more ...string) {
		took, cpu, peak, err := once(append([]string{endpin, "class", piece, in, "--out", in + " sheet"}, more...)...)
		if err != nil {
			fmt.Fprintf(o.out, "  %-30s %-10s not measured: %v\n", name, reach, err)
			return
		}
		fmt.Fprintf(o.out, "  %-30s %-10s %10.1f %14.2f %10.1f\n", name, reach, took.Seconds(), cpu.Seconds()/float64(files), peak)
	}
	wavs, err := handedIn(filepath.Join(folder, "wav"), takes)
	if err != nil {
		return err
	}
	line("WAV", "15 s", wavs, students)
	line("again, all of it kept", "", wavs, students)
	var sent []string
	for _, t := range takes {
		m4a := t + ".m4a"
		if out, err := exec.Command("ffmpeg", "-y", "-v", "error", "-i", t, "-b:a", "64k", m4a).CombinedOutput(); err != nil {
			fmt.Fprintf(o.out, "  m4a not measured: ffmpeg: %v %s\n", err, bytes.TrimSpace(out))
			return nil
		}
		sent = append(sent, m4a)
	}
	m4as, err := handedIn(filepath.Join(folder, "m4a"), sent)
	if err != nil {
		return err
	}
	line("m4a, through ffmpeg", "8 s", m4as, students)
	hour := filepath.Join(folder, "hour")
	if err := os.Mkdir(hour, 0o700); err != nil {
		return err
	}
	round := int(3590 / first.take.Truth.LengthS)
	out, err := exec.Command("ffmpeg", "-y", "-v", "error", "-stream_loop", fmt.Sprint(round-1), "-i", takes[0], "-c", "copy", filepath.Join(hour, "hour.wav")).CombinedOutput()
	if err != nil {
		return fmt.Errorf("ffmpeg: %w %s", err, out)
	}
	line("one recording of an hour", "", hour, 1)
	return nil
}

// handedIn puts the takes into a folder, once for each student.
func handedIn(folder string, takes []string) (string, error) {
	if err := os.Mkdir(folder, 0o700); err != nil {
		return "", err
	}
	for i := range students {
		data, err := os.ReadFile(takes[i%len(takes)])
		if err != nil {
			return "", err
		}
		name := fmt.Sprintf("Student %c%c%s", 'A'+i/26, 'a'+i%26, filepath.Ext(takes[0]))
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o600); err != nil {
			return "", err
		}
	}
	return folder, nil
}

// once runs a command and gives its time, the time of all cores together, its
// children's too, and its own largest memory in MB.
func once(command ...string) (took, cpu time.Duration, peak float64, err error) {
	cmd := exec.Command(command[0], command[1:]...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	start := time.Now()
	if err := cmd.Start(); err != nil {
		return 0, 0, 0, err
	}
	finished, highest := make(chan struct{}), make(chan float64)
	go func() { highest <- watchMemory(cmd.Process.Pid, finished) }()
	err = cmd.Wait()
	took = time.Since(start)
	close(finished)
	peak = <-highest
	if err != nil {
		return 0, 0, 0, fmt.Errorf("%w %s", err, bytes.TrimSpace(stderr.Bytes()))
	}
	return took, cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(), peak, nil
}
