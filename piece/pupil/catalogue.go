package pupil

// Catalogue is every fault there is, as the table of figures tells them apart.
var Catalogue = []Fault{
	named("after shift, 1 note", BadShift(1, 1)),
	named("after shift, 2 notes", BadShift(2, 2)),
	named("after shift, 3+ notes", BadShift(3, 99)),
	named("60-120 cents, 1 note", FarLanding(1, 1)),
	named("60-120 cents, 2+ notes", FarLanding(2, 99)),
	CorrectedLanding,
	OpeningFrame,
	StrayFinger,
	HandSpan("narrow_hand"),
	HandSpan("wide_hand"),
	Late,
	Early,
	HeldShort,
	HeldLong,
	OtherRhythm,
	Swallowed,
	AddedBeat,
	WrongNote,
	Missing,
	Extra,
	Restart,
	TwoAttempts,
	SteadyTempo,
	DriftingTempo,
	Tuned,
	Tuned436,
	StringOut,
	SlowerPassage,
	FasterPassage,
	Hesitation,
	Hesitations,
	LongStop,
	EndsEarly,
	AllShort,
	LeftOut,
	Scattered,
}

func named(name string, f Fault) Fault {
	f.Name = name
	return f
}
