package pupil

import (
	"math"
	"math/rand"
	"sort"

	"endpin/dsp/rig"
)

// Scatter is how unevenly a player plays without any fault: independent and
// normal, note by note.
type Scatter struct {
	Cents   float64 // standard deviation of a stopped note's intonation
	OnsetMS float64 // standard deviation of an onset
	OpenToo bool    // open strings scatter as stopped notes do: harder than life
}

// The scatters used here. A beginner's is the design's.
var (
	Beginner = Scatter{Cents: 12, OnsetMS: 35}
	Careful  = Scatter{Cents: 4, OnsetMS: 12}
)

// Player is one pupil playing one line.
type Player struct {
	Tune    *Tune
	Level   Level
	Scatter Scatter
	Program int
	Seed    int64
	// Vibrato shakes every stopped note of at least 0.7 s: 5 to 6.5 times a
	// second, 12 to 30 cents each way (Timmers and Desain 2000: 5.5-8 Hz, 20-35
	// cents for strings; a bass is slower).
	Vibrato bool
	// Breath is the share of the tempo by which the pace comes and goes, over some
	// measures at a time.
	Breath float64
}

// Performance is what the pupil does and what must be found in it.
type Performance struct {
	Tune     *Tune
	Plan     rig.Plan
	Expected []Finding // must be found
	Allowed  []Finding // may be told as well, and is then no false finding
	Tempo    float64   // the tempo asked for, quarter notes a minute
	A4       float64   // the reference asked for, Hz; 0 for 440
}

// sound is one note as the pupil plays it. Times are quarter notes of the
// score's tempo from the start of the line; restarts make them run past it.
type sound struct {
	step    int // index into the line; -1 for a note that is not written
	measure string
	beat    float64
	midi    int
	onset   float64
	length  float64 // written length
	hold    float64 // fraction of length that sounds
	cents   float64
	lateMS  float64
	slurred bool

	settleCents, settleMS float64 // a landing that is corrected

	taken bool // belongs to a fault: no other one touches it
}

// Play lets the pupil play with the faults given, in their order. A fault that
// finds no place in this line is left out; Expected tells what was planted.
func (pl Player) Play(faults ...Fault) *Performance {
	rng := rand.New(rand.NewSource(pl.Seed))
	m := &making{Player: pl, rng: rng, out: &Performance{Tune: pl.Tune, Tempo: pl.Tune.QPM},
		frames: Frames(pl.Tune.Line), tempo: func(q float64) float64 { return q }, playedQPM: pl.Tune.QPM}
	for i, s := range pl.Tune.Line {
		m.sounds = append(m.sounds, sound{step: i, measure: s.Number, beat: s.Beat, midi: s.MIDI, onset: s.Onset.Quarters(),
			length: s.Length.Quarters(), hold: rig.DefaultHold, slurred: s.Slurred})
	}
	m.breathe()
	m.scatter()
	for _, f := range faults {
		expected, allowed := len(m.out.Expected), len(m.out.Allowed)
		f.Plant(m)
		for i := range m.out.Expected[expected:] {
			m.out.Expected[expected+i].Fault = f.Name
		}
		for i := range m.out.Allowed[allowed:] {
			m.out.Allowed[allowed+i].Fault = f.Name
		}
	}
	m.plan()
	return m.out
}

// making is a performance while it is being made.
type making struct {
	Player
	rng       *rand.Rand
	sounds    []sound
	frames    []Frame
	tempo     func(quarters float64) float64 // bends the time line, in quarters of playedQPM
	playedQPM float64
	a4        float64
	out       *Performance
}

// breathe lets the pace come and go in two slow waves.
func (m *making) breathe() {
	if m.Breath == 0 {
		return
	}
	rng := rand.New(rand.NewSource(m.Seed + 2))
	slow, quick := 20+12*rng.Float64(), 8+5*rng.Float64() // quarter notes
	a, b := 2*math.Pi*rng.Float64(), 2*math.Pi*rng.Float64()
	m.tempo = func(q float64) float64 { // the time in quarters, whose slope is what is slower
		wave := func(period, phase float64) float64 {
			turn := 2 * math.Pi / period
			return (math.Sin(turn*q+phase) - math.Sin(phase)) / turn
		}
		return q + m.Breath*(0.6*wave(slow, a)+0.4*wave(quick, b))
	}
}

func (m *making) scatter() {
	for i := range m.sounds {
		s := &m.sounds[i]
		if m.Scatter.OpenToo || !m.Tune.Line[s.step].Open() {
			s.cents += m.Scatter.Cents * m.rng.NormFloat64()
		}
		s.lateMS += m.Scatter.OnsetMS * m.rng.NormFloat64()
	}
	m.sounds[0].lateMS = max(m.sounds[0].lateMS, 0)
}

// plan writes the sounds down. No note outlasts the beginning of the next: one
// player, one bow.
func (m *making) plan() {
	sort.SliceStable(m.sounds, func(i, j int) bool { return m.sounds[i].onset < m.sounds[j].onset })
	plan := rig.Plan{TempoQPM: m.playedQPM, Program: m.Program, TuningA4: m.a4, Seed: m.Seed, NoiseDB: rig.DB(-60)}
	beat := 60 / m.playedQPM
	vibrato := rand.New(rand.NewSource(m.Seed + 1))
	for i, s := range m.sounds {
		onset, end := m.tempo(s.onset), m.tempo(s.onset+s.length*s.hold)
		if i+1 < len(m.sounds) {
			next := m.sounds[i+1]
			end = min(end, m.tempo(next.onset)+next.lateMS/1000/beat-0.015/beat)
		}
		end = max(end, onset+s.lateMS/1000/beat+0.08/beat)
		note := rig.Note{Measure: s.measure, Beat: s.beat, MIDI: s.midi, OnsetBeat: onset,
			DurBeats: s.length, Hold: (end - onset) / s.length, Cents: s.cents, LateMS: s.lateMS, Slurred: s.slurred,
			SettleCents: s.settleCents, SettleMS: s.settleMS}
		if s.step >= 0 {
			note.String = m.Tune.Line[s.step].String
		}
		if m.Vibrato && s.step >= 0 && !m.Tune.Line[s.step].Open() && (end-onset)*beat >= 0.7 {
			note.VibratoHz, note.VibratoCents = 5+1.5*vibrato.Float64(), 12+18*vibrato.Float64()
		}
		if i > 0 && s.slurred && m.shifts(m.sounds[i-1].step, s.step) {
			note.GlideMS = 140 // the hand slides under the slur
		}
		plan.Notes = append(plan.Notes, note)
	}
	m.out.Plan = plan
}

// shifts says that the hand moves between two notes of the line.
func (m *making) shifts(from, to int) bool {
	if from < 0 || to < 0 {
		return false
	}
	a, b := m.Tune.Line[from], m.Tune.Line[to]
	return !a.Open() && !b.Open() && a.Position != b.Position
}
