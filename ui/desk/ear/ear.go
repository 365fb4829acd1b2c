package ear

import (
	"context"
	"io"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/ui/desk/score"
	"endpin/ui/desk/tape"
)

// Ear is how takes are heard and judged, as `endpin hear` does.
type Ear struct {
	// Hear listens to a recording and judges it as a take. told is told how much of it was
	// heard, 0 to 1; -1 for not known.
	Hear func(ctx context.Context, s *score.Score, path string, o finding.Options, told func(share float64)) (*finding.Hearing, *dsp.Heard, error)

	// HearSound is Hear for a WAV that lies in no file; name stands for it.
	HearSound func(ctx context.Context, s *score.Score, name string, wav io.Reader, o finding.Options, told func(share float64)) (*finding.Hearing, *dsp.Heard, error)

	// Judge is Hear for a recording that was listened to already; nil where none is to be.
	Judge func(ctx context.Context, s *score.Score, path string, heard *dsp.Heard, o finding.Options) (*finding.Hearing, *dsp.Heard, error)
}

// Take hears the take in a file: from memory what lies in it, held, and without listening
// anew where it was heard along; nil for neither.
func (e Ear) Take(ctx context.Context, s *score.Score, path string, held *tape.Held, along *Along, o finding.Options, told func(float64)) (*finding.Hearing, *dsp.Heard, error) {
	if held != nil && e.HearSound != nil {
		wav, err := held.Open()
		if err != nil {
			return nil, nil, err
		}
		defer wav.Close()
		return e.HearSound(ctx, s, path, wav, o, told)
	}
	if heard := along.Heard(); heard != nil {
		return e.Judge(ctx, s, path, heard, o)
	}
	return e.Hear(ctx, s, path, o, told)
}
