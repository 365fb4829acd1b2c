package finding

import (
	"slices"
	"sort"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// evidence is all that a take is judged by: what was to be played, what was heard,
// and which of it is which. It is set up once and then only read; a pass that finds
// the beat anew gives another (withBeat). What can be asked of it stands by subject:
// of pitch in pitch.go, of time in beat.go, of notes that were not heard in
// unheard.go, of how it sounds in sound.go.
type evidence struct {
	piece  *piece.Piece
	opts   Options // with what was left out filled in
	level  Level
	board  fingerboard.Instrument
	whole  []piece.Expected // the piece's
	line   []piece.Expected // that of it which is judged …
	lineAt int              // … from this note on
	from   int              // the notes of the line that are to be told of, both included;
	to     int              // the others only help
	plan   fingerboard.Plan

	asked    float64   // quarter notes a minute; 0 where nobody asked
	askedA4  float64   // the reference asked for, Hz; opts.A4 is what pitches are told against (see findPlace)
	supposed float64   // the tempo that the clock goes by, quarter notes a minute
	clock    []float64 // nominal time of each note of the line, s

	heard *dsp.Heard
	align *align.Alignment
	elsewhere
	sound
	cents    []float64 // by note: against the intonation at opts.A4; NaN where unknown
	verdicts []verdict // by note: what its partials say of it
	pulled   []bool    // by note: it was plucked, and its partials are not those of one pitch
	others   []alike   // notes played alike as others
}

// gather sets the evidence up. The error is align.ErrNothing where nothing of the
// piece was heard, or says which option cannot be.
func gather(p *piece.Piece, heard *dsp.Heard, o Options) (*evidence, error) {
	ev := &evidence{piece: p, heard: heard, opts: o, level: o.Level, board: fingerboard.DoubleBass()}
	if ev.level.Name == "" {
		ev.level = Intermediate
	}
	if ev.opts.Intonation.Name == "" {
		ev.opts.Intonation = Equal
	}
	if ev.opts.A4 == 0 {
		ev.opts.A4 = dsp.ReferenceA
	}
	if ev.opts.A4 < LowestA4 || ev.opts.A4 > HighestA4 {
		return nil, words.Fault("finding.option.a4", "hz", ev.opts.A4, "lowest", LowestA4, "highest", HighestA4)
	}
	ev.askedA4 = ev.opts.A4
	if o.Instrument != nil {
		ev.board = *o.Instrument
	}
	ev.board = ev.board.For(p)
	line, _ := p.Line()
	ev.whole = line
	ev.setLine(0, len(line))
	if o.Measures != "" {
		first, last, err := p.Select(o.Measures)
		if err != nil {
			return nil, err
		}
		from, to := within(line, first, last)
		if from == to {
			return nil, words.Fault("finding.option.no-note", "measures", o.Measures)
		}
		if len(heard.Notes) < 2*(to-from)+spareNotes {
			ev.setLine(from, to) // no more was played than was asked for
		} else {
			ev.from, ev.to = from, to-1
		}
	}
	var err error
	ev.heard = ev.notBelow()
	ev.heard = ev.unfollowed()
	if err = ev.findPlace(); err != nil {
		return nil, err
	}
	if by := ev.semitonesAway(); by != 0 && by == ev.board.Printed-p.Transposed {
		ev.finger(by) // this player reads the page so, whatever the file says
	}
	if ev.align.Last < ev.from || ev.align.First > ev.to {
		return nil, align.ErrNothing
	}
	ev.changePlaces()
	ev.cents = ev.centsHeard()
	ev.listen()
	ev.askPartials()
	ev.others = ev.playedAlike()
	return ev, nil
}

// setLine takes the part of the line that is to be judged, notes from..to-1: its tempo, its
// clock and its fingering.
func (ev *evidence) setLine(from, to int) {
	line := ev.whole[from:to]
	ev.line, ev.lineAt, ev.from, ev.to = line, from, 0, len(line)-1
	first := &line[0]
	ev.asked = ev.opts.QPM
	if ev.asked == 0 {
		ev.asked = ev.piece.TempoAt(first.Measure, ev.piece.Measures[first.Measure].Notes[first.Note].Start)
	}
	ev.supposed = ev.asked
	if ev.supposed == 0 {
		ev.supposed = piece.Unhurried // only the search for the player's own begins there
	}
	ev.clock = align.Clock(ev.piece, line, ev.supposed)
	ev.finger(0)
}

// finger lays the line under the hand, so many semitones from where it stands. A few measures,
// or a slow time through, are practised with the fingers that they have in the piece.
func (ev *evidence) finger(by int) {
	line := slices.Clone(ev.whole)
	for i := range line {
		line[i].MIDI += by
	}
	qpm := ev.piece.TempoAt(line[0].Measure, ev.piece.Measures[line[0].Measure].Notes[line[0].Note].Start)
	if qpm == 0 {
		qpm = piece.Unhurried
	}
	ev.plan = ev.board.FingerPart(line, ev.lineAt, ev.lineAt+len(ev.line), fingerboard.Options{QPM: qpm, Positions: ev.opts.Positions})
}

// spareNotes is how many more notes than twice those asked for may be heard
// before the whole piece is looked for in a take: tuning, talk, a second try.
const spareNotes = 8

// within finds the first time through the measures first..last: notes from..to-1.
func within(line []piece.Expected, first, last int) (from, to int) {
	in := func(e piece.Expected) bool { return e.Measure >= first && e.Measure <= last }
	for from < len(line) && !in(line[from]) {
		from++
	}
	to = from
	for to < len(line) && in(line[to]) && (to == from || line[to].Measure >= line[to-1].Measure) {
		to++
	}
	return from, to
}

// match gives what was heard of a note of the line.
func (ev *evidence) match(i int) *align.Match { return &ev.align.Matches[i] }

// framesIn gives the frames of a stretch of time, s.
func (ev *evidence) framesIn(from, to float64) []dsp.Frame {
	f := ev.heard.Frames
	a := sort.Search(len(f), func(k int) bool { return f[k].Time >= from })
	b := sort.Search(len(f), func(k int) bool { return f[k].Time >= to })
	return f[a:max(a, b)]
}
