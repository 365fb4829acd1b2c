package piece

import (
	"slices"
	"strings"
)

// Values are the note values as MusicXML 4.0 names them (its type note-type-value), the
// longest first, each half as long as the one before.
var Values = strings.Fields("maxima long breve whole half quarter eighth 16th 32nd 64th 128th 256th 512th 1024th")

// ValueLength is how long a note value lasts without dots; 0 for one that is none, or is
// shorter than a 128th note, which is no whole number of Ticks.
func ValueLength(name string) Ticks {
	const maxima = 32 * Quarter
	i := slices.Index(Values, name)
	if i < 0 || maxima>>i<<i != maxima {
		return 0
	}
	return maxima >> i
}

// ValueFlags is how many flags, or beams, a note value has: 1 for an eighth.
func ValueFlags(name string) int {
	return max(0, slices.Index(Values, name)-slices.Index(Values, "quarter"))
}
