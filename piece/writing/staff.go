package writing

import (
	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// StaffOf is where an instrument's notes are printed.
func StaffOf(in fingerboard.Instrument) Staff {
	clef := map[string]piece.Clef{"violin": {Sign: "G", Line: 2}, "viola": {Sign: "C", Line: 3}}[in.Family]
	if clef.Sign == "" {
		clef = piece.Clef{Sign: "F", Line: 4}
	}
	return Staff{Part: string(words.Capital(in.Name.String())), Clef: clef, Transposed: in.Printed}
}
