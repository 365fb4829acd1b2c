package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"sync"

	"endpin/dsp/recording"
	"endpin/dsp/rig"
	"endpin/piece/pupil"
)

// voice is an instrument that takes are played on.
type voice struct {
	name    string
	program int     // a General MIDI program, or
	real    string  // how the real bass is played, or
	strings float64 // modelled strings, which go on at this share of their level
	pluck   bool    // … plucked
	seed    int64   // … of this body
}

var (
	bowed    = voice{name: "bowed", program: rig.Bowed}
	plucked  = voice{name: "plucked", program: rig.Plucked}
	realArco = voice{name: "real bowed", real: rig.Arco}
	realPizz = voice{name: "real plucked", real: rig.Pizz}
	voices   = []voice{bowed, plucked, realArco, realPizz}

	stringsBowed   = voice{name: "modelled, bowed", strings: 0.18}
	stringsRinging = voice{name: "modelled, ringing", strings: 0.7}
	stringsPlucked = voice{name: "modelled, plucked", strings: 1, pluck: true}
)

// play renders a plan on the voice.
func (v voice) play(plan rig.Plan) (*rig.Take, error) {
	if v.strings > 0 {
		return rig.Strings{Plucked: v.pluck, Ring: v.strings, Seed: v.seed}.Play(plan)
	}
	if v.real == "" {
		plan.Program = v.program
		return rig.Render(plan)
	}
	bass, err := realBass[v.real]()
	if err != nil {
		return nil, err
	}
	return bass.Play(plan)
}

// realBass reads the recorded notes once.
var realBass = map[string]func() (*rig.RealBass, error){
	rig.Arco: sync.OnceValues(func() (*rig.RealBass, error) { return rig.LoadRealBass(rig.Arco) }),
	rig.Pizz: sync.OnceValues(func() (*rig.RealBass, error) { return rig.LoadRealBass(rig.Pizz) }),
}

// clean is a take of one composed tune by a careful player.
func clean(v voice, style pupil.Style, seed int64) (*rig.Take, error) {
	style.Short = v.real != ""
	tune := pupil.Compose(style, seed)
	performance := pupil.Player{Tune: tune, Scatter: pupil.Careful, Seed: seed}.Play()
	take, err := v.play(performance.Plan)
	if err != nil {
		return nil, err
	}
	take.Truth.Take = fmt.Sprintf("%s %d", v.name, seed)
	return take, nil
}

// write keeps a take as WAV with its truth beside it and returns the WAV's path.
func write(folder, name string, take *rig.Take) (string, error) {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return "", err
	}
	wav := filepath.Join(folder, name+".wav")
	if err := writeWAV(wav, rig.Rate, take.Samples); err != nil {
		return "", err
	}
	truth, err := json.MarshalIndent(take.Truth, "", " ")
	if err != nil {
		return "", err
	}
	return wav, os.WriteFile(filepath.Join(folder, name+".truth.json"), append(truth, '\n'), 0o644)
}

func writeWAV(path string, rate int, samples []float32) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := recording.WriteWAV(f, rate, samples); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
