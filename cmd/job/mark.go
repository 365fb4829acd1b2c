package job

import (
	"endpin/piece/fingerboard"
	"endpin/piece/pencil"
)

// Mark pencils marks, as they are typed, into the piece in a file.
func Mark(path, part, instrument string, marks []string) (*pencil.Pencil, error) {
	in, err := fingerboard.ByWord(instrument)
	if err != nil {
		return nil, err
	}
	data, asked, err := scoreIn(path)
	if err != nil {
		return nil, err
	}
	if part == "" {
		part = asked
	}
	p, err := pencil.Open(path, data, readingOf(part, &in)...)
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
