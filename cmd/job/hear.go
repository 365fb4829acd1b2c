package job

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/finding"
)

// NotHeard is the error of a recording that could be listened to and in which
// nothing of the piece was heard.
type NotHeard struct {
	Recording string // as it was named
	What      string // was heard
	Mend      string
	Part      bool   // it would do to say which measures were played
	Warning   string // about the file; empty for none
}

func (n NotHeard) Error() string {
	return n.Recording + ": " + n.Why("name the measures with --measures")
}

// Why is one sentence, with the mend. part says how measures are chosen where it
// will be read.
func (n NotHeard) Why(part string) string {
	why := n.What + "; " + n.Mend
	if n.Part {
		why += ", or " + part
	}
	if n.Warning != "" {
		why += "; the recording " + n.Warning
	}
	return why
}

// Hear listens to the recording in a file and judges it as a take of the piece.
// Where nothing of the piece was heard the error is a NotHeard, and what was
// heard is given with it. pieceFile stands for a piece without a title, and in
// errors. told may be nil.
func Hear(ctx context.Context, p *piece.Piece, pieceFile, recordingFile string, opts finding.Options, told Progress) (*finding.Hearing, *dsp.Heard, error) {
	r, err := recording.Open(recordingFile)
	if err != nil {
		return nil, nil, err
	}
	defer r.Close()
	return HearOpen(ctx, p, pieceFile, r, opts, told)
}

// HearOpen is Hear for a recording that is open, which it leaves open.
func HearOpen(ctx context.Context, p *piece.Piece, pieceFile string, r *recording.Recording, opts finding.Options, told Progress) (*finding.Hearing, *dsp.Heard, error) {
	return hearWith(ctx, p, pieceFile, r, opts, dsp.Listen, told)
}

// hearWith is HearOpen with a way of listening, which may look at the sound as it
// goes by.
func hearWith(ctx context.Context, p *piece.Piece, pieceFile string, r *recording.Recording, opts finding.Options,
	listen func(dsp.Source, dsp.Config) (*dsp.Heard, error), told Progress) (*finding.Hearing, *dsp.Heard, error) {
	sound, err := Whole(ctx, r, Listening(opts.Instrument), listen, told)
	if err != nil {
		return nil, nil, err
	}
	h, err := finding.Judge(p, sound, opts)
	if errors.Is(err, align.ErrNothing) {
		why := whyNothing(sound, pieceFile)
		why.Recording, why.Warning = r.Name(), r.Warning()
		return nil, sound, why
	}
	if err != nil {
		return nil, sound, fmt.Errorf("%s: %w", pieceFile, err)
	}
	if h.Piece == "" {
		h.Piece = filepath.Base(pieceFile)
	}
	h.Recording = filepath.Base(r.Name())
	if said := doubtful(r); said != "" {
		h.Remarks = append(h.Remarks, said)
	}
	return h, sound, nil
}

// doubtful says what leaves doubt in a recording itself, "" for nothing.
func doubtful(r *recording.Recording) string {
	if r.Warning() == "" {
		return ""
	}
	return "The recording " + r.Warning() + "."
}
