package rig

// Take is one recording and the truth about it.
type Take struct {
	Samples []float32 // mono, at Rate
	Truth   Truth
}

// Rate is the sampling rate of every take, in samples a second.
const Rate = 44100

// Truth is what really sounds in a take.
type Truth struct {
	Take     string     `json:"take,omitempty"`
	Program  int        `json:"program"`
	TempoQPM float64    `json:"tempo_qpm"`
	TuningA4 float64    `json:"tuning_a4"`
	LengthS  float64    `json:"length_s"`
	Notes    []TrueNote `json:"notes"`
}

// TrueNote is the truth about one note. Times are seconds from the start of the
// recording.
type TrueNote struct {
	Note
	OnsetS  float64 `json:"onset_s"`  // the key goes down; of a slurred note: halfway through the glide
	OffsetS float64 `json:"offset_s"` // the key is let go
	// HeardS is when the note reaches a tenth of its peak level: OnsetS and the
	// attack that was measured for that note.
	HeardS   float64 `json:"onset_heard_s"`
	Cents    float64 `json:"cents"`            // of the steady part, from equal temperament at TuningA4
	Cents440 float64 `json:"cents_440"`        // of the steady part, from equal temperament at A4 = 440
	FreqHz   float64 `json:"freq_hz"`          // of the steady part
	Source   string  `json:"source,omitempty"` // the recorded note it was made from
}

// Pitch is the note's sounding pitch as a MIDI number with a fraction at A4 = 440.
func (n TrueNote) Pitch() float64 { return float64(n.MIDI) + n.Cents440/100 }

// shift moves all that the truth tells later by s seconds.
func (t *Truth) shift(s float64) {
	t.LengthS += s
	for i := range t.Notes {
		t.Notes[i].OnsetS += s
		t.Notes[i].OffsetS += s
		t.Notes[i].HeardS += s
	}
}
