package practice

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/words"
)

// Mending is the work on one aim, round by round. Each is judged by what it is about and
// by how it was come to: who waits before a shift lands it, and has not mended it.
type Mending struct {
	Aim
	Stage  Stage
	Rounds []Round

	tempo   float64 // of the last clean round; 0 for none
	slower  int     // times that it was asked for slower
	other   bool    // in another way than it would be begun
	clean   int     // rounds running in this stage
	failed  int     // rounds running that were not
	outline *outline.Outline
}

// Stage is how far a mending has come. Three clean rounds hold it for now; that it holds
// is heard once more in each wider one, after other work.
type Stage int

// The stages.
const (
	AtSpot    Stage = iota // the measures of it alone
	InJoin                 // with the measure before, and after
	InSection              // the section
	Mended
)

// Verdict is what a round was.
type Verdict int

// The verdicts.
const (
	Off     Verdict = iota // not clean
	Near                   // within what is let pass, but not surely; or not to be judged
	Cleanly                // surely clean
)

// Round is one time through.
type Round struct {
	Verdict
	Value   float64      // of the aim, in its kind's unit
	Told    bool         // Value could be measured
	Against finding.Kind // what was heard that makes it none, beside the aim; "" for nothing
	Stage   Stage        // in which it was played
	raised  bool         // it goes on faster
	plucked bool         // of which no pitch is told for sure
}

const (
	mendShare   = 0.75  // of the tempo, at which a place is worked on. Common practice, no source
	slowerShare = 0.8   // of that, each time that it is asked for slower. Likewise
	wholeStages = 2     // failures running after which a wider stage goes back to the spot
	climb       = 0.125 // of the tempo, by which each next time through the section is faster. Common practice, no source
	sureShare   = 2.05  // standard deviations within which 98 of 100 lie on one side: what is sure
	patience    = 6     // rounds without improvement, after which something else is offered
	improvement = 0.25  // of what is let pass, by which half of them must be nearer
)

// Mend begins to mend something in a piece, whose sections its outline knows.
func Mend(a Aim, o *outline.Outline) *Mending { return &Mending{Aim: a, outline: o} }

// Range are the measures of the stage.
func (m *Mending) Range() outline.Range { return m.at(m.Stage) }

func (m *Mending) at(s Stage) outline.Range {
	r := m.Spot
	if s == AtSpot {
		return r
	}
	r = outline.Range{First: max(0, r.First-1), Last: min(len(m.outline.Measures)-1, r.Last+1)}
	if s == InJoin {
		return r
	}
	for _, part := range m.outline.Parts {
		if part.Holds(m.Spot.First) || part.Holds(m.Spot.Last) {
			r = outline.Range{First: min(r.First, part.First), Last: max(r.Last, part.Last)}
		}
	}
	return r
}

// Work is how the stage is worked on: another note or rhythm is heard before it is played,
// all else is played along with the beat, which nobody can wait for.
func (m *Mending) Work() Work {
	if m.Kind.Row().Misread() != m.other && m.Stage == AtSpot {
		return Echo
	}
	return PlayAlong
}

// Tempo is that of the stage, quarter notes a minute. What holds is joined at the tempo of the
// work, and the section brought up from there to the tempo at which it was heard first. No bow
// is asked to last longer than it does.
func (m *Mending) Tempo() float64 {
	own := m.own()
	qpm := own * mendShare * math.Pow(slowerShare, float64(m.slower))
	switch worked := m.tempo > 0; {
	case m.Stage >= InSection && worked:
		qpm = math.Min(own, m.tempo+climb*own)
	case m.Stage >= InSection:
		qpm = own
	case m.Stage == InJoin && worked:
		qpm = m.tempo
	}
	floor, _ := Floor(m.outline, m.Range())
	return math.Round(math.Max(qpm, floor))
}

// own is the tempo that it is to hold at: the piece's, or a slower one at which it was heard.
func (m *Mending) own() float64 {
	qpm := m.outline.Measures[m.Spot.First].QPM
	if begins := m.outline.Measures[m.From].QPM; m.QPM > 0 && m.QPM < begins {
		qpm *= m.QPM / begins
	}
	return qpm
}

// Slower goes on at a slower tempo, and Otherwise in another way.
func (m *Mending) Slower()    { m.slower++ }
func (m *Mending) Otherwise() { m.other = !m.other }

// Heard takes in a round, a take of the stage's measures in the piece's line.
func (m *Mending) Heard(line []piece.Expected, h *finding.Hearing) Round {
	r := m.judge(line, h)
	switch r.Verdict {
	case Cleanly:
		m.clean, m.failed, m.tempo = m.clean+1, 0, h.TempoAsked
	case Off:
		m.clean, m.failed = 0, m.failed+1
	}
	switch {
	case m.Stage == Mended:
	case m.clean >= m.Needs():
		before, slow := m.Range(), m.tempo > 0 && m.tempo < math.Round(m.own())
		m.clean = 0
		if r.raised = slow && m.Stage == InSection; r.raised {
			break
		}
		for m.Stage++; m.Stage < Mended && m.Range() == before; m.Stage++ {
			if r.raised = slow && m.Stage == InSection; r.raised { // the same measures
				break
			}
		}
	case m.Stage > AtSpot && m.failed >= wholeStages:
		m.Stage, m.failed = AtSpot, 0
	}
	m.Rounds = append(m.Rounds, r)
	return r
}

// Needs is how many clean rounds running the stage takes.
func (m *Mending) Needs() int {
	if m.Stage == AtSpot {
		return Clean
	}
	return 1
}

// judge says what a round was.
func (m *Mending) judge(line []piece.Expected, h *finding.Hearing) Round {
	r := Round{Stage: m.Stage, Verdict: Off, plucked: h.Plucked && m.Kind.Row().Unit == finding.Cents}
	r.Against = m.against(line, h)
	value, sd, trust, heard := m.in(line, h)
	if m.measured() && heard {
		r.Value, r.Told = value, true
	}
	off, let := m.off(r.Value)
	switch {
	case h.Doubted():
		r.Verdict = Near
	case r.Against == finding.Stopped:
		r.Verdict = Near // stopping is no fault
	case r.Against != "" || m.measured() && !heard:
	case !m.measured():
		r.Verdict = Cleanly
	case off > let:
	case trust != dsp.Sure || off+sureShare*sd > let:
		r.Verdict = Near
	default:
		r.Verdict = Cleanly
	}
	return r
}

// against is what was heard that makes a round not clean: the thing itself, where it is
// not measured, and what tells that it was avoided.
func (m *Mending) against(line []piece.Expected, h *finding.Hearing) finding.Kind {
	by := h.Offset(line)
	for i := range h.Findings {
		f := &h.Findings[i]
		if f.Trust == dsp.NotSure {
			continue
		}
		here := f.First >= 0 && f.First+by <= m.Last && max(f.First, f.Last)+by >= m.First
		switch row := f.Kind.Row(); {
		case row.Evades:
			return f.Kind
		case row.Unit == finding.QuartersAMinute:
			if h.TempoAsked > 0 && f.Value < h.TempoAsked-f.Tolerance {
				return f.Kind
			}
		case f.Kind == m.Kind:
			if here && !m.measured() {
				return f.Kind
			}
		case here && row.Misread() && f.Kind != finding.Extra: // a note too many beside it may be how the hand came there
			return f.Kind
		}
	}
	return ""
}

// Share is how far off a round was, in what is let pass: above nothing where it was more
// than is written. What could not be measured lies within where it was clean, else twice as far.
func (m *Mending) Share(round int) float64 {
	r := m.Rounds[round]
	switch {
	case !r.Told && r.Verdict == Cleanly:
		return 0
	case !r.Told:
		return 2
	}
	off, let := m.off(r.Value)
	if m.Kind.Row().Unit == finding.WrittenLengths {
		return math.Copysign(off/let, r.Value-1)
	}
	return math.Copysign(off/let, r.Value)
}

// Clean is how many clean rounds running there were in the stage.
func (m *Mending) Clean() int { return m.clean }

// Now is what it came to in the last round that told it; nil for none.
func (m *Mending) Now() *float64 {
	for i := len(m.Rounds) - 1; i >= 0; i-- {
		if m.Rounds[i].Told {
			return &m.Rounds[i].Value
		}
	}
	return nil
}

// Latest is the round before, nil for none.
func (m *Mending) Latest() *Round {
	if len(m.Rounds) == 0 {
		return nil
	}
	return &m.Rounds[len(m.Rounds)-1]
}

// Stuck reports whether the last six rounds brought nothing: none was clean, and half of
// them lay no nearer than the other half.
func (m *Mending) Stuck() bool {
	n := len(m.Rounds)
	if n < patience || n%(patience/2) != 0 { // it is not said again after every round
		return false
	}
	var off []float64
	for _, r := range m.Rounds[n-patience:] {
		switch {
		case r.Verdict == Cleanly:
			return false
		case r.Told:
			x, _ := m.off(r.Value)
			off = append(off, x)
		}
	}
	if len(off) < patience {
		return true
	}
	_, let := m.off(m.Was)
	return middle(off[patience/2:]) > middle(off[:patience/2])-improvement*let
}

func middle(x []float64) float64 {
	x = slices.Sorted(slices.Values(x))
	return x[len(x)/2]
}

// Say tells the last round, and where it leaves the mending.
func (m *Mending) Say() words.Sentence {
	r := m.Latest()
	if r == nil {
		return words.Of("practice.mend.begin", "what", m.What())
	}
	said := m.tell(r)
	switch {
	case m.Stage == Mended:
		return words.Of("practice.mend.mended", "said", said, "where", m.where(m.Spot))
	case r.raised:
		return words.Of("practice.mend.faster", "said", said, "where", m.where(m.Range()), "qpm", words.Whole(m.Tempo()))
	case m.Stage > r.Stage:
		return words.Of("practice.mend.holds", "said", said, "where", m.where(m.Range()))
	case m.Stage < r.Stage:
		return words.Of("practice.mend.back", "said", said, "where", m.where(m.Range()))
	case r.Stage > AtSpot:
		return words.Of("practice.mend.once-more", "said", said, "where", m.where(m.Range()))
	}
	return words.Of("practice.mend.so-far", "said", said, "clean", words.Whole(float64(m.clean)), "of", words.Whole(float64(m.Needs())))
}

// Where names the measures of the stage.
func (m *Mending) Where() words.Sentence { return m.where(m.Range()) }

func (m *Mending) where(r outline.Range) words.Sentence {
	return inRange("practice.range", m.outline, r)
}

// evaded is the message of the catalogue for what made a round none; "" where that is a mistake.
func evaded(by finding.Kind) string {
	switch row := by.Row(); {
	case row.Evades:
		return "practice.mend." + string(by)
	case row.Unit == finding.QuartersAMinute:
		return "practice.mend." + string(finding.SlowerPassage)
	}
	return ""
}

// tell says what a round was.
func (m *Mending) tell(r *Round) words.Sentence {
	was, now := m.figure(m.Was), m.figure(r.Value)
	switch key := evaded(r.Against); {
	case key != "" && !r.Told:
		return words.Of(key)
	case key != "":
		return words.Of(key+".measured", "was", was, "now", now)
	case r.Against != "" && r.Against != m.Kind:
		return words.Of("practice.mend.other", "what", r.Against.NameAt(m.Level))
	case r.Verdict == Near && !r.Told:
		return words.Of("practice.mend.not-judged")
	case !r.Told && r.Verdict == Cleanly:
		return words.Of("practice.mend.clean")
	case !r.Told && r.Against == m.Kind:
		return words.Of("practice.mend.again", "what", m.Kind.NameAt(m.Level))
	case !r.Told:
		return words.Of("practice.mend.not-heard")
	case r.Verdict == Near && r.plucked:
		return words.Of("practice.mend.plucked", "was", was, "now", now)
	case r.Verdict == Near:
		return words.Of("practice.mend.near", "was", was, "now", now)
	}
	if was.String() == now.String() && m.Level == finding.FirstYear.Name { // in words that do not show how far it came
		key := "practice.mend.still"
		before, _ := m.off(m.Was)
		if off, let := m.off(r.Value); off < before-improvement*let {
			key += ".nearer"
		}
		return words.Of(key, "now", now)
	}
	return words.Of("practice.mend.round", "was", was, "now", now)
}
