// Command demotake makes the demo take in assets anew: a pupil plays the demo
// piece with four mistakes, FluidSynth sounds it, ffmpeg writes it as FLAC, and
// the truth about it goes into a JSON file beside it.
//
//	go run ./cmd/dev/demotake
//
// Run it after a change to assets/demo.musicxml or to the mistakes in plant.go.
// The same versions of FluidSynth and its soundfont give the same take.
package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"

	"endpin/dsp/recording"
	"endpin/dsp/rig"
	"endpin/piece/pupil"
)

// truth is the file beside the take.
type truth struct {
	rig.Truth
	Expected []pupil.Finding `json:"expected"` // all that is to be told, and nothing else
}

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "demotake:", err)
		os.Exit(1)
	}
}

func run() error {
	folder, err := assetsFolder()
	if err != nil {
		return err
	}
	score, err := os.ReadFile(filepath.Join(folder, "demo.musicxml"))
	if err != nil {
		return err
	}
	take, told, err := record(score)
	if err != nil {
		return err
	}
	about, err := json.MarshalIndent(told, "", " ")
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(folder, "demo.truth.json"), append(about, '\n'), 0o644); err != nil {
		return err
	}
	return compress(take, filepath.Join(folder, "demo.flac"))
}

// assetsFolder is where the demo lies.
func assetsFolder() (string, error) {
	testdata, err := rig.Testdata()
	if err != nil {
		return "", err
	}
	return filepath.Join(filepath.Dir(testdata), "assets"), nil
}

// The room: what a living room adds to a take.
const (
	echoS   = 0.35 // it dies away by 60 dB, s
	echoDB  = -14  // against the direct sound
	noiseDB = -66  // RMS, re full scale
)

// record plays the demo piece in that room.
func record(score []byte) (*rig.Take, truth, error) {
	out, err := perform(score)
	if err != nil {
		return nil, truth{}, err
	}
	take, err := rig.Render(out.Plan)
	if err != nil {
		return nil, truth{}, err
	}
	take.Reverb(echoS, echoDB, seed)
	take.RoomNoise(noiseDB, seed)
	return take, truth{take.Truth, out.Expected}, nil
}

// rate is the sampling rate of the demo take, samples a second: half of what it
// is rendered at, for a bass has little above 11 kHz and the take travels with
// the program.
const rate = rig.Rate / 2

// compress writes a take as FLAC, 16-bit.
func compress(take *rig.Take, file string) error {
	var wav, said bytes.Buffer
	if err := recording.WriteWAV(&wav, rig.Rate, take.Samples); err != nil {
		return err
	}
	c := exec.Command("ffmpeg", "-v", "error", "-y", "-i", "-", "-ar", fmt.Sprint(rate), "-sample_fmt", "s16",
		"-compression_level", "12", "-map_metadata", "-1", "-bitexact", file)
	c.Stdin, c.Stderr = &wav, &said
	if err := c.Run(); err != nil {
		return fmt.Errorf("ffmpeg (Debian: apt install ffmpeg): %w %s", err, said.Bytes())
	}
	return nil
}
