package fingerboard

import "endpin/piece"

// Costs weighs what a fingering asks of a player. Only their proportions count;
// a shift by a semitone costs 0.75. All values are common practice, no source; a
// beginner's teacher's taste: open strings, low positions, few shifts and short
// ones. Shifting itself is no great matter, its distance is: a hand that spans a
// whole tone shifts from the first lesson on. That half position is left when
// nothing needs it: "playing for extended periods of time in Half Position can
// be a bit tiring for the left hand" ("Switching to the Double Bass", chapter 4,
// fowlerbass.com); "the pressure of the strings near the nut" is called
// "extremely troublesome" by Ch. Labro, Méthode de contre-basse (about 1860, as
// translated on jonathancable.net).
// Around them the choice of shifts is steady: the values may be a third greater
// or smaller and the tunes of the tests are fingered nearly alike.
type Costs struct {
	Shift         float64 // any change of position
	ShiftSemitone float64 // and for each semitone that the first finger travels
	Opening       float64 // per semitone that the hand is first put down away from first position
	Needless      float64 // added where the hand leaves a place that holds the next note: it stays until it must move
	OnOpen        float64 // factor: the hand moves while an open string or a harmonic sounds
	OverRest      float64 // factor: the hand moves in a rest
	SameFinger    float64 // factor: one finger leads all the way and hears where it goes
	Slurred       float64 // added: the glide is heard
	Crossing      float64 // a change to the neighbouring string
	Skip          float64 // and for each string jumped over
	CrossSlurred  float64 // added to a crossing within one bow
	Stopped       float64 // a finger where an open string might serve
	Height        float64 // per semitone that the first finger lies away from first position, each note
	Buried        float64 // a note stopped where the next higher string could sound it, each note
	BuriedDeeper  float64 // and times the square of the semitones that it lies above that string's open note
	Detour        float64 // added where the hand moves to such a note: nobody goes up to find what lies lower on the next string
	Aside         float64 // added where the bow leaves the higher string for such a note though the hand stays
	Dwelling      float64 // each note in a place of which landing there costs extra, as a part of that extra
	Reach         float64 // a pivot or an extension, each note
	Hurry         float64 // a shift or crossing out of a short note, at most this much dearer (1: double)
	Short         float64 // a note is short below this, seconds; counts only where the tempo is given
	LeaveMark     float64 // a note taken out of the position a mark has set
}

// DefaultCosts is a beginner's teacher's taste.
func DefaultCosts() Costs {
	return Costs{
		Shift: 0.35, ShiftSemitone: 0.4, Opening: 0.15, Needless: 0.5,
		OnOpen: 0.3, OverRest: 0.3, SameFinger: 0.85, Slurred: 0.8,
		Crossing: 0.12, Skip: 0.3, CrossSlurred: 0.1,
		Stopped: 0.05, Height: 0.05, Buried: 0.2, BuriedDeeper: 0.1, Detour: 0.8, Aside: 0.8, Dwelling: 0.1, Reach: 0.5,
		Hurry: 0.5, Short: 0.5,
		LeaveMark: 50,
	}
}

// state is where a line stands on one note: how the note is stopped, and where
// the hand is, which over an open string is where it last pressed.
type state struct {
	stop
	hand int
	own  float64 // what this stop costs by itself
}

// step is what lies between two successive notes.
type step struct {
	rest    bool    // a written rest, or a note that the hand does not play
	slurred bool    // both in one bow
	seconds float64 // how long the first lasts; 0 where the tempo is not known
	held    []bool  // per position: whether the second lies well under a hand there
}

func stepBetween(line []piece.Expected, a, b int, qpm float64, held []bool) step {
	s := step{held: held, rest: line[a].RestAfter > 0 || b > a+1, slurred: line[b].Slurred && b == a+1}
	if qpm > 0 {
		s.seconds = line[a].Length.Quarters() * 60 / qpm
	}
	return s
}

// costing weighs the notes of one line on one instrument.
type costing struct {
	Costs
	firsts []int     // per position: where the first finger lies
	dear   []float64 // per position: what landing there costs extra
	gaps   []int     // per string: semitones up to the next higher string
}

// firstPosition is where its first finger lies, on every instrument here.
const firstPosition = 2

func newCosting(in Instrument, c Costs) costing {
	k := costing{Costs: c}
	for _, p := range in.System.Positions {
		k.firsts = append(k.firsts, p.First())
		k.dear = append(k.dear, p.Dear)
	}
	for i, s := range in.Strings {
		gap := in.Reach + 1 // there is no higher string
		if i > 0 {
			gap = in.Strings[i-1].MIDI - s.MIDI
		}
		k.gaps = append(k.gaps, gap)
	}
	return k
}

// alone is what a stop costs by itself.
func (k *costing) alone(s stop) float64 {
	if !s.stopped() {
		return 0
	}
	c := k.Stopped + k.Dwelling*k.dear[s.place] + k.Height*float64(abs(k.firsts[s.place]-firstPosition))
	if k.buried(s) {
		over := float64(s.semitones - k.gaps[s.str-1])
		c += k.Buried + k.BuriedDeeper*over*over
	}
	if s.use == Reaching {
		c += k.Reach
	}
	return c
}

// buried reports whether the next higher string could sound a stopped note lower down.
func (k *costing) buried(s stop) bool { return s.semitones >= k.gaps[s.str-1] }

// held tells for each position whether one of the stops lies well under a hand there.
func (k *costing) held(stops []stop) []bool {
	held := make([]bool, len(k.firsts))
	for _, s := range stops {
		if s.stopped() && s.use == Plain && !k.buried(s) {
			held[s.place] = true
		}
	}
	return held
}

// between is what it costs to go from one note to the next: crossing strings
// and moving the hand.
func (k *costing) between(a, b *state, s step) float64 {
	var c float64
	if away := abs(a.str - b.str); away > 0 {
		c = k.Crossing + k.Skip*float64(away-1)
		if s.slurred {
			c += k.CrossSlurred
		}
		if s.rest {
			c *= k.OverRest
		}
	}
	if b.stopped() && a.hand == b.hand && a.str < b.str && k.buried(b.stop) {
		c += k.Aside
	}
	if b.stopped() && a.hand != b.hand {
		if a.hand == nowhere {
			c += k.placing(b)
		} else {
			c += k.shift(a, b, s)
		}
	}
	if s.seconds > 0 && s.seconds < k.Short {
		c *= 1 + k.Hurry*(1-s.seconds/k.Short)
	}
	return c
}

// opening is what the first note costs.
func (k *costing) opening(b *state) float64 {
	if b.hand == nowhere {
		return b.own
	}
	return b.own + k.placing(b)
}

// placing is what it costs to put the hand down for the first time.
func (k *costing) placing(b *state) float64 {
	c := k.dear[b.hand] + k.Opening*float64(abs(k.firsts[b.hand]-firstPosition))
	if k.buried(b.stop) {
		c += k.Detour
	}
	return c
}

func (k *costing) shift(a, b *state, s step) float64 {
	c := k.Shift + k.ShiftSemitone*float64(abs(k.firsts[a.hand]-k.firsts[b.hand])) + k.dear[b.hand]
	switch {
	case s.rest:
		c *= k.OverRest
	case !a.stopped():
		c *= k.OnOpen
	case a.finger == b.finger && a.str == b.str:
		c *= k.SameFinger
	}
	if s.slurred && a.stopped() {
		c += k.Slurred
	}
	if k.buried(b.stop) {
		c += k.Detour
	}
	if s.held[a.hand] {
		c += k.Needless
	}
	return c
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}
