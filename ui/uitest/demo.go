package uitest

import (
	"bytes"
	"os"
	"sync"
	"testing"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
)

// ReadScore reads a piece from a file as a desk does.
func ReadScore(path, part, instrument string) (*score.Score, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var options []notation.Option
	if part != "" {
		options = append(options, notation.Part(part))
	}
	p, err := notation.Read(path, data, options...)
	if err != nil {
		return nil, err
	}
	s := score.New(p, path)
	s.Part = part
	return s, nil
}

// Demo is the demo piece as the shelf has it.
func Demo() (*score.Score, error) {
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	if err != nil {
		return nil, err
	}
	s := score.New(p, assets.DemoPieceName)
	s.Demo = true
	return s, nil
}

// DemoScore is the demo piece as it lies on a desk.
func DemoScore(t *testing.T) *score.Score {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	if err != nil {
		t.Fatal(err)
	}
	return score.New(p, "demo.musicxml")
}

var demo struct {
	sync.Once
	hearing map[*words.Words]*finding.Hearing // by the language that it was told in
	heard   *dsp.Heard
	err     error
}

// ShowDemoTake puts the demo take on a desk, heard by the code of the desk itself.
func ShowDemoTake(t *testing.T, d *desk.Desk) {
	t.Helper()
	demo.Do(func() {
		r, err := recording.Decode(assets.DemoTakeName, bytes.NewReader(assets.DemoTake))
		if err == nil {
			demo.heard, err = dsp.Listen(r, dsp.Bass)
		}
		demo.hearing, demo.err = map[*words.Words]*finding.Hearing{}, err
	})
	h := demo.hearing[words.Here()]
	if demo.err == nil && h == nil {
		h, demo.err = finding.Judge(d.Score.Piece, demo.heard, remembered.Default().Judging())
		demo.hearing[words.Here()] = h
	}
	if demo.err != nil {
		t.Fatal(demo.err)
	}
	d.Shown = &shelf.Shown{Take: &shelf.Take{Sound: "demo.wav"}, Hearing: h, Heard: demo.heard}
	d.Say("")
}

// Told is a hearing with two findings, for what is not about hearing.
func Told() *finding.Hearing {
	return &finding.Hearing{Version: 1, Level: "intermediate", Duration: 40, Findings: []finding.Finding{
		{Measure: "5", ToMeasure: "7", Pass: 1, Beat: 1, Kind: finding.SharpAfterShift, Value: 31, Trust: dsp.Sure, Short: "+31 cents after shift", Text: "After the shift in measure 5 your hand landed 31 cents sharp."},
		{Measure: "9", ToMeasure: "9", Pass: 1, Beat: 1, Kind: finding.Late, Value: 242, Trust: dsp.Fair, Short: "242 ms late", Text: "Perhaps: in measure 9 the D came 0.24 seconds late."},
	}, WorthFixing: []int{0}}
}
