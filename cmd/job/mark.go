package job

import (
	"slices"

	"endpin/piece"
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

// Mark pencils marks, as they are typed, into the piece in a file, and says which of them cannot
// be played together, a sentence each.
func Mark(path, part, instrument string, marks []string) (p *pencil.Pencil, against []string, err error) {
	in, err := fingerboard.ByWord(instrument)
	if err != nil {
		return nil, nil, err
	}
	p, err = OpenPencil(path, part, &in)
	if err != nil {
		return nil, nil, err
	}
	before := contradictions(p.Piece, in)
	var strings []string
	for _, s := range in.Strings {
		strings = append(strings, s.Name)
	}
	for _, m := range marks {
		if err := p.Typed(m, strings); err != nil {
			return nil, nil, OfFile(path, err)
		}
	}
	for _, said := range contradictions(p.Piece, in) {
		if !slices.Contains(before, said) {
			against = append(against, said)
		}
	}
	return p, against, nil
}

// contradictions are what of a piece's marks cannot be played together.
func contradictions(p *piece.Piece, in fingerboard.Instrument) []string {
	line, _ := p.Line()
	plan := in.For(p).Finger(line, fingerboard.Options{})
	return plan.Contradictions
}
