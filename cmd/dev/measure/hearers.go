package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"endpin/dsp"
)

// pitched is one frame of anybody's pitch track; hz is 0 for no pitch.
type pitched struct{ at, hz float64 }

// hearer tracks the pitch of a recording.
type hearer struct {
	name string
	hear func(wav string, samples []float32, rate int) ([]pitched, error)
}

// hearers are Endpin and those it is compared with, all on the same sound.
var hearers = []hearer{
	{"endpin", func(_ string, samples []float32, rate int) ([]pitched, error) {
		heard, err := dsp.Listen(&dsp.Samples{SampleRate: rate, Data: samples}, dsp.Bass)
		if err != nil {
			return nil, err
		}
		var out []pitched
		for _, f := range heard.Frames {
			p := pitched{at: f.Time}
			if f.Voiced {
				p.hz = f.Freq
			}
			out = append(out, p)
		}
		return out, nil
	}},
	{"aubio yin", aubioPitch("yin")},
	{"aubio yinfast", aubioPitch("yinfast")},
	{"praat", praatPitch},
}

// aubioPitch runs aubiopitch with a buffer of 4096, since its default cannot
// reach E1. A frame's time is the end of its hop; the buffer reaches back.
func aubioPitch(method string) func(string, []float32, int) ([]pitched, error) {
	return func(wav string, _ []float32, rate int) ([]pitched, error) {
		out, err := exec.Command("aubiopitch", "-p", method, "-B", "4096", "-H", "512", "-r", strconv.Itoa(rate), "-i", wav).Output()
		if err != nil {
			return nil, fmt.Errorf("aubiopitch (Debian: apt install aubio-tools): %w", err)
		}
		return pairs(out, -2048/float64(rate)), nil
	}
}

// praatPitch runs Praat's autocorrelation (Boersma 1993) with its own defaults
// but for the range, 28 to 500 Hz, and a step of 10 ms.
func praatPitch(wav string, _ []float32, _ int) ([]pitched, error) {
	script := `form x
	sentence wav
endform
Read from file: wav$
To Pitch (ac): 0.01, 28, 15, "no", 0.03, 0.45, 0.01, 0.35, 0.14, 500
n = Get number of frames
for i to n
	t = Get time from frame number: i
	f = Get value in frame: i, "Hertz"
	appendInfoLine: fixed$ (t, 6), " ", f
endfor
`
	file := filepath.Join(filepath.Dir(wav), "pitch.praat")
	if err := os.WriteFile(file, []byte(script), 0o600); err != nil {
		return nil, err
	}
	defer os.Remove(file)
	wav, err := filepath.Abs(wav)
	if err != nil {
		return nil, err
	}
	out, err := exec.Command("praat", "--run", file, wav).Output()
	if err != nil {
		return nil, fmt.Errorf("praat (Debian: apt install praat): %w", err)
	}
	return pairs([]byte(strings.ReplaceAll(string(out), "--undefined--", "0")), 0), nil
}

func pairs(text []byte, shift float64) []pitched {
	var out []pitched
	for line := range strings.Lines(string(text)) {
		fields := strings.Fields(line)
		if len(fields) < 2 {
			continue
		}
		at, err1 := strconv.ParseFloat(fields[0], 64)
		hz, err2 := strconv.ParseFloat(fields[1], 64)
		if err1 == nil && err2 == nil {
			out = append(out, pitched{at + shift, hz})
		}
	}
	return out
}
