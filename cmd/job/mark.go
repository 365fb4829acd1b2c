package job

import (
	"endpin/piece/fingerboard"
	"endpin/piece/midi"
	"endpin/piece/pencil"
)

// OpenPencil takes up the piece in a file to be marked; part and in are as of ReadPiece.
func OpenPencil(path, part string, in *fingerboard.Instrument) (*pencil.Pencil, error) {
	data, asked, err := scoreIn(path)
	if err != nil {
		return nil, err
	}
	if part == "" {
		part = asked
	}
	if midi.Is(data) {
		p, err := readMIDI(path, data, part, in)
		if err != nil {
			return nil, err
		}
		return pencil.Of(path, p)
	}
	return pencil.Open(path, data, readingOf(part, in)...)
}

// Mark pencils marks, as they are typed, into the piece in a file.
func Mark(path, part, instrument string, marks []string) (*pencil.Pencil, error) {
	in, err := fingerboard.ByWord(instrument)
	if err != nil {
		return nil, err
	}
	p, err := OpenPencil(path, part, &in)
	if err != nil {
		return nil, err
	}
	var strings []string
	for _, s := range in.Strings {
		strings = append(strings, s.Name)
	}
	for _, m := range marks {
		if err := p.Typed(m, strings); err != nil {
			return nil, OfFile(path, err)
		}
	}
	return p, nil
}
