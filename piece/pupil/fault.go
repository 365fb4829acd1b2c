package pupil

import "endpin/piece"

// Fault is one mistake. Plant makes it in a performance and writes down the
// finding it must give; it is false where the line has no place for it.
//
// Every size is drawn evenly between 1.5 and 3 times the level's tolerance
// unless said otherwise.
type Fault struct {
	Name  string
	Plant func(*making) bool

	NeedsBow     bool // has no meaning on a plucked note
	NotFirstYear bool // has one size only, and that is within 1.5 times a first year's tolerance
	NotRecorded  bool // the real bass's recorded notes cannot play it: too long, or the pitch moves
	NeedsPitch   bool // is about cents: not on recorded plucked notes, whose truth is good to 10 cents only
	Structural   bool // moves all that comes after it: planted last, one in a take
}

func (m *making) size(tolerance float64) float64 { return tolerance * (1.5 + 1.5*m.rng.Float64()) }

func (m *making) sign() float64 { return float64(2*m.rng.Intn(2) - 1) }

// seconds is how long so many quarter notes last.
func (m *making) seconds(quarters float64) float64 { return quarters * 60 / m.playedQPM }

// at is the sound of a written note. Before anything is restarted there is one each.
func (m *making) at(step int) *sound {
	for i := range m.sounds {
		if m.sounds[i].step == step {
			return &m.sounds[i]
		}
	}
	return nil
}

// free says that notes stand in the line and belong to no fault yet.
func (m *making) free(steps ...int) bool {
	for _, step := range steps {
		s := m.at(step)
		if s == nil || s.taken {
			return false
		}
	}
	return true
}

func (m *making) claim(steps ...int) {
	for _, step := range steps {
		m.at(step).taken = true
	}
}

// pick tries places in a random order until one serves.
func (m *making) pick(places int, try func(int) bool) bool {
	for _, i := range m.rng.Perm(places) {
		if try(i) {
			return true
		}
	}
	return false
}

// inner says that a note has free neighbours on both sides, neither it nor the
// next is slurred, and no staccato, fermata, breath or grace note is at it: what
// is done to it is done to it alone.
func (m *making) inner(i int) bool {
	line := m.Tune.Line
	if i < 2 || i >= len(line)-2 || !m.free(i-1, i, i+1) || line[i].Slurred || line[i+1].Slurred {
		return false
	}
	plain := piece.Articulation{}
	return line[i].Articulation == plain && line[i-1].Articulation == plain && !line[i].Grace && !line[i+1].Grace
}

// beats turns quarter notes into beats of a note's measure.
func (m *making) beats(step int, quarters float64) float64 {
	return quarters / m.Tune.Piece.Measures[m.Tune.Line[step].Measure].Time.Beat().Quarters()
}

func (m *making) expect(f Finding) { m.out.Expected = append(m.out.Expected, f) }
func (m *making) allow(f Finding)  { m.out.Allowed = append(m.out.Allowed, f) }

// here is a finding that stands on one note.
func (m *making) here(kind string, step int, value, within float64) Finding {
	s := m.Tune.Line[step]
	return Finding{Kind: kind, Measure: s.Number, ToMeasure: s.Number, Pass: s.Pass, Beat: s.Beat, Value: value, Within: within}
}

// whole is a finding about the whole take.
func (m *making) whole(kind string, value, within float64) Finding {
	measures := m.Tune.Piece.Measures
	return Finding{Kind: kind, Measure: measures[0].Number, ToMeasure: measures[len(measures)-1].Number, Value: value, Within: within, Anywhere: true}
}

func sharpOrFlat(cents float64) string {
	if cents > 0 {
		return "sharp"
	}
	return "flat"
}
