package main

import (
	"encoding/json"
	"errors"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/finding"
	"endpin/piece/notation"
)

// hearInside judges without files and without a child process.
func hearInside(t *trial) (*answer, error) {
	read, err := notation.Read(t.piece(), t.sheet.data)
	if err != nil {
		return nil, err
	}
	heard, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: t.take.Samples}, dsp.Bass)
	if err != nil {
		return nil, err
	}
	return judged(t, read, heard)
}

// judged is what another program would read of the judgement.
func judged(t *trial, read *piece.Piece, heard *dsp.Heard) (*answer, error) {
	level, err := finding.LevelByName(t.level.Name)
	if err != nil {
		return nil, err
	}
	hearing, err := finding.Judge(read, heard, finding.Options{QPM: t.out.Tempo, Level: level})
	if errors.Is(err, align.ErrNothing) {
		return &answer{}, nil
	}
	if err != nil {
		return nil, err
	}
	text, err := json.Marshal(hearing)
	if err != nil {
		return nil, err
	}
	var a answer
	return &a, json.Unmarshal(text, &a)
}
