package notation

import (
	"bytes"
	"errors"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"endpin/piece"
	"endpin/piece/words"
)

// maxFile is the largest file read, in bytes, compressed or not: a full
// orchestral score of an hour stays below it.
const maxFile = 32 << 20

// zipMark begins a zip, as which MusicXML is compressed.
var zipMark = []byte("PK\x03\x04")

// Option changes how a file is read.
type Option func(*options)

type options struct {
	part      string
	supposing supposed
	traced    bool // keep where notes stand in the file
}

// given are the options on top of what a file is read as without any: a part for the
// double bass, an octave lower than written.
func given(opts ...Option) options {
	o := options{supposing: supposed{words.Of("piece.instrument.bass"), &bassFamily, -piece.Octave, lowest}}
	for _, opt := range opts {
		opt(&o)
	}
	return o
}

// supposed is where a part sounds whose file does not say it.
type supposed struct {
	instrument words.Sentence
	family     *family
	semitones  int
	lowest     int
}

// For says what instrument the part is for: by its name as a sentence uses it, its
// family ("bass", "cello", "viola" or "violin"; any other is a bass), and where its part
// sounds in a file that states no transposition: so many semitones from where it is
// written. A part that would then lie below its lowest note is taken as it is written.
// Without it the piece is read for a double bass, an octave lower.
func For(instrument words.Sentence, family string, semitones, lowest int) Option {
	return func(o *options) { o.supposing = supposed{instrument, familyOf(family), semitones, lowest} }
}

// Part chooses the part (in ABC the voice) by its name, its number from 1 in
// the file's order, or its id. Without it Read takes the part that fits the instrument
// best (see forPart), else the first with pitched notes.
func Part(nameOrNumber string) Option {
	return func(o *options) { o.part = nameOrNumber }
}

// Read reads a piece from the content of a file. The name is used in error
// messages only.
func Read(name string, data []byte, opts ...Option) (*piece.Piece, error) {
	p, err := read(data, given(opts...))
	if err != nil {
		var at *placed
		if errors.As(err, &at) {
			return nil, words.Fault(at.where+".of-file", "file", name, "at", at.at, "err", at.err)
		}
		return nil, words.Fault("notation.file", "file", name, "err", err)
	}
	return p, nil
}

func read(data []byte, o options) (*piece.Piece, error) {
	if len(data) > maxFile {
		return nil, words.Fault("notation.too-large", "mb", maxFile>>20)
	}
	if bytes.HasPrefix(data, zipMark) {
		score, err := unpack(data)
		if err != nil {
			return nil, err
		}
		data = score
	}
	text, err := decode(data)
	if err != nil {
		return nil, err
	}
	var d *draft
	switch trimmed := bytes.TrimSpace(text); {
	case len(trimmed) == 0:
		return nil, words.Fault("notation.empty")
	case trimmed[0] == '<':
		d, err = readMusicXML(text, o)
	case looksLikeABC(text):
		d, err = readABC(text, o)
	default:
		return nil, words.Fault("notation.no-music")
	}
	if err != nil {
		return nil, err
	}
	p, err := d.finish(o.supposing)
	if errors.Is(err, errNoNotes) && o.part != "" {
		return nil, words.Fault("notation.part-empty", "typed", typed(o.part))
	}
	return p, err
}

// decode turns UTF-16 with a byte order mark into UTF-8 and takes the mark off
// UTF-8. What else an XML declaration names is decoded while it is read.
func decode(data []byte) ([]byte, error) {
	switch {
	case bytes.HasPrefix(data, []byte("\xEF\xBB\xBF")):
		return data[3:], nil
	case bytes.HasPrefix(data, []byte("\xFE\xFF")), bytes.HasPrefix(data, []byte("\xFF\xFE")):
		text, err := unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewDecoder().Bytes(data)
		if err != nil {
			return nil, words.Fault("notation.utf16")
		}
		return text, nil
	case bytes.IndexByte(data[:min(len(data), 512)], 0) >= 0:
		return nil, words.Fault("notation.no-text")
	}
	return data, nil
}

// asUTF8 reads text that declares no encoding as Latin-1 where it is not UTF-8.
func asUTF8(text []byte) []byte {
	if utf8.Valid(text) {
		return text
	}
	latin, err := charmap.Windows1252.NewDecoder().Bytes(text)
	if err != nil { // every byte has a meaning there, or a replacement
		return bytes.ToValidUTF8(text, []byte("?"))
	}
	return latin
}

// placed is an error at a line or a measure of the file.
type placed struct {
	where string // the message: "notation.line", "notation.measure"
	at    any    // a line's number from 1, a measure's as printed
	err   error
}

func (p *placed) Error() string { return words.Say(p.where, "at", p.at, "err", p.err) }
func (p *placed) Unwrap() error { return p.err }

func atLine(line int, err error) error { return &placed{"notation.line", line, err} }

func atMeasure(number string, err error) error { return &placed{"notation.measure", number, err} }

// typed is what a file says, in quotes and not at length.
func typed(text string) words.Plain { return words.Quoted(short(text)) }
