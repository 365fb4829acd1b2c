package fingerboard

import (
	"math"

	"endpin/piece"
)

// Costs weighs the moves of the left hand over a phrase. Only their proportions
// count: the unit is one change of position. What a school prefers beyond them
// stands with its positions (Position.Dear). All are common practice, and no
// source gives their size: they were chosen on the lines of testdata/printed, on
// the tunes of teacher_test.go and on one orchestra player's parts.
type Costs struct {
	Semitone float64 `json:"semitone"` // each semitone that the first finger travels: near positions are surer
	Lead     float64 `json:"lead"`     // factor: the first finger slides on its string and leads, among the first shifts taught
	Slide    float64 `json:"slide"`    // added: another finger slides, 4–4 or 2–2
	Again    float64 `json:"again"`    // added: the hand moves on, though it has pressed one note only since it moved; eight times that where it did so already, and moves for every note
	Carried  float64 `json:"carried"`  // factor: an open string, a harmonic or a rest gives the hand time
	Slurred  float64 `json:"slurred"`  // added: no change of bow covers the glide
	OffBeat  float64 `json:"off-beat"` // added: the hand arrives between two beats
	Hurried  float64 `json:"hurried"`  // a move out of a note of no length is dearer by this factor, less out of a longer one
	Crossing float64 `json:"crossing"` // each string that the bow goes over; dearer where hurried, too
	Buried   float64 `json:"buried"`   // each note stopped where the next higher string has it, and so much again for each semitone that it has it above its open note
	Reach    float64 `json:"reach"`    // each note by a pivot or an extension
}

// DefaultCosts are those of a school that says nothing else.
func DefaultCosts() Costs {
	return Costs{
		Semitone: 0.1, Lead: 0.9, Slide: 0.1, Again: 0.1,
		Carried: 0.6, Slurred: 0.9, OffBeat: 0.1, Hurried: 1.1,
		Crossing: 0.25, Buried: 0.35, Reach: 0.5,
	}
}

// unmarked is what each note costs that is taken out of the position that a mark
// has set: more than any way within it.
const unmarked = 50

// enough is how long a note lasts out of which the hand moves without hurry,
// seconds. Common practice, no source.
const enough = 1.0

// state is where a line stands on one note: how the note is stopped, where the
// hand is, which over an open string is where it last pressed, and how many notes in
// succession, this one the last, it moved to press: none, one, or more.
type state struct {
	stop
	hand  int
	moved int
	own   float64 // what this stop costs by itself
}

// step is what lies between two successive notes.
type step struct {
	rest    bool // a written rest, or a note that the hand does not play
	slurred bool // both in one bow
	offBeat bool // the second begins between two beats
	hurry   float64
}

// stepBetween is hurry's only place: none out of a note of a second or more, Hurried
// out of one of no length.
func (k *costing) stepBetween(line []piece.Expected, a, b int, qpm float64) step {
	seconds := line[a].Length.Quarters() * 60 / qpm
	return step{
		rest:    line[a].RestAfter > 0 || b > a+1,
		slurred: line[b].Slurred && b == a+1,
		offBeat: line[b].Beat != math.Trunc(line[b].Beat),
		hurry:   1 + k.Hurried*math.Max(0, 1-seconds/enough),
	}
}

// costing weighs the notes of one line on one instrument.
type costing struct {
	Costs
	firsts []int     // per position: where the first finger lies
	dear   []float64 // per position: what going there costs extra
	tiring []float64 // per position: what each note there costs
	gaps   []int     // per string: semitones up to the next higher string
}

func newCosting(in Instrument) costing {
	k := costing{Costs: in.System.Costs}
	for _, p := range in.System.Positions {
		k.firsts = append(k.firsts, p.First())
		k.dear, k.tiring = append(k.dear, p.Dear), append(k.tiring, p.Tiring)
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
	c := k.tiring[s.place]
	if over := s.semitones - k.gaps[s.str-1]; over >= 0 {
		c += k.Buried * float64(1+over)
	}
	if s.use == Reaching {
		c += k.Reach
	}
	return c
}

// between is what it costs to go from one note to the next: crossing strings
// and moving the hand.
func (k *costing) between(a, b *state, s step) float64 {
	c := k.Crossing * float64(abs(a.str-b.str))
	if b.moved > 0 {
		c += k.move(a, b, s)
	}
	c *= s.hurry
	if b.stopped() && a.hand != b.hand {
		c += k.dear[b.hand]
	}
	if b.stopped() && a.hand == nowhere {
		c += k.placing(b)
	}
	return c
}

// move is what one change of position costs.
func (k *costing) move(a, b *state, s step) float64 {
	c := 1 + k.Semitone*float64(abs(k.firsts[a.hand]-k.firsts[b.hand]))
	if s.offBeat {
		c += k.OffBeat
	}
	if s.rest || !a.stopped() {
		return c * k.Carried
	}
	if a.finger == b.finger && a.str == b.str {
		if a.finger == "1" {
			c *= k.Lead
		} else {
			c += k.Slide
		}
	}
	c += k.Again * float64(a.moved*a.moved*a.moved)
	if s.slurred {
		c += k.Slurred
	}
	return c
}

// home is where the first finger of a hand that waits lies, on every instrument
// here: in first position.
const home = 2

// placing is what it costs to put the hand down for the first time: it comes
// from first position, and there is time.
func (k *costing) placing(b *state) float64 {
	away := abs(k.firsts[b.hand] - home)
	if away == 0 {
		return 0
	}
	return k.Carried * (1 + k.Semitone*float64(away))
}

// opening is what the first note costs.
func (k *costing) opening(b *state) float64 {
	if !b.stopped() {
		return b.own
	}
	return b.own + k.dear[b.hand] + k.placing(b)
}

// moves is how often in succession, up to twice, the hand has moved where it presses b
// after a: not at all where it lies there. The first placing of the hand is no move.
func moves(a, b *state) int {
	if !b.stopped() || a.hand == nowhere || a.hand == b.hand {
		return 0
	}
	return min(2, a.moved+1)
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}
