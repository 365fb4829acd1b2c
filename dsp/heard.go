package dsp

// Frame is one step of the pitch track.
type Frame struct {
	Time         float64 // centre of the frame, s
	Voiced       bool    // a pitch was found; Freq means nothing otherwise
	Freq         float64 // fundamental frequency, Hz
	Aperiodicity float64 // 0 periodic .. 1 noise: YIN's normalised difference at the period
	Level        float64 // RMS in the band where pitch is sought, dB re full scale
}

// Onset is one beginning of a note.
type Onset struct {
	Time     float64 // s, the detector's own delay taken off
	Strength float64 // evidence: 1.2 is just enough, 3 and more is plain
	Fresh    float64 // dB of new sound a band that its attack brought in; an old sound that rings on has hardly any
	Kind     OnsetKind
	Stroke   float64 // s: where the pitch changed, when it began if that was a stroke of its own
}

// OnsetKind says what gave an onset away.
type OnsetKind string

// What gives an onset away.
const (
	Attack      OnsetKind = "attack" // the sound rose
	PitchChange OnsetKind = "pitch"  // the pitch moved without a new attack
)

// Note is one note heard.
type Note struct {
	Onset  float64 // s
	Offset float64 // s: the bow left, or the next note began
	Pitch  float64 // MIDI number with a fraction at A4 = 440: robust mean of the steady part
	Spread float64 // cents: robust standard deviation inside the steady part, vibrato included
	// SteadyFrom and SteadyTo bound the steady part, s: attack, glide and release left out.
	SteadyFrom, SteadyTo float64
	// Landing is the pitch of the first steady 100 ms (MIDI number with a
	// fraction), and Settle how long the pitch took to come within 10 cents of
	// Pitch for good, s.
	Landing, Settle float64
	VibratoRate     float64 // Hz; 0 for none
	VibratoExtent   float64 // cents from the mean to the crest
	Level           float64 // dB re full scale, at the steady part
	Aperiodicity    float64 // median over the steady part
	Plucked         bool    // decays from its attack like a plucked string
	Kind            OnsetKind
	Strength        float64 // of its onset: 1.2 is just enough, 3 and more is plain
	Fresh           float64 // of its onset
	Stroke          float64 // of its onset
	Trust           Trust
}

// Trust says how sure the listening is.
type Trust string

// How sure.
const (
	Sure    Trust = "sure"
	Fair    Trust = "fair"
	NotSure Trust = "not sure"
)

// Heard is all that was heard in one recording.
type Heard struct {
	Rate     int     // of the recording, samples a second
	Duration float64 // s
	Frames   []Frame
	Onsets   []Onset
	Faint    []Onset // signs of onsets too weak to count unless something else expects one there
	Notes    []Note
	Floor    float64 // level of the room between notes, dB re full scale
	Release  Release // how far it falls as notes are let go
	Peak     float64 // largest sample, 0..1
	Clipped  float64 // fraction of the sounding time that is clipped
	Hum      float64 // of the mains, which was taken out, Hz: 50 or 60; 0 for none

	falls    []float64 // what flux measured, one a frame
	band     []int16   // the sound in the band where pitch is sought, thinned out
	bandRate float64   // of it, samples a second
	bandTop  float64   // Hz up to which partials in it are asked
}
