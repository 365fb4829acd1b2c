package closelook

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk/timetable"
)

// Look is one measure of a take, one time that it was played, laid out for
// whoever looks closer. Across is the recording's own time, s; up is pitch, MIDI
// numbers with a fraction at A4 = 440, which Height makes a place.
type Look struct {
	Measure int      // index into Piece.Measures
	Number  string   // as printed
	Times   []string // every time that it was played, by its name
	Time    int      // index into Times
	GivenUp bool     // it was played again, and the last time counts
	Unsure  bool     // too little of it was heard for certain to say how it went
	Empty   string   // a sentence where nothing of it was heard; then no more is told

	From, To   float64 // the stretch that is drawn, s
	Begin, End float64 // the measure, by the beat that the player keeps, s
	Tempo      float64 // there, quarter notes a minute
	Tolerance  float64 // cents that a note may be off

	Beats    []Beat
	Lanes    []Lane // from the lowest
	Notes    []Note
	Frames   []Frame
	Trace    [][]Point // the pitch heard, broken where there was none
	Findings []int     // indexes into the hearing's, of this measure

	scale []rung
	take  *Take
}

// Beat is a beat as the player keeps it.
type Beat struct {
	At     float64 // s
	Number int     // in the measure, from 1; 0 for the line at its end
}

// Lane is a pitch that is written in the measure, or was heard in place of one.
type Lane struct {
	At      float64
	Name    string // "F♯"
	Written bool
}

// Note is a note that belongs in the measure.
type Note struct {
	Name     string
	From, To float64 // s, when the beat has it
	At       float64 // the pitch at which it belongs
	Before   bool    // it began in the measure before

	Value  string // what was heard of its pitch: "+31", "not heard"; empty for nothing
	Cents  float64
	Off    bool // further off than is let pass
	Told   bool // a finding tells of it
	Missed bool // not heard
	Other  bool // another note was heard

	Onset    float64 // s, NaN where none was heard
	Late     string  // "242 ms late", where it was further from the beat than is let pass
	LateMS   float64
	LateTold bool // a finding tells of it

	line    int // index in the score's line
	slurred bool
}

// Frame is the hand staying in one place.
type Frame struct {
	From, To float64
	Words    []string // from the longest to the shortest
	Shift    bool     // the hand came there by a shift
	Begun    bool     // it began before the stretch drawn
	Open     bool     // it goes on after it
}

// Point is a moment of the pitch heard.
type Point struct{ At, Pitch float64 }

// playedBar is one time that a measure was played.
type playedBar struct {
	at    piece.PlayedMeasure
	try   int              // 0 where it was played once
	notes []timetable.Note // of the whole try
	given bool
}

// name tells a time from the others that a measure was played: by the pass of a
// repeat, where there is more than one, and the try.
func (b *playedBar) name(passes bool) string {
	key := ""
	switch {
	case passes && b.try > 0:
		key = "desk.closer.pass-try"
	case passes:
		key = "desk.closer.pass"
	case b.try > 0:
		key = "desk.closer.try"
	default:
		return ""
	}
	if b.given {
		key += ".given-up"
	}
	return words.Say(key, "pass", words.Ordinal(b.at.Pass), "try", words.Ordinal(b.try))
}

// Look lays a measure out; time -1 is the time that most is to be told of. It is
// nil where the take is not about that measure.
func (t *Take) Look(measure, time int) *Look {
	bars := t.times(measure)
	if len(bars) == 0 {
		return nil
	}
	c := &Look{Measure: measure, Number: t.Piece.Measures[measure].Number, Time: time, take: t}
	passes := slices.ContainsFunc(bars, func(b playedBar) bool { return b.at.Pass != bars[0].at.Pass })
	for _, b := range bars {
		c.Times = append(c.Times, b.name(passes))
	}
	if time < 0 || time >= len(bars) {
		c.Time = t.worth(measure, bars)
	}
	t.lay(c, bars[c.Time])
	return c
}

// worth is the first time round that a finding tells of, else the last.
func (t *Take) worth(measure int, bars []playedBar) int {
	for i, b := range bars {
		if !b.given && len(t.findings(measure, b)) > 0 {
			return i
		}
	}
	return len(bars) - 1
}

// times are all times that a measure was played, in the order of the line, and
// of one place of the line in the order of the take.
func (t *Take) times(measure int) (bars []playedBar) {
	place := func(notes []finding.Note) []timetable.Note { return timetable.Placed(t.Line, t.Hearing, notes) }
	counted := place(t.Hearing.Notes)
	if len(counted) == 0 {
		return nil
	}
	from, to := counted[0].E.Onset, piece.Ticks(0)
	for _, n := range counted {
		to = max(to, n.E.Onset+n.E.Length)
	}
	length := t.Piece.Measures[measure].Length
	for _, p := range t.Played {
		if p.Measure != measure || p.Onset >= to || p.Onset+length <= from {
			continue
		}
		tries := 0
		for _, early := range t.Hearing.Earlier {
			if notes := place(early); slices.ContainsFunc(notes, func(n timetable.Note) bool { return n.E.Measure == measure && n.E.Pass == p.Pass }) {
				tries++
				bars = append(bars, playedBar{at: p, try: tries, notes: notes, given: true})
			}
		}
		b := playedBar{at: p, notes: counted}
		if tries > 0 {
			b.try = tries + 1
		}
		bars = append(bars, b)
	}
	return bars
}

// lay fills a measure in.
func (t *Take) lay(c *Look, b playedBar) {
	p, h := t.Piece, t.Hearing
	m := &p.Measures[c.Measure]
	level, err := finding.LevelByName(h.Level)
	if err != nil {
		level = finding.Intermediate
	}
	c.GivenUp, c.Tolerance = b.given, level.Note
	c.Unsure = slices.ContainsFunc(h.ByMeasure(p), func(m finding.MeasureHeard) bool { return m.Printed == c.Measure && !m.Judged() })
	beat := timetable.NewKept(b.notes, h)
	if beat == nil {
		c.Empty = words.Say("desk.closer.empty", "measure", c.Number)
		return
	}
	begin, end := b.at.Onset, b.at.Onset+m.Length
	c.Begin, c.End = beat.At(begin), beat.Until(end)
	if c.Tempo = h.TempoHeard; c.End > c.Begin {
		if here := m.Length.Quarters() * 60 / (c.End - c.Begin); c.Tempo <= 0 || here > 0.8*c.Tempo && here < 1.25*c.Tempo {
			c.Tempo = here // a stop in the measure is not its tempo
		}
	}
	for t, n := begin, 1; t < end; t += max(1, m.Time.Beat()) {
		c.Beats = append(c.Beats, Beat{beat.At(t), n})
		n++
	}
	c.Beats = append(c.Beats, Beat{c.End, 0})
	around := 30 / c.Tempo // half a quarter note before and after
	c.From, c.To = math.Max(0, c.Begin-around), c.End+around
	if !b.given {
		c.Findings = t.findings(c.Measure, b)
	}
	for _, n := range b.notes {
		if n.E.Onset < end && n.E.Onset+n.E.Length > begin {
			t.note(c, n, beat, begin, end, level, b.given)
		}
	}
	if !slices.ContainsFunc(c.Notes, func(n Note) bool { return !n.Missed }) {
		c.Empty = words.Say("desk.closer.empty", "measure", c.Number)
		if len(c.Notes) == 0 {
			c.Empty = words.Say("desk.closer.rest", "measure", c.Number)
		}
	}
	t.extra(c, b)
	slices.SortFunc(c.Lanes, func(a, b Lane) int { return int(math.Copysign(1, a.At-b.At)) })
	c.rungs()
	t.trace(c)
	if !b.given {
		t.frames(c, b.notes, beat)
	}
}

// note adds a note to the measure, and its lane.
func (t *Take) note(c *Look, n timetable.Note, beat *timetable.Kept, begin, end piece.Ticks, level finding.Level, given bool) {
	x := Note{Name: t.name(n.E), At: t.Hearing.Belongs(n.Note, t.Heard), Before: n.E.Onset < begin, Onset: math.NaN(),
		line: n.At, slurred: n.E.Slurred}
	x.From, x.To = c.Begin, c.End
	if !x.Before {
		x.From = beat.At(n.E.Onset)
	}
	if last := n.E.Onset + n.E.Length; last < end {
		x.To = beat.Until(last)
	}
	c.lane(x.At, x.Name, true)
	switch {
	case n.State == finding.StateMissing || n.Onset == nil:
		x.Missed, x.Value = true, words.Say("desk.closer.not-heard")
	case n.State == finding.StateWrong && n.HeardMIDI != nil:
		x.Other = true
		name := t.pitchName(*n.HeardMIDI, c.Measure)
		x.Value = words.Say("desk.closer.sounded", "note", name)
		c.lane(x.At+float64(*n.HeardMIDI-n.MIDI), name, false)
	case n.State == finding.StateWrong:
		x.Other, x.Value = true, words.Say("desk.closer.other")
	case n.Trust == dsp.NotSure || n.Cents == nil:
		x.Value = words.Say("desk.closer.not-sure")
	default:
		x.Cents = *n.Cents
		x.Value, x.Off = signed(x.Cents), math.Abs(x.Cents) > level.Note
	}
	if n.Onset != nil && !x.Before {
		x.Onset = *n.Onset
		c.From = math.Min(c.From, math.Max(x.Onset-0.1, c.Begin-1))
		if n.Offset != nil {
			c.To = math.Max(c.To, math.Min(*n.Offset+0.1, c.End+1))
		}
		if n.LateMS != nil && math.Abs(*n.LateMS) > level.Onset {
			x.LateMS, x.Late = *n.LateMS, words.Say("desk.closer.late", "ms", words.Whole(*n.LateMS))
			if *n.LateMS < 0 {
				x.Late = words.Say("desk.closer.early", "ms", words.Whole(-*n.LateMS))
			}
		}
	}
	for _, i := range c.Findings {
		f := &t.Hearing.Findings[i]
		if given || n.Line < f.First || n.Line > f.Last {
			continue
		}
		if t.Aside(f) {
			continue
		}
		switch row := f.Kind.Row(); {
		case row.OffPitch():
			x.Told = x.Told || f.First == f.Last || n.Finger != "0"
		case row.About == finding.Hand:
			x.Told = x.Told || n.Finger == "4"
		case f.Kind == finding.WrongNote || f.Kind == finding.Missing:
			x.Told = true
		case row.OffBeat():
			x.LateTold = x.LateTold || n.Line == f.First
		}
	}
	c.Notes = append(c.Notes, x)
}

// extra adds lanes for notes that are not on the page.
func (t *Take) extra(c *Look, b playedBar) {
	if b.given {
		return
	}
	for i := range t.Hearing.Notes {
		n := &t.Hearing.Notes[i]
		if n.State != finding.StateExtra || n.Onset == nil || *n.Onset < c.From || *n.Onset > c.To || n.Heard < 0 || n.Heard >= len(t.Heard.Notes) {
			continue
		}
		at := t.Heard.Notes[n.Heard].Pitch
		if n.Cents != nil {
			at -= *n.Cents / 100
		}
		name := t.pitchName(n.MIDI, c.Measure)
		c.lane(at, name, false)
		c.Notes = append(c.Notes, Note{Name: name, From: *n.Onset, To: *n.Onset, At: at, Value: words.Say("desk.closer.extra"), Told: true, Other: true,
			Onset: *n.Onset, line: -1})
	}
}

func (c *Look) lane(at float64, name string, written bool) {
	for i := range c.Lanes {
		if l := &c.Lanes[i]; math.Abs(l.At-at) < 0.4 {
			if written && !l.Written {
				*l = Lane{at, name, true}
			}
			return
		}
	}
	c.Lanes = append(c.Lanes, Lane{at, name, written})
}

const (
	noisy    = 0.35 // aperiodicity above which a frame says nothing of a note's pitch
	leap     = 1.5  // semitones from one frame to the next that no finger goes
	shortest = 3    // frames of one stretch of pitch
	ragged   = 2    // frames at either end that the sound only half fills: 20 ms
	margin   = 0.6  // semitones beyond the outermost lanes that are drawn
)

// trace takes the pitch heard, as far as it lies among the lanes.
func (t *Take) trace(c *Look) {
	if t.Heard == nil || len(c.Lanes) == 0 {
		return
	}
	low, high := c.Lanes[0].At-margin, c.Lanes[len(c.Lanes)-1].At+margin
	var run []Point
	end := func() {
		if len(run) >= shortest+2*ragged {
			c.Trace = append(c.Trace, run[ragged:len(run)-ragged])
		}
		run = nil
	}
	for _, f := range t.Heard.Frames {
		if f.Time < c.From || f.Time > c.To {
			continue
		}
		pitch := dsp.MIDI(f.Freq)
		if !f.Voiced || f.Aperiodicity > noisy || pitch < low || pitch > high {
			end()
			continue
		}
		if n := len(run); n > 0 && math.Abs(run[n-1].Pitch-pitch) > leap {
			end()
		}
		run = append(run, Point{f.Time, pitch})
	}
	end()
}

// findings are those that tell of a measure, one time round.
func (t *Take) findings(measure int, b playedBar) (all []int) {
	first, last := -1, -1 // the measure's notes, as the hearing counts
	for _, n := range b.notes {
		if n.E.Measure == measure && n.E.Pass == b.at.Pass {
			if first < 0 {
				first = n.Line
			}
			last = n.Line
		}
	}
	number := t.Piece.Measures[measure].Number
	for i := range t.Hearing.Findings {
		f := &t.Hearing.Findings[i]
		if f.Kind.Row().About == finding.WholeTake {
			continue
		}
		covers := first >= 0 && f.First >= 0 && f.First <= last && f.Last >= first
		if f.Kind == finding.Extra { // it may fall into the measure after the note before it
			covers = f.Measure == number && f.Pass == b.at.Pass
		}
		if covers {
			all = append(all, i)
		}
	}
	return all
}

// frames marks where the hand lies, as the hearing fingered it.
func (t *Take) frames(c *Look, notes []timetable.Note, beat *timetable.Kept) {
	stopped := func(n timetable.Note) bool {
		return n.Position != "" && n.Position != "0" && n.Finger != "0" && !n.E.Marks.Harmonic
	}
	before := ""
	for i := 0; i < len(notes); {
		n := notes[i]
		if !stopped(n) {
			i++
			continue
		}
		last := i
		for j := i + 1; j < len(notes) && !notes[j].AfterShift; j++ {
			if stopped(notes[j]) {
				last = j
			}
		}
		from, to := beat.At(n.E.Onset), beat.Until(notes[last].E.Onset+notes[last].E.Length)
		if from < c.End-0.01 && to > c.Begin+0.01 {
			f := Frame{From: math.Max(from, c.From), To: math.Min(to, c.To), Shift: n.AfterShift, Begun: from < c.From, Open: to > c.To}
			here := words.Position(n.Position)
			f.Words = []string{here.String(), here.Bare().String()}
			switch {
			case f.Shift && from < c.From:
				f.Words = slices.Insert(f.Words, 0, words.Say("desk.closer.frame.since", "position", here, "measure", n.Measure))
			case f.Shift && before != "":
				f.Words = []string{words.Say("desk.closer.frame.from", "from", words.Position(before), "to", here),
					words.Say("desk.closer.frame.to", "to", here), words.Say("desk.closer.frame.after"), words.Say("desk.closer.frame.shift")}
			}
			c.Frames = append(c.Frames, f)
		}
		before = n.Position
		i = last + 1
	}
}

// signed writes cents with their sign.
func signed(cents float64) string {
	if r := math.Round(cents); r != 0 {
		return words.Shown(r, 0).String()
	}
	return words.Whole(0).String()
}
