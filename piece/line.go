package piece

// Expected is one sounding note of the line as played: repeats unfolded, ties
// joined, grace notes set aside.
type Expected struct {
	Measure int    // index into Piece.Measures
	Number  string // that measure's printed number
	Pass    int    // the how manieth time this measure comes round, from 1
	Beat    float64
	Note    int   // index into that measure's Notes (the first of tied ones)
	Onset   Ticks // from the start of the line
	Length  Ticks // ties joined
	MIDI    int   // as it sounds

	Slurred      bool // slurred from the note before
	Grace        bool // a grace note leads into it
	Marks        Marks
	Articulation Articulation // of the last tied note where it matters for the end
	RestAfter    Ticks        // silence written between its end and the next note
}

// PlayedMeasure is one measure of the line as played.
type PlayedMeasure struct {
	Measure int // index into Piece.Measures
	Pass    int
	Onset   Ticks // from the start of the line
}
