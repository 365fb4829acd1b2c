package notation

import "endpin/piece"

// Printed reads the measures of a MusicXML file also where nothing in them
// sounds, as in the files of the unit tests that hold only rests.
func Printed(data []byte) ([]piece.Measure, error) {
	d, err := readMusicXML(data, given())
	if err != nil {
		return nil, err
	}
	var measures []piece.Measure
	for _, m := range d.measures {
		measures = append(measures, m.Measure)
	}
	return measures, nil
}

// WordsOf is tested as a table.
var (
	WordsOf = func(text string) (jump piece.Jump, fine, toCoda, pizz, arco bool) {
		i := wordsOf(text)
		return i.jump, i.fine, i.toCoda, i.pizz, i.arco
	}
	ErrNoNotes = errNoNotes
)
