package fingerboard

import (
	"maps"
	"slices"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/words"
)

// marked reports whether any mark tells where a note lies.
func marked(m piece.Marks) bool {
	return m.Finger != "" || m.String != 0 || m.Position != "" || m.Open || m.Harmonic
}

// asksOpen reports whether the marks ask for an open string.
func asksOpen(m piece.Marks) bool {
	return m.Open || m.Finger == "0" && !m.Harmonic || m.Position == "0"
}

// obeys reports whether a stop does what the marks ask. A position over an
// open string tells where the hand waits and asks nothing of the string.
func (in Instrument) obeys(s stop, m piece.Marks) bool {
	if m.String != 0 && m.String != s.str || m.Harmonic != s.harmonic {
		return false
	}
	if s.harmonic {
		return true
	}
	if asksOpen(m) || s.open {
		return s.open && (m.Finger == "" || m.Finger == "0")
	}
	return (m.Finger == "" || m.Finger == s.finger) &&
		(m.Position == "" || m.Position == in.System.Positions[s.place].Token)
}

// choices are the stops that a note may take.
type choices struct {
	stops    []stop
	standing string // the position that an earlier mark has set and nothing has ended
	kept     piece.Marks
	settled  bool // the marks alone leave one stop
}

// eachNamed is how many notes, or pitches, are named each by itself: of more the page is
// another instrument's, and that is said once.
const eachNamed = 6

// choose gathers for each note of a line the stops that obey its marks, and
// names what cannot be obeyed or reached.
func (in Instrument) choose(line []piece.Expected, o Options, plan *Plan) []choices {
	all := make([]choices, len(line))
	outside := map[int][]string{}
	var against []string // the measures of contradictions
	standing := ""
	for i := range line {
		n := &line[i]
		if p := n.Marks.Position; p != "" && p != "0" && slices.Contains(in.System.Tokens(), p) {
			standing = p
		}
		c := in.ways(n, o, standing)
		if c.said != "" {
			plan.Contradictions, against = append(plan.Contradictions, c.said), append(against, n.Number)
		}
		if len(c.stops) == 0 {
			outside[n.MIDI] = append(outside[n.MIDI], n.Number)
		} else if standing != "" && !slices.ContainsFunc(c.stops, func(s stop) bool { return in.staysIn(s, standing) }) {
			standing = "" // a finger or a pitch that the position has not: the hand has left it
		}
		all[i] = choices{c.stops, standing, c.kept, c.settled}
	}
	if n := len(against); n > eachNamed {
		plan.many = words.Say("piece.marks.contradict.many", "notes", n, "measures", words.List(slices.Compact(against)), "instrument", in.Name)
	}
	plan.Outside = in.sayOutside(outside)
	return all
}

// staysIn reports whether a stop leaves the hand in a position. A note far up a
// low string, which nobody would look for there, does not keep the hand.
func (in Instrument) staysIn(s stop, position string) bool {
	if !s.stopped() {
		return true
	}
	return in.System.Positions[s.place].Token == position && (s.str <= 2 || s.semitones < 12)
}

type way struct {
	stops []stop
	kept  piece.Marks
	said  string // what the marks contradict, if they do

	settled bool
}

// ways lists the stops of one note under its marks. Marks count for more than
// the positions allowed; where they contradict each other as many are kept as can be.
func (in Instrument) ways(n *piece.Expected, o Options, standing string) way {
	everything := in.stops(n.MIDI)
	if n.Marks.Harmonic {
		everything = append(everything, in.harmonics(n.MIDI)...)
	}
	for i, m := range fewerMarks(n.Marks) {
		obeying := in.under(everything, m)
		stops := keep(obeying, func(s stop) bool { return in.allowed(s, o, standing) })
		if len(stops) == 0 && marked(m) {
			stops = obeying
		}
		if len(stops) == 0 {
			continue
		}
		w := way{stops: stops, kept: m, settled: marked(m) && i == 0 && oneWay(obeying)}
		if i > 0 {
			w.said = in.sayContradiction(n, m)
		}
		return w
	}
	return way{}
}

// under filters the stops of a note by its marks.
func (in Instrument) under(everything []stop, m piece.Marks) []stop {
	obeying := keep(everything, func(s stop) bool { return in.obeys(s, m) })
	if m.Position != "" && !asksOpen(m) {
		// A position over a note that can be stopped there means to stop it there.
		if stopped := keep(obeying, stop.stopped); len(stopped) > 0 {
			obeying = stopped
		}
	}
	if m.Finger == "" {
		obeying = keep(obeying, func(s stop) bool { return s.use != MarkedOnly })
	}
	return obeying
}

func (in Instrument) allowed(s stop, o Options, standing string) bool {
	if !s.stopped() {
		return s.harmonic || s.semitones < 0 || !o.NoOpenStrings
	}
	token := in.System.Positions[s.place].Token
	use := o.Positions
	if len(use) == 0 {
		use = in.System.Use
	}
	return len(use) == 0 || token == standing || slices.Contains(use, token)
}

// fewerMarks lists a note's marks, then what is left of them when some are
// given up, the fewest first: a position before a string before a finger.
func fewerMarks(m piece.Marks) []piece.Marks {
	position, str, finger := m, m, m
	position.Position = ""
	str.String = 0
	finger.Finger, finger.Open, finger.Harmonic = "", false, false
	onlyFinger, onlyString, onlyPosition := position, position, str
	onlyFinger.String = 0
	onlyString.Finger, onlyString.Open, onlyString.Harmonic = "", false, false
	onlyPosition.Finger, onlyPosition.Open, onlyPosition.Harmonic = "", false, false
	tries := []piece.Marks{m}
	for _, fewer := range []piece.Marks{position, str, finger, onlyFinger, onlyString, onlyPosition, {}} {
		fewer.Bow = m.Bow
		if !slices.Contains(tries, fewer) {
			tries = append(tries, fewer)
		}
	}
	return tries
}

func (in Instrument) sayContradiction(n *piece.Expected, kept piece.Marks) string {
	key := "piece.marks.contradict"
	if marked(kept) {
		key += ".kept"
	}
	return words.Say(key, "measure", n.Number, "beat", words.Significant(n.Beat, 4), "pitch", words.Pitch(n.MIDI),
		"marks", in.sayMarks(n.Marks), "kept", in.sayMarks(kept))
}

func (in Instrument) sayMarks(m piece.Marks) words.Linked {
	var said []words.Sentence
	if m.Finger != "" {
		said = append(said, words.Of("piece.mark.finger", "finger", m.Finger))
	}
	if m.Open {
		said = append(said, words.Of("piece.mark.open"))
	}
	if m.Harmonic {
		said = append(said, words.Of("piece.mark.harmonic"))
	}
	if m.String > 0 && m.String <= len(in.Strings) {
		said = append(said, words.Of("piece.mark.string", "string", words.OpenString(in.Strings[m.String-1].Name)))
	} else if m.String != 0 { // of another instrument
		said = append(said, words.Of("piece.mark.string.number", "string", m.String))
	}
	if m.Position != "" {
		said = append(said, words.Of("piece.mark.position", "position", m.Position))
	}
	return words.Row(said...)
}

// sayOutside names the pitches that are out of reach, lowest first, and what
// would bring them into reach.
func (in Instrument) sayOutside(outside map[int][]string) []string {
	var said []string
	why := map[string][]int{} // the pitches of each reason
	for _, midi := range slices.Sorted(maps.Keys(outside)) {
		key, _ := in.whyOutside(midi)
		why[key] = append(why[key], midi)
	}
	for _, midi := range slices.Sorted(maps.Keys(outside)) {
		measures := slices.Compact(outside[midi])
		key, places := in.whyOutside(midi)
		if all := why[key]; len(all) > eachNamed && (key == below || key == above) {
			if midi == all[0] {
				said = append(said, words.Say(key+".many", append(places, "pitches", len(all), "from", words.Pitch(midi), "to", words.Pitch(all[len(all)-1]))...))
			}
			continue
		}
		said = append(said, words.Many(key, len(measures), append(places, "measures", words.List(measures), "pitch", words.Pitch(midi))...).String())
	}
	return said
}

// The messages for what lies beyond the instrument.
const below, above = "piece.outside.below", "piece.outside.above"

// whyOutside is the message that says why a pitch is out of reach, and what stands in
// it beside the pitch and where it is.
func (in Instrument) whyOutside(midi int) (key string, places []any) {
	for _, s := range in.stops(midi) {
		switch {
		case s.open:
			return "piece.outside.open", nil
		case s.use == Plain:
			return "piece.outside.not-allowed", []any{"position", words.Position(in.System.Positions[s.place].Token).Printed()}
		}
	}
	low, high := in.Range()
	switch {
	case midi < low:
		return below, []any{"instrument", in.Name, "end", words.Pitch(low)}
	case midi > high:
		return above, []any{"instrument", in.Name, "end", words.Pitch(high)}
	}
	return "piece.outside", []any{"instrument", in.Name}
}

// Beyond says of a pitch in a measure, by its number, that the instrument has no note so low, or
// so high; false where it has.
func (in Instrument) Beyond(midi int, measure string) (words.Sentence, bool) {
	if low, high := in.Range(); midi >= low && midi <= high {
		return words.Sentence{}, false
	}
	key, places := in.whyOutside(midi)
	return words.Many(key, 1, append(places, "measures", words.List{measure}, "pitch", words.Pitch(midi))...), key == below || key == above
}

// Range is the lowest and the highest note, as they sound.
func (in Instrument) Range() (low, high int) {
	low, high = 1<<30, 0
	for _, s := range in.Strings {
		low, high = min(low, s.MIDI-s.Below), max(high, s.MIDI+in.Reach)
	}
	return low, high
}

// Sounds is between which frequencies an instrument is listened for, Hz: those of the
// double bass, which are given, and for another from a semitone and a half below its
// lowest note to as much above its highest.
func (in Instrument) Sounds(bassLow, bassHigh float64) (low, high float64) {
	lowest, highest := in.Range()
	if dsp.Hz(float64(lowest)) <= 2*bassLow {
		return bassLow, bassHigh
	}
	return dsp.Hz(float64(lowest) - 1.5), min(2400, dsp.Hz(float64(highest)+1.5))
}

func keep(stops []stop, want func(stop) bool) []stop {
	var kept []stop
	for _, s := range stops {
		if want(s) {
			kept = append(kept, s)
		}
	}
	return kept
}
