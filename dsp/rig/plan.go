package rig

// General MIDI programs (numbered from 0) whose pitch and onset were measured.
const (
	Bowed     = 43 // contrabass: no sample above MIDI 57
	Cello     = 42 // vibrato in the samples: pitch good to about 3 cents
	Plucked   = 32 // acoustic bass, one plucked string
	Pizzicato = 45 // a whole section plucking: onsets only, no pitch truth
)

// Plan is what a player does in one take.
type Plan struct {
	Take     string   `json:"take,omitempty"`
	TempoQPM float64  `json:"tempo_qpm"`           // quarter notes a minute: the unit of OnsetBeat
	Program  int      `json:"program"`             // General MIDI, from 0; RealBass ignores it
	TuningA4 float64  `json:"tuning_a4,omitempty"` // what A4 the instrument is tuned to, Hz; 0 means 440
	NoiseDB  *float64 `json:"noise_db,omitempty"`  // white noise, RMS in dB re full scale; nil for none
	PeakDB   float64  `json:"peak_db,omitempty"`   // the playing is scaled to this peak; 0 means -6
	GapS     float64  `json:"gap_s,omitempty"`     // silence before beat 0 and after the end, s; 0 means 1
	Seed     int64    `json:"seed,omitempty"`      // of the noise and of RealBass's choices
	Notes    []Note   `json:"notes"`

	// AsSampled leaves the soundfont's own detuning in; the truth tells it.
	AsSampled bool `json:"as_sampled,omitempty"`
}

// Note is one note as planned.
type Note struct {
	Measure   string  `json:"measure,omitempty"` // printed number, for the reader of the truth
	Beat      float64 `json:"beat,omitempty"`    // in its measure, from 1; for the reader too
	MIDI      int     `json:"pitch_midi"`
	String    int     `json:"string,omitempty"`   // 1 is the G string; 0 for any. Only Strings asks for it
	OnsetBeat float64 `json:"onset_beat"`         // quarter notes from the start of the take
	DurBeats  float64 `json:"dur_beats"`          // written length in quarter notes
	Cents     float64 `json:"cents,omitempty"`    // from equal temperament at TuningA4
	LateMS    float64 `json:"late_ms,omitempty"`  // moves the onset; the end stays
	Hold      float64 `json:"hold,omitempty"`     // fraction of DurBeats that sounds; 0 means DefaultHold
	Velocity  int     `json:"velocity,omitempty"` // 0 means 90, at which the soundfont was measured

	// Slurred plays the note on the bow of the note before: no new attack, the
	// pitch glides over GlideMS (0 means 40) and is halfway at the onset.
	// Render only, and within an octave of the slur's first note.
	Slurred bool    `json:"slurred,omitempty"`
	GlideMS float64 `json:"glide_ms,omitempty"`
	// SettleCents is added at the note's beginning and taken back over
	// SettleMS: a landing that is corrected. Render only.
	SettleCents float64 `json:"settle_cents,omitempty"`
	SettleMS    float64 `json:"settle_ms,omitempty"`
	// A vibrato of this rate, from the mean to the crest, after the first 150 ms.
	// Render only.
	VibratoHz    float64 `json:"vibrato_hz,omitempty"`
	VibratoCents float64 `json:"vibrato_cents,omitempty"`
}

// DefaultHold is the fraction of a written length that a note sounds unless told.
const DefaultHold = 0.95

// DB makes the pointer that NoiseDB wants.
func DB(db float64) *float64 { return &db }

func (p Plan) tuning() float64 { return or(p.TuningA4, 440) }
func (p Plan) gap() float64    { return or(p.GapS, 1) }
func (p Plan) peak() float64   { return or(p.PeakDB, -6) }

// times gives when a note begins and ends, in seconds from the start of the take.
func (p Plan) times(n Note) (on, off float64) {
	beat := 60 / p.TempoQPM
	on = p.gap() + n.OnsetBeat*beat + n.LateMS/1000
	off = p.gap() + (n.OnsetBeat+n.DurBeats*or(n.Hold, DefaultHold))*beat
	return on, max(off, on+0.02)
}

func or(value, otherwise float64) float64 {
	if value == 0 {
		return otherwise
	}
	return value
}
