package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"time"

	"endpin/piece/pupil"
)

// measureSpeed hears a one-minute take in a child process on one core, and
// tracks its pitch beside aubio's yinfast.
func measureSpeed(o options, folder string) error {
	t, err := oneMinute(o.seed)
	if err != nil {
		return err
	}
	if err := t.render(folder); err != nil {
		return err
	}
	seconds := t.take.Truth.LengthS
	fmt.Fprintf(o.out, "A take of %.1f s, a child process on one core, best of five\n", seconds)
	fmt.Fprintf(o.out, "  %-30s %-22s %10s %14s %10s\n", "", "reach", "seconds", "ms a second", "peak MB")
	line := func(name, reach string, command ...string) {
		took, peak, err := bestOf(5, command...)
		if err != nil {
			fmt.Fprintf(o.out, "  %-30s %-22s not measured: %v\n", name, reach, err)
			return
		}
		fmt.Fprintf(o.out, "  %-30s %-22s %10.3f %14.2f %10.1f\n", name, reach, took.Seconds(), 1000*took.Seconds()/seconds, peak)
	}
	endpin, err := buildEndpin(folder)
	if err != nil {
		fmt.Fprintf(o.out, "  endpin: not measured: %v\n", err)
	} else {
		line("endpin hear", "0.5 s, 120 MB", endpin, "hear", t.piece(), t.wav, "--json", "-")
		line("endpin pitch", "not slower than aubio", endpin, "pitch", t.wav)
	}
	line("aubiopitch yinfast 4096/512", "", "aubiopitch", "-p", "yinfast", "-B", "4096", "-H", "512", "-i", t.wav)
	line("aubiopitch yin 4096/512", "", "aubiopitch", "-p", "yin", "-B", "4096", "-H", "512", "-i", t.wav)
	return nil
}

// oneMinute composes tunes until one lasts a minute.
func oneMinute(seed int64) (*trial, error) {
	for try := range int64(1000) {
		tune := pupil.Compose(pupil.Style{Marked: true, Measures: 20}, seed+try)
		out := pupil.Player{Tune: tune, Scatter: pupil.Careful, Seed: seed}.Play()
		last := out.Plan.Notes[len(out.Plan.Notes)-1]
		if length := 2 + (last.OnsetBeat+last.DurBeats)*60/out.Plan.TempoQPM; length > 59 && length < 62 {
			return &trial{name: "one minute", tune: tune, out: out, voice: bowed, room: rooms[0], level: pupil.Intermediate}, nil
		}
	}
	return nil, fmt.Errorf("no composed tune lasts a minute")
}

// bestOf runs a command several times on one core and gives the shortest time
// and the largest memory in MB (the kernel's VmHWM, which a new program starts
// at zero; a child's rusage would count its parent's memory).
func bestOf(times int, command ...string) (time.Duration, float64, error) {
	if taskset, err := exec.LookPath("taskset"); err == nil {
		command = append([]string{taskset, "-c", "0"}, command...)
	}
	best, peak := time.Duration(1<<62), 0.0
	for range times {
		cmd := exec.Command(command[0], command[1:]...)
		cmd.Env = append(os.Environ(), "GOMAXPROCS=1")
		var stderr bytes.Buffer
		cmd.Stderr = &stderr
		start := time.Now()
		if err := cmd.Start(); err != nil {
			return 0, 0, err
		}
		finished := make(chan struct{})
		highest := make(chan float64)
		go func() { highest <- watchMemory(cmd.Process.Pid, finished) }()
		err := cmd.Wait()
		took := time.Since(start)
		close(finished)
		peak = max(peak, <-highest)
		if err != nil {
			return 0, 0, fmt.Errorf("%w %s", err, bytes.TrimSpace(stderr.Bytes()))
		}
		best = min(best, took)
	}
	return best, peak, nil
}

var highWater = regexp.MustCompile(`VmHWM:\s+(\d+) kB`)

func watchMemory(pid int, finished <-chan struct{}) float64 {
	peak := 0.0
	for {
		if status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid)); err == nil {
			if m := highWater.FindSubmatch(status); m != nil {
				if kb, err := strconv.ParseFloat(string(m[1]), 64); err == nil {
					peak = max(peak, kb/1024)
				}
			}
		}
		select {
		case <-finished:
			return peak
		case <-time.After(3 * time.Millisecond):
		}
	}
}
