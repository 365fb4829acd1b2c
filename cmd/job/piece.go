package job

import (
	"errors"
	"io"
	"os"
	"path/filepath"

	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/homework"
	"endpin/piece/midi"
	"endpin/piece/notation"
	"endpin/piece/words"
)

// largestPiece is one byte more than package notation reads of a file.
const largestPiece = 32<<20 + 1

// ReadPiece reads the piece in a file, MusicXML, ABC or MIDI; part names the part to hear, or "" for
// the one that fits the instrument best, or the first. Of homework it is the piece in it. Where the file does not say how far the part
// sounds from where it is written, it is the instrument's; nil for a double bass. Where the file turns out to be a recording, the
// names were given in the wrong order.
func ReadPiece(path, part string, in *fingerboard.Instrument) (*piece.Piece, error) {
	data, asked, err := scoreIn(path)
	if err != nil {
		return nil, err
	}
	if part == "" {
		part = asked
	}
	p, err := readData(path, data, part, in)
	if err == nil && p.School != "" && (in == nil || !in.Chosen) {
		if _, unread := fingerboard.SchoolKept(p.School); unread != nil {
			p.NotPlayed = append(p.NotPlayed, words.Say("job.piece.school", "err", unread))
		}
	}
	if err != nil && isRecording(path) {
		return nil, words.Fault("job.piece.recording", "file", path)
	}
	return p, err
}

// readData reads a piece from what stands in its file.
func readData(path string, data []byte, part string, in *fingerboard.Instrument) (*piece.Piece, error) {
	if midi.Is(data) {
		return readMIDI(path, data, part, in)
	}
	return notation.Read(path, data, readingOf(part, in)...)
}

// readingOf is how the part for an instrument is read; "" and nil as of ReadPiece.
func readingOf(part string, in *fingerboard.Instrument) (options []notation.Option) {
	if part != "" {
		options = append(options, notation.Part(part))
	}
	if in != nil && in.Printed != fingerboard.DoubleBass().Printed {
		low, _ := in.Range()
		options = append(options, notation.For(in.Name, in.Family, in.Printed, low))
	}
	return options
}

// PieceFiles are the files of pieces that are named: files, and folders that hold them, in the
// order of their names. The error is one line.
func PieceFiles(names []string) (files []string, err error) {
	for _, name := range names {
		info, err := os.Stat(name)
		if err != nil || !info.IsDir() {
			files = append(files, name)
			continue
		}
		all, err := os.ReadDir(name)
		if err != nil {
			return nil, OfFile(name, Cause(err))
		}
		before := len(files)
		for _, e := range all {
			if piece.IsNamed(e.Name()) {
				files = append(files, filepath.Join(name, e.Name()))
			}
		}
		if len(files) == before {
			return nil, words.Fault("job.piece.none", "folder", name)
		}
	}
	return files, nil
}

// scoreIn is the music in a file, or in the homework that the file is, with the part that
// it is for; part is "" where that is not said.
func scoreIn(path string) (data []byte, part string, err error) {
	h, err := OpenHomework(path)
	if err == nil {
		defer h.Close()
		return h.Score, h.Part, nil
	}
	if !errors.Is(err, homework.ErrOther) {
		return nil, "", err
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, "", OfFile(path, Cause(err))
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return nil, "", words.Fault("job.piece.folder", "file", path)
	}
	if data, err = io.ReadAll(io.LimitReader(file, largestPiece)); err != nil {
		return nil, "", OfFile(path, Cause(err))
	}
	return data, "", nil
}

func isRecording(path string) bool {
	r, err := recording.Open(path)
	if err != nil {
		return false
	}
	r.Close()
	return true
}

// Holds says that a piece has the measures asked for, before a minute of listening.
func Holds(p *piece.Piece, opts finding.Options, pieceFile string) error {
	if opts.Measures == "" {
		return nil
	}
	if _, _, err := p.Select(opts.Measures); err != nil {
		return OfFile(pieceFile, err)
	}
	return nil
}
