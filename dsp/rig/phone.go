package rig

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
)

// LevelControl evens the loudness out, as phones do: the gain follows the level, falling
// within attack and coming up again within release, seconds. What is ratio times as loud,
// in dB, comes out one; silence is raised by most dB and no more.
func (t *Take) LevelControl(attack, release, ratio, most float64) {
	const target = -20.0 // dB
	power := 1e-12
	down, up := 1-math.Exp(-1/(attack*Rate)), 1-math.Exp(-1/(release*Rate))
	for i, s := range t.Samples {
		p := float64(s) * float64(s)
		if p > power {
			power += down * (p - power)
		} else {
			power += up * (p - power)
		}
		gain := math.Min(most, (target-10*math.Log10(power+1e-12))*(1-1/ratio))
		t.Samples[i] = float32(float64(s) * math.Pow(10, gain/20))
	}
	scaleToPeak(t.Samples, -3)
}

// Encoded sends the take through an encoder of ffmpeg's and back: "m4a", "opus".
func (t *Take) Encoded(format, bitRate string) error {
	folder, err := os.MkdirTemp("", "rig")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	raw := make([]byte, 4*len(t.Samples))
	for i, s := range t.Samples {
		binary.LittleEndian.PutUint32(raw[4*i:], math.Float32bits(s))
	}
	file, rate := filepath.Join(folder, "take."+format), fmt.Sprint(Rate)
	ffmpeg := func(in []byte, arguments ...string) ([]byte, error) {
		cmd := exec.Command("ffmpeg", append([]string{"-y", "-loglevel", "error"}, arguments...)...)
		cmd.Stdin = bytes.NewReader(in)
		var stderr bytes.Buffer
		cmd.Stderr = &stderr
		out, err := cmd.Output()
		if err != nil {
			return nil, fmt.Errorf("ffmpeg (Debian: apt install ffmpeg): %w %s", err, stderr.String())
		}
		return out, nil
	}
	if _, err := ffmpeg(raw, "-f", "f32le", "-ar", rate, "-ac", "1", "-i", "-", "-b:a", bitRate, file); err != nil {
		return err
	}
	back, err := ffmpeg(nil, "-i", file, "-f", "f32le", "-ar", rate, "-ac", "1", "-")
	if err != nil {
		return err
	}
	for i := range t.Samples {
		t.Samples[i] = 0
		if 4*i+4 <= len(back) {
			t.Samples[i] = math.Float32frombits(binary.LittleEndian.Uint32(back[4*i:]))
		}
	}
	return nil
}
