package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"endpin/dsp/rig"
)

// answer is what `endpin hear --json -` says, as far as it is measured here.
type answer struct {
	TempoHeard float64     `json:"tempo_heard_qpm"`
	HeardA     float64     `json:"heard_a_hz"`
	Worth      []int       `json:"worth_fixing"`
	Notes      []toldNote  `json:"notes"`
	Findings   []toldFault `json:"findings"`
	Landings   []toldShift `json:"landings"`
}

type toldShift struct {
	Measure string  `json:"measure"`
	Pass    int     `json:"pass"`
	Beat    float64 `json:"beat"`
	Cents   float64 `json:"cents"`
}

type toldNote struct {
	Measure string  `json:"measure"`
	Pass    int     `json:"pass"`
	Beat    float64 `json:"beat"`
	Onset   float64 `json:"onset_s"`
	Cents   float64 `json:"cents"`
	State   string  `json:"state"`
}

type toldFault struct {
	Measure   string  `json:"measure"`
	ToMeasure string  `json:"to_measure"`
	Pass      int     `json:"pass"`
	Beat      float64 `json:"beat"`
	Kind      string  `json:"kind"`
	Value     float64 `json:"value"`
	Trust     string  `json:"trust"`
	Text      string  `json:"text"`
	At        float64 `json:"at_s"`
}

// listener hears one trial: the built program, or the same code in this process.
type listener func(*trial) (*answer, error)

// listenerFor builds the program into a folder unless it is to be heard inside.
func listenerFor(o options, folder string) (listener, error) {
	if o.inside {
		return hearInside, nil
	}
	endpin, err := buildEndpin(folder)
	if err != nil {
		return nil, err
	}
	return func(t *trial) (*answer, error) {
		return hear(endpin, t.piece(), t.wav, "--level", t.level.Name, "--tempo", fmt.Sprint(t.out.Tempo))
	}, nil
}

// hear asks the built endpin about one take of one piece.
func hear(endpin, piece, wav string, arguments ...string) (*answer, error) {
	cmd := exec.Command(endpin, append([]string{"hear", piece, wav, "--json", "-"}, arguments...)...)
	var stderr strings.Builder
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if exit, ok := err.(*exec.ExitError); ok && exit.ExitCode() == 3 {
		return &answer{}, nil // nothing of the piece could be heard
	}
	if err != nil {
		return nil, fmt.Errorf("endpin hear %s %s: %w: %s", piece, wav, err, strings.TrimSpace(stderr.String()))
	}
	var a answer
	if err := json.Unmarshal(out, &a); err != nil {
		return nil, fmt.Errorf("endpin hear %s %s: %w", piece, wav, err)
	}
	return &a, nil
}

// buildEndpin builds the program under test into a folder.
func buildEndpin(folder string) (string, error) {
	testdata, err := rig.Testdata()
	if err != nil {
		return "", err
	}
	folder, err = filepath.Abs(folder)
	if err != nil {
		return "", err
	}
	binary := filepath.Join(folder, "endpin")
	build := exec.Command("go", "build", "-o", binary, "./cmd/endpin")
	build.Dir = filepath.Dir(testdata)
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		return "", fmt.Errorf("cmd/endpin does not build: %s", strings.TrimSpace(string(out)))
	}
	return binary, nil
}

// together runs n jobs on as many cores as there are and gives the first error.
func together(n int, job func(i int) error) error {
	var (
		wait  sync.WaitGroup
		lock  sync.Mutex
		first error
		next  = make(chan int)
	)
	for range min(2, runtime.NumCPU()) {
		wait.Go(func() {
			for i := range next {
				if err := job(i); err != nil {
					lock.Lock()
					if first == nil {
						first = err
					}
					lock.Unlock()
				}
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
	return first
}
