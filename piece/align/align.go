package align

import (
	"math"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/pace"
	"endpin/piece/words"
)

// Alignment says which note heard is which note expected.
type Alignment struct {
	Matches  []Match // one for each note of the line
	Extras   []int   // notes heard that belong to none expected, indexes, in order
	Restarts []Restart
	Skips    []Skip
	Earlier  []Earlier // of notes played more than once, the times that do not count

	// Stretches are the stretches between changes of pace, by notes of the line.
	Stretches []pace.Stretch

	// First and Last are the first and the last note of the line that were
	// heard; what lies outside was not played.
	First, Last int

	// Octave is how many octaves the whole take sounds from where it is
	// expected: 0 but for a transposition mistaken.
	Octave int

	// Pace is the seconds of the take for each nominal second (see Clock): 1 at the
	// tempo asked, 1.25 a fourth slower.
	Pace float64

	// Fit is how well the take fits the piece: the mean cost of a note heard,
	// about 0.2 for a good take and above 1 for another piece.
	Fit float64
}

// Match is what was heard of one note expected.
type Match struct {
	Heard     int      // index into the notes heard, -1 for none
	Note      dsp.Note // that note, split or joined with its neighbour where need be
	Recovered bool     // no onset was heard, but the pitch was there
	Guessed   bool     // its onset was not heard but lies inside a longer note of the same pitch
	Phrase    int      // notes of one phrase share a beat that goes on; a restart or a stop begins another

	Beat float64 // when the beat that the player keeps has it, s; NaN where unknown
	Step float64 // seconds by which the beat is put off from this note on, 0 for none
	Rate float64 // seconds a nominal second, from here on
}

// Restart is one going back.
type Restart struct {
	To   int     // index in the line gone back to
	From int     // the last note begun before
	At   float64 // s
}

// Skip is one going on ahead.
type Skip struct {
	From   int     // the last note before
	To     int     // index in the line gone on to
	Onward bool    // along the page, where the line goes elsewhere: a repeat not taken, or a first ending
	At     float64 // s
}

// Earlier is a note expected that was played again later: of those the last
// time counts.
type Earlier struct {
	Line   int // index in the line
	Heard  int // index into the notes heard
	Phrase int // the notes of one try share it
}

// ErrNothing says that nothing of the piece was heard.
var ErrNothing = words.Fault("align.nothing")

// Tuned on the takes of testdata/figures/aligned.md, where they were looked at while
// the rules were changed.
const (
	searchNotes   = 160  // notes that tell the pace and the octave of a take
	pacesAnOctave = 6    // tried for each doubling of the pace …
	pacesEachWay  = 7    // … and so many slower and faster than asked
	octavePaces   = 6    // and where another octave is tried, every second of so many
	likelyGain    = 0.4  // a note, below which a way is not yet believed to be right
	worstFit      = 0.95 // mean cost of a note beyond which a take is of another piece
	agreeLeast    = 3    // notes at the pitch expected that a take must have
)

// Align matches notes heard to the line. Clock gives the nominal time of each
// note of the line in seconds; the take may go at another pace. The error is
// ErrNothing where the notes heard do not fit the line anywhere.
//
// Reference is what A4 is taken to be, Hz.
func Align(line []piece.Expected, clock []float64, heard *dsp.Heard, reference float64) (*Alignment, error) {
	if len(line) == 0 || len(heard.Notes) == 0 {
		return nil, ErrNothing
	}
	shift := 12 * math.Log2(reference/dsp.ReferenceA)
	score, sounds := scoreOf(line, clock), soundsOf(atReference(heard.Notes, shift))
	best := search(score, sounds)
	if best == nil || !best.likely() {
		return nil, ErrNothing
	}
	// Once more, at the pace and the tuning that the first look found.
	m := best.model
	m.sounds, m.pace, m.tuning, m.strict = sounds, best.pace(), best.tuning(), true
	if again := m.align(); again != nil {
		best = again
	}
	best.model.shift = shift
	return best.alignment(heard), nil
}

// atReference gives the notes heard as if the reference were 440 Hz; shift is how
// far it lies above, semitones.
func atReference(heard []dsp.Note, shift float64) []dsp.Note {
	notes := append([]dsp.Note(nil), heard...)
	for i := range notes {
		notes[i].Pitch -= shift
		notes[i].Landing -= shift
	}
	return notes
}

// search tries the paces at which the line may have been played, and the
// octaves in which it may have been written.
func search(score *score, sounds sounds) *way {
	some := sounds
	if n := len(sounds.heard); n > searchNotes {
		from := (n - searchNotes) / 2
		some = sounds.part(from, from+searchNotes)
	}
	var best *way
	try := func(pace, octave float64) {
		m := &model{score: score, sounds: some, pace: pace, octave: octave}
		if w := m.align(); w != nil && (best == nil || w.cost < best.cost) {
			best = w
		}
	}
	for k := -pacesEachWay; k <= pacesEachWay; k++ {
		try(math.Exp2(float64(k)/pacesAnOctave), 0)
	}
	// Where few notes agree the piece may be written in another octave.
	if best == nil || best.cost > -likelyGain*float64(min(len(score.line), len(some.heard))) {
		for _, octave := range []float64{-12, 12} {
			for k := -octavePaces; k <= octavePaces; k += 2 {
				try(math.Exp2(float64(k)/pacesAnOctave), octave)
			}
		}
	}
	if best == nil || best.likely() || len(some.heard) == len(sounds.heard) {
		return best
	}
	m := *best.model // the middle was something else
	m.sounds, m.pace = sounds, best.pace()
	return m.align()
}

// Clock gives the nominal time of each note of the line, in seconds, at the
// piece's own tempo marks, scaled so that the first is asked, a tempo in
// quarter notes a minute. Without a mark the piece goes at asked throughout.
func Clock(p *piece.Piece, line []piece.Expected, asked float64) []float64 {
	clock := make([]float64, len(line))
	first := tempoOf(p, line, 0)
	t := 0.0
	for i := range line {
		if i > 0 {
			qpm := asked
			if own := tempoOf(p, line, i-1); own > 0 && first > 0 {
				qpm = asked * own / first
			}
			t += (line[i].Onset - line[i-1].Onset).Quarters() * 60 / qpm
		}
		clock[i] = t
	}
	return clock
}

func tempoOf(p *piece.Piece, line []piece.Expected, i int) float64 {
	if i >= len(line) {
		return 0
	}
	at := p.Measures[line[i].Measure].Notes[line[i].Note].Start
	return p.TempoAt(line[i].Measure, at)
}
