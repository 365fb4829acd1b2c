package finding

import "endpin/piece/words"

// Kind is what a finding is about. The words are part of the JSON that other
// programs read.
type Kind string

// The kinds of finding.
const (
	SharpAfterShift Kind = "sharp_after_shift"
	FlatAfterShift  Kind = "flat_after_shift"
	Sharp           Kind = "sharp"
	Flat            Kind = "flat"
	NarrowHand      Kind = "narrow_hand"
	WideHand        Kind = "wide_hand"
	Late            Kind = "late"
	Early           Kind = "early"
	HeldShort       Kind = "held_short"
	HeldLong        Kind = "held_long"
	WrongRhythm     Kind = "wrong_rhythm"
	WrongNote       Kind = "wrong_note"
	Missing         Kind = "missing"
	Extra           Kind = "extra"
	Restarted       Kind = "restarted"
	LeftOut         Kind = "left_out"
	Tempo           Kind = "tempo"
	SlowerPassage   Kind = "slower_passage"
	FasterPassage   Kind = "faster_passage"
	Paused          Kind = "paused"
	Stopped         Kind = "stopped"
	Uneven          Kind = "uneven"
	Tuning          Kind = "tuning"
	NotSure         Kind = "not_sure"
)

// About is what a kind speaks of.
type About int

// What a kind may speak of.
const (
	OneNote   About = iota // or several that hang together
	HandFrame              // the notes between two shifts
	Hand                   // how the hand lies wherever it was seen: marked once, and told of all those measures
	Measures               // what was done in them as a whole
	WentBack               // where the player went back to, and from where
	Here                   // where the sound stops
	WholeTake
)

// Unit is the unit of a kind's value, spread and tolerance.
type Unit int

// The units. Digits says how many decimals of each mean something.
const (
	NoUnit Unit = iota
	Cents
	Milliseconds
	WrittenLengths // of the length written
	BeatsOff
	Semitones
	QuartersAMinute
	PaceShare // of the rest's pace
	Seconds
)

// Digits is how many decimals of a unit mean something.
func (u Unit) Digits() int {
	switch u {
	case WrittenLengths, BeatsOff, PaceShare:
		return 2
	case Seconds:
		return 1
	}
	return 0
}

// Shape is the drawing that stands for a kind, so that it survives black-and-white
// print and colour blindness.
type Shape string

// The shapes. Up is sharp, down is flat, right is late; a bar that ends before its
// line was held short, one that runs over it long; two bars are a pause, a line at the
// right the end of the sound.
const (
	Up         Shape = "up"
	Down       Shape = "down"
	Left       Shape = "left"
	Right      Shape = "right"
	ShortBar   Shape = "short"
	LongBar    Shape = "long"
	NarrowGap  Shape = "narrow"
	WideGap    Shape = "wide"
	Strokes    Shape = "rhythm"
	Scattered  Shape = "scattered"
	Diamond    Shape = "diamond"
	Ring       Shape = "ring"
	Plus       Shape = "plus"
	Back       Shape = "back"
	Metronome  Shape = "tempo"
	TwoBars    Shape = "pause"
	EndBar     Shape = "end"
	TuningFork Shape = "fork"
	Unsure     Shape = "unsure"
)

// Row is what a kind of finding is. Its words stand in the catalogue under the
// kind's own: its sentences, the marks under a measure, its name, and what a table, a
// class sheet and a list say of it.
type Row struct {
	Kind  Kind
	About About
	Unit  Unit
	Shape Shape

	// Weight is how much mending it mends elsewhere (common practice, no source):
	// first what every repetition engrains, a wrong rhythm or a wrong hand, then
	// single notes. 2 is one late note; 0 claims nothing.
	Weight float64

	// Drowned: where a room rings as loud as what is played, or another instrument
	// sounds along, it would be a guess.
	Drowned bool

	// Evades: whoever does it goes round what is hard there. A round of mending in which it is
	// told is no clean one, wherever in the round it was.
	Evades bool

	Weeks Following
}

// Following is how a player's weeks follow a kind by itself, beside shifts, measures and passages.
type Following int

// The ways of following.
const (
	NotAlone Following = iota
	ByCount            // how often it was told, of the notes
	ByValue            // how large it was
)

// rows is the table, in the order in which kinds are listed.
var rows = []Row{
	{SharpAfterShift, HandFrame, Cents, Up, 4, false, false, NotAlone},
	{FlatAfterShift, HandFrame, Cents, Down, 4, false, false, NotAlone},
	{Sharp, OneNote, Cents, Up, 1.5, false, false, NotAlone},
	{Flat, OneNote, Cents, Down, 1.5, false, false, NotAlone},
	{NarrowHand, Hand, Cents, NarrowGap, 4, false, false, NotAlone},
	{WideHand, Hand, Cents, WideGap, 4, false, false, NotAlone},
	{Late, OneNote, Milliseconds, Right, 2, true, false, ByCount},
	{Early, OneNote, Milliseconds, Left, 2, true, false, NotAlone},
	{HeldShort, OneNote, WrittenLengths, ShortBar, 2.5, true, false, ByCount},
	{HeldLong, OneNote, WrittenLengths, LongBar, 1.5, true, false, NotAlone},
	{WrongRhythm, Measures, BeatsOff, Strokes, 5, true, false, NotAlone},
	{WrongNote, OneNote, Semitones, Diamond, 3, true, false, NotAlone},
	{Missing, OneNote, NoUnit, Ring, 2.5, true, false, NotAlone},
	{Extra, OneNote, NoUnit, Plus, 1.5, true, false, NotAlone},
	{Restarted, WentBack, NoUnit, Back, 1, false, true, NotAlone},
	{LeftOut, Measures, NoUnit, Ring, 3, true, true, NotAlone},
	{Tempo, WholeTake, QuartersAMinute, Metronome, 1, false, false, NotAlone},
	{SlowerPassage, Measures, PaceShare, Metronome, 5, false, true, NotAlone},
	{FasterPassage, Measures, PaceShare, Metronome, 4, false, false, NotAlone},
	{Paused, OneNote, Seconds, TwoBars, 4, true, true, NotAlone},
	{Stopped, Here, NoUnit, EndBar, 0, false, true, NotAlone},
	{Uneven, WholeTake, Cents, Scattered, 4, false, false, ByValue},
	{Tuning, WholeTake, Cents, TuningFork, 4.5, false, false, NotAlone},
	{NotSure, WholeTake, NoUnit, Unsure, 0, false, false, NotAlone},
}

var rowOf = func() map[Kind]*Row {
	m := map[Kind]*Row{}
	for i := range rows {
		m[rows[i].Kind] = &rows[i]
	}
	return m
}()

// Kinds are all kinds, in the order in which they are listed.
func Kinds() []Kind {
	all := make([]Kind, len(rows))
	for i := range rows {
		all[i] = rows[i].Kind
	}
	return all
}

// Followed are the kinds that weeks follow so, in the order in which they are listed.
func Followed(how Following) (kinds []Kind) {
	for i := range rows {
		if rows[i].Weeks == how {
			kinds = append(kinds, rows[i].Kind)
		}
	}
	return kinds
}

// Row gives what a kind is. One that is not in the table, as a later version may have
// written it, is like something not sure.
func (k Kind) Row() Row {
	if r := rowOf[k]; r != nil {
		return *r
	}
	r := *rowOf[NotSure]
	r.Kind = k
	return r
}

// OffPitch reports whether a note or a hand frame was off in pitch by less than
// another note.
func (r Row) OffPitch() bool {
	return r.Unit == Cents && (r.About == OneNote || r.About == HandFrame)
}

// OffBeat reports whether a note did not come when it was due.
func (r Row) OffBeat() bool { return r.Unit == Milliseconds }

// InTime reports whether a kind is about when notes come and how long they sound, and
// not about which they are or how high.
func (r Row) InTime() bool {
	return r.Unit != Cents && r.Unit != Semitones && (r.About != OneNote || r.Unit != NoUnit)
}

// Misread reports whether something else was played than is written: another note or rhythm, a
// note too many, or nothing.
func (r Row) Misread() bool {
	return r.Unit == Semitones || r.Unit == BeatsOff || r.Unit == NoUnit && (r.About == OneNote || r.About == Measures)
}

// Marked reports whether what was found is amiss in each of the measures it names,
// and is marked in each. Going back names where the player stopped, a hand too narrow
// or too wide how far it was seen.
func (r Row) Marked() bool { return r.About != WentBack && r.About != Hand }

// Name is the kind in words: "sharp after shift".
func (k Kind) Name() words.Sentence {
	if rowOf[k] == nil {
		return words.Of("finding.not_sure.name")
	}
	return k.says("name")
}

// NameAt is the name as a level is told it: a beginner reads what the page says, "too high after
// shift".
func (k Kind) NameAt(level string) words.Sentence {
	if level == FirstYear.Name && k.Row().OffPitch() {
		return k.says("plain")
	}
	return k.Name()
}

// because is the sentence about a take that leaves doubt.
func (k Kind) because(why string, instrument words.Sentence) words.Sentence {
	return words.Of("finding.not_sure."+why, "instrument", instrument)
}

// says is a message of the catalogue about the kind.
func (k Kind) says(what string, places ...any) words.Sentence {
	return words.Of("finding."+string(k)+"."+what, places...)
}
