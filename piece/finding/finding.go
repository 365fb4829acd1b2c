package finding

import (
	"slices"

	"endpin/dsp"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// Finding is one thing heard in one measure or range of measures, with its
// evidence.
type Finding struct {
	Measure   string    `json:"measure"`
	ToMeasure string    `json:"to_measure"`
	Pass      int       `json:"pass"`
	Beat      float64   `json:"beat"`
	Kind      Kind      `json:"kind"`
	Value     float64   `json:"value"` // in the kind's unit: cents, ms, fraction, beats, semitones, quarter notes a minute
	Trust     dsp.Trust `json:"trust"`
	Text      string    `json:"text"` // Said, hedged, in the language that the program speaks

	// The evidence: what was measured is Value; Spread is its robust standard
	// deviation in the same unit, over Notes notes; Tolerance what is let pass.
	Spread    float64 `json:"spread"`
	Tolerance float64 `json:"tolerance"`
	Notes     int     `json:"notes"` // how many notes it rests on

	// FromQPM and ToQPM are the tempo at the first note and at the last of a take that grows
	// slower or faster all along; 0 otherwise.
	FromQPM float64 `json:"from_qpm,omitempty"`
	ToQPM   float64 `json:"to_qpm,omitempty"`

	// Places are where else it was heard, of what is told once of several places.
	Places []Place `json:"places,omitempty"`

	// Unplayed: the take stops before these notes, or, where what was heard there fits
	// nothing, begins after them. It says where to listen and is no mistake.
	Unplayed bool `json:"unplayed,omitempty"`

	Said    words.Sentence `json:"-"` // one sentence for a twelve-year-old, of what is certain and by how much
	Located bool           `json:"-"` // Said begins with where it is
	Plain   words.Sentence `json:"-"` // the mark to a beginner, without figures; zero for none
	Hedge   Hedge          `json:"-"` // how it is said where it is not certain
	Beats   float64        `json:"-"` // written length of the note it is about, in beats; 0 where that is nothing to it

	First int     `json:"-"`     // index of the first note of the line it covers, -1 for none
	Last  int     `json:"-"`     // and the last
	At    float64 `json:"at_s"`  // where in the recording it is heard, s
	Short string  `json:"short"` // the mark under the measure: "+28 after shift"
}

// Place is a note of the line, by where it stands.
type Place struct {
	Measure string  `json:"measure"`
	Pass    int     `json:"pass"`
	Beat    float64 `json:"beat"`
}

// Marked reports whether what was found is amiss in each of the measures from the first to
// the last, and is marked in each.
func (f *Finding) Marked() bool { return f.Kind.Row().Marked() && len(f.Places) == 0 }

// Drawn are the measures under which a page marks a finding, by their indices: the one that it
// begins in with those that it goes through, and apart from them its other places. at gives the
// index of a measure by its number, -1 for none. What is of the whole take stands under none.
func (f *Finding) Drawn(at func(number string) int) (along, places []int) {
	first, last := at(f.Measure), at(f.ToMeasure)
	if first < 0 || f.Kind.Row().About == WholeTake {
		return nil, nil
	}
	along = []int{first}
	if f.Marked() {
		for k := first + 1; k <= last; k++ {
			along = append(along, k)
		}
		if last >= 0 && last < first {
			along = append(along, last) // over a repeat's sign
		}
	}
	for _, p := range f.Places { // told once, and marked at each
		if k := at(p.Measure); k >= 0 && !slices.Contains(along, k) && !slices.Contains(places, k) {
			places = append(places, k)
		}
	}
	return along, places
}

// Hedge is how a finding is put.
type Hedge string

// The hedges: each is the end of the key of a sentence put that way.
const (
	Plainly Hedge = ""
	Perhaps Hedge = ".perhaps" // the listening is only fairly sure
)

// State says what became of a note.
type State string

// The states.
const (
	StatePlayed  State = "played"
	StateMissing State = "missing"
	StateWrong   State = "wrong_note"
	StateExtra   State = "extra"
)

// Note is one note of the line, or an extra one heard.
type Note struct {
	Measure     string    `json:"measure"`
	Pass        int       `json:"pass"`
	Beat        float64   `json:"beat"`
	MIDI        int       `json:"midi"`       // sounding pitch expected; for an extra note, heard
	HeardMIDI   *int      `json:"heard_midi"` // null where nothing was heard
	Onset       *float64  `json:"onset_s"`
	Offset      *float64  `json:"offset_s"`
	Cents       *float64  `json:"cents"` // against the intonation asked for, at the reference heard
	CentsSpread *float64  `json:"cents_spread"`
	LateMS      *float64  `json:"late_ms"` // against the beat that the player keeps
	Held        *float64  `json:"held"`    // fraction of the written length
	String      int       `json:"string"`
	Finger      string    `json:"finger"`
	Position    string    `json:"position"`
	AfterShift  bool      `json:"after_shift"`
	Trust       dsp.Trust `json:"trust"`
	State       State     `json:"state"`

	Line  int `json:"-"` // index in the line, -1 for an extra note
	Heard int `json:"-"` // index into dsp.Heard.Notes, -1 for none
}

// Doubted reports whether what was heard is no ground to call the take clean: it is not
// sure as a whole, or the reference is not that its pitch is told against.
func (h *Hearing) Doubted() bool {
	return h.HeardATrust == dsp.NotSure || slices.ContainsFunc(h.Findings, func(f Finding) bool { return f.Kind == NotSure })
}

// Called is what the player calls the instrument in a sentence.
func (h *Hearing) Called() words.Sentence {
	return fingerboard.Instrument{Family: h.Instrument}.Called()
}

// Hearing is all that was heard of one take, by measure: the object that
// `endpin hear --json` prints.
type Hearing struct {
	Version     int       `json:"version"`
	Piece       string    `json:"piece"`
	Recording   string    `json:"recording"`
	Duration    float64   `json:"duration_s"`
	ReferenceA  float64   `json:"reference_a_hz"`
	HeardA      float64   `json:"heard_a_hz"`
	HeardATrust dsp.Trust `json:"heard_a_trust"`
	HeardASD    float64   `json:"heard_a_sd_cents"`  // its standard deviation
	AFrom       string    `json:"a4_from,omitempty"` // where it was heard, where this take tells too little of it
	TempoAsked  float64   `json:"tempo_asked_qpm"`
	TempoHeard  float64   `json:"tempo_heard_qpm"`
	Level       string    `json:"level"`
	Intonation  string    `json:"intonation"`
	Instrument  string    `json:"instrument,omitempty"` // its family: "cello"; empty for the bass
	Notes       []Note    `json:"notes"`
	Findings    []Finding `json:"findings"`     // in order of the music
	WorthFixing []int     `json:"worth_fixing"` // indexes into Findings, the most worthwhile first, at most two
	Landings    []Landing `json:"landings"`     // shifts, in order of the music
	Listening   int       `json:"listening"`    // the version of what heard and judged: Listening
	Remarks     []string  `json:"remarks"`      // sentences about piece and take: transposition assumed, contradictory marks, what is not played

	Program string `json:"program,omitempty"` // tag, commit and day of what heard it

	Plucked bool `json:"plucked,omitempty"` // pizzicato throughout: how long notes sounded is not judged

	// OnlyPitch: another instrument sounds along, or the room is as loud, so that notes,
	// rhythm and lengths are not told, whatever they were.
	OnlyPitch bool `json:"only_pitch,omitempty"`

	// Away is how many semitones the whole take sounds from where its page is read.
	Away int `json:"-"`

	// Earlier are the notes of tries that were given up, a try each, in order:
	// they were played again, and the last time is what Notes and Findings tell of.
	Earlier [][]Note `json:"-"`
}
