package rig

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
)

// offsets is what was measured of one program of FluidR3_GM.sf2 at velocity 90
// (testdata/README.md says how).
type offsets struct {
	cents  map[int]float64 // its own detuning by MIDI note
	lagMS  map[int]float64 // from key down to a tenth of the note's peak
	silent map[int]bool    // no sample there
}

func loadOffsets(program int) (offsets, error) {
	folder, err := Testdata()
	if err != nil {
		return offsets{}, err
	}
	data, err := os.ReadFile(filepath.Join(folder, "soundfont_offsets.json"))
	if err != nil {
		return offsets{}, err
	}
	var table map[string]json.RawMessage
	var lags map[string]map[string]float64
	var summary map[string]struct {
		NoSampleFor []int `json:"no_sample_for"`
	}
	var cents map[string]float64
	key := strconv.Itoa(program)
	if err := json.Unmarshal(data, &table); err != nil {
		return offsets{}, err
	}
	if _, measured := table[key]; !measured {
		return offsets{}, fmt.Errorf("program %d was not measured; use 43, 42, 32 or 45", program)
	}
	for part, into := range map[string]any{key: &cents, "onset_lag_ms": &lags, "summary": &summary} {
		if err := json.Unmarshal(table[part], into); err != nil {
			return offsets{}, fmt.Errorf("soundfont_offsets.json: %s: %w", part, err)
		}
	}
	out := offsets{cents: byNote(cents), lagMS: byNote(lags[key]), silent: map[int]bool{}}
	for _, midi := range summary[key].NoSampleFor {
		out.silent[midi] = true
	}
	return out, nil
}

func byNote(table map[string]float64) map[int]float64 {
	out := map[int]float64{}
	for key, value := range table {
		if midi, err := strconv.Atoi(key); err == nil {
			out[midi] = value
		}
	}
	return out
}

// Testdata is the project's testdata folder, found by walking up to go.mod.
func Testdata() (string, error) {
	folder, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(folder, "go.mod")); err == nil {
			return filepath.Join(folder, "testdata"), nil
		}
		up := filepath.Dir(folder)
		if up == folder {
			return "", fmt.Errorf("no go.mod above the working folder: run inside the project")
		}
		folder = up
	}
}
