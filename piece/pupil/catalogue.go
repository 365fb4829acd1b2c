package pupil

// Planted is one line of the table of faults.
type Planted struct {
	Name string // of the line
	Fault
	Bowed bool // makes no sense plucked
	OneTo int  // a frame of so many notes: 1, 2, 3 and more
}

// Catalogue is every fault there is, as the table of figures tells them apart.
var Catalogue = []Planted{
	{Name: "after shift, 1 note", Fault: BadShift(1, 1), OneTo: 1},
	{Name: "after shift, 2 notes", Fault: BadShift(2, 2), OneTo: 2},
	{Name: "after shift, 3+ notes", Fault: BadShift(3, 99), OneTo: 3},
	{Name: "60-120 cents, 1 note", Fault: FarLanding(1, 1), OneTo: 1},
	{Name: "60-120 cents, 2+ notes", Fault: FarLanding(2, 99), OneTo: 2},
	{Name: "opening frame", Fault: OpeningFrame},
	{Name: "one note sharp or flat", Fault: StrayFinger},
	{Name: "narrow hand", Fault: HandSpan("narrow_hand")},
	{Name: "wide hand", Fault: HandSpan("wide_hand")},
	{Name: "late", Fault: Late},
	{Name: "early", Fault: Early},
	{Name: "held short", Fault: HeldShort, Bowed: true},
	{Name: "held long", Fault: HeldLong, Bowed: true},
	{Name: "another rhythm", Fault: OtherRhythm},
	{Name: "beat swallowed", Fault: Swallowed},
	{Name: "beat added", Fault: AddedBeat},
	{Name: "wrong note", Fault: WrongNote},
	{Name: "missing", Fault: Missing},
	{Name: "extra", Fault: Extra},
	{Name: "restarted", Fault: Restart},
	{Name: "two attempts", Fault: TwoAttempts},
	{Name: "another tempo", Fault: SteadyTempo},
	{Name: "drifting tempo", Fault: DriftingTempo},
	{Name: "whole bass out", Fault: Tuned},
	{Name: "bass at A = 436", Fault: Tuned436},
	{Name: "one string out", Fault: StringOut},
}
