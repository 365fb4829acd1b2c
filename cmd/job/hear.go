package job

import (
	"context"
	"errors"
	"path/filepath"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// NotHeard is the error of a recording that could be listened to and in which
// nothing of the piece was heard.
type NotHeard struct {
	Recording  string                  // as it was named
	Piece      string                  // its file, or its title where that is read instead
	Part       string                  // of several the one that was tried, as piece.Taken has it
	What       string                  // was heard: silence, tone, noise, few, covered or other
	Notes      int                     // how many
	Most       string                  // which of them most often
	Instrument *fingerboard.Instrument // that was to be heard; nil for the double bass
	Warning    *dsp.Error              // about the file; nil for none
}

func (n NotHeard) Error() string { return words.Told(n) }

// Message implements words.Message.
func (n NotHeard) Message() (key string, places []any) {
	return "job.file", []any{"file", n.Recording, "reason", n.Why(ForCommand)}
}

// Reader is where it is read why nothing was heard: measures are chosen in another way
// in each.
type Reader string

// The readers.
const (
	ForCommand Reader = "option"
	ForDesk    Reader = "desk"
	ForClass   Reader = "class"
)

// Why is one sentence, with the mend, and without the recording.
func (n NotHeard) Why(reader Reader) words.Sentence {
	key := "job.nothing." + n.What
	if n.What == "other" && n.Part != "" && reader == ForCommand {
		key += ".part"
	}
	if n.What == "few" { // it would do to say which measures were played
		key += "." + string(reader)
	}
	instrument := fingerboard.DoubleBass().Called()
	if n.Instrument != nil {
		instrument = n.Instrument.Called()
	}
	why := words.Of(key, "piece", n.Piece, "n", n.Notes, "most", n.Most, "instrument", instrument, "part", n.Part)
	if n.What == "few" {
		why = words.Many(key, n.Notes, "piece", n.Piece, "most", n.Most, "instrument", instrument)
	}
	if n.Warning != nil {
		return words.Of("job.nothing.warned", "why", why, "warning", n.Warning)
	}
	return why
}

// Hear listens to the recording in a file and judges it as a take of the piece.
// Where nothing of the piece was heard the error is a NotHeard, and what was
// heard is given with it. pieceFile stands for a piece without a title, and in
// errors. told may be nil.
func Hear(ctx context.Context, p *piece.Piece, pieceFile, recordingFile string, opts finding.Options, told Progress) (*finding.Hearing, *dsp.Heard, error) {
	r, err := OpenTake(recordingFile)
	if err != nil {
		return nil, nil, err
	}
	defer r.Close()
	return HearOpen(ctx, p, pieceFile, r, opts, told)
}

// HearOpen is Hear for a recording that is open, which it leaves open.
func HearOpen(ctx context.Context, p *piece.Piece, pieceFile string, r *recording.Recording, opts finding.Options, told Progress) (*finding.Hearing, *dsp.Heard, error) {
	sound, err := Whole(ctx, r, Listening(opts.Instrument), dsp.Listen, told)
	if err != nil {
		return nil, nil, err
	}
	return JudgeOpen(ctx, p, pieceFile, r, sound, opts, told)
}

// JudgeOpen is HearOpen for a recording that was listened to already.
func JudgeOpen(ctx context.Context, p *piece.Piece, pieceFile string, r *recording.Recording, sound *dsp.Heard, opts finding.Options, told Progress) (*finding.Hearing, *dsp.Heard, error) {
	h, err := Judged(p, pieceFile, r, sound, opts)
	if other, ok := writtenForAnother(p, opts.Instrument); ok && (errors.As(err, new(NotHeard)) || err == nil && h.Away > 0) {
		if again, more, wrong := heardFor(ctx, p, pieceFile, r, other, opts, told); wrong == nil && (err != nil || played(again) >= played(h)) {
			return again, more, nil
		}
	}
	return h, sound, err
}

// writtenForAnother is the instrument that a piece's part names, where that is another than
// the one to be heard. A player of it sounds where the other one is not listened for.
func writtenForAnother(p *piece.Piece, in *fingerboard.Instrument) (other fingerboard.Instrument, ok bool) {
	family := p.WrittenFor()
	if family == "" || family == in.Family {
		return other, false
	}
	other, err := fingerboard.ByWord(family)
	return other, err == nil
}

// played is how many notes of the page were played.
func played(h *finding.Hearing) (n int) {
	for i := range h.Notes {
		if h.Notes[i].State == finding.StatePlayed {
			n++
		}
	}
	return n
}

// heardFor is a take listened to once more, for another instrument.
func heardFor(ctx context.Context, p *piece.Piece, pieceFile string, r *recording.Recording, other fingerboard.Instrument, opts finding.Options, told Progress) (*finding.Hearing, *dsp.Heard, error) {
	again, err := OpenTake(r.Name())
	if err != nil {
		return nil, nil, err
	}
	defer again.Close()
	sound, err := Whole(ctx, again, Listening(&other), dsp.Listen, told)
	if err != nil {
		return nil, nil, err
	}
	h, err := Judged(p, pieceFile, again, sound, opts)
	return h, sound, err
}

// Judged judges what was heard in a recording as a take of a piece.
func Judged(p *piece.Piece, pieceFile string, r *recording.Recording, sound *dsp.Heard, opts finding.Options) (*finding.Hearing, error) {
	h, err := finding.Judge(p, sound, opts)
	if errors.Is(err, align.ErrNothing) {
		why := whyNothing(sound, pieceFile)
		why.Recording, why.Part, why.Warning, why.Instrument = r.Name(), p.Taken, r.Warning(), opts.Instrument
		return nil, why
	}
	if err != nil {
		return nil, OfFile(pieceFile, err)
	}
	if h.Piece == "" {
		h.Piece = filepath.Base(pieceFile)
	}
	h.Recording, h.Program = filepath.Base(r.Name()), state()
	if said := Doubtful(r); !said.Zero() {
		h.Remarks = append(h.Remarks, said.String())
	}
	return h, nil
}

// Doubtful says what leaves doubt in a recording itself; zero for nothing.
func Doubtful(r *recording.Recording) words.Sentence {
	if r.Warning() == nil {
		return words.Sentence{}
	}
	return words.Of("recording.warning", "warning", r.Warning())
}
