package main

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"os/exec"
)

//go:embed score.py
var scorePy string

type toScore struct {
	RefOnsets []float64    `json:"ref_onsets"`
	EstOnsets []float64    `json:"est_onsets"`
	RefNotes  [][3]float64 `json:"ref_notes,omitempty"` // onset s, offset s, Hz
	EstNotes  [][3]float64 `json:"est_notes,omitempty"`
}

type score struct {
	F, P, R float64
	Errors  []float64 `json:"errors_s"`
	Pairs   [][2]int  `json:"pairs"`
	NoteF   float64   `json:"note_f"`
	NoteP   float64   `json:"note_p"`
	NoteR   float64   `json:"note_r"`
	Notes   [][2]int  `json:"notes"`
}

// mirEval scores takes with the reference implementation.
func mirEval(window float64, takes []toScore) ([]score, error) {
	python, err := pythonWithMirEval()
	if err != nil {
		return nil, err
	}
	for i := range takes {
		if takes[i].EstOnsets == nil {
			takes[i].EstOnsets = []float64{}
		}
	}
	in, err := json.Marshal(map[string]any{"onset_window": window, "takes": takes})
	if err != nil {
		return nil, err
	}
	cmd := exec.Command(python, "-W", "ignore", "-c", scorePy)
	cmd.Stdin = bytes.NewReader(in)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("mir_eval: %w: %s", err, stderr.String())
	}
	var answer struct{ Takes []score }
	if err := json.Unmarshal(out, &answer); err != nil {
		return nil, err
	}
	return answer.Takes, nil
}

var pythonFound string

func pythonWithMirEval() (string, error) {
	if pythonFound != "" {
		return pythonFound, nil
	}
	for _, python := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(python, "-c", "import mir_eval").Run() == nil {
			pythonFound = python
			return python, nil
		}
	}
	return "", fmt.Errorf("no python3 with mir_eval (Debian: apt install python3-mir-eval)")
}
