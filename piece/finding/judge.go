package finding

import (
	"fmt"
	"math"
	"sort"
	"strconv"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/fingerboard"
)

// Options say what to judge by. The zero value judges the whole piece at the
// intermediate level, in equal temperament at A4 = 440, at the piece's own tempo.
type Options struct {
	Measures   string  // a range of printed measures, "21-24"; empty for all
	QPM        float64 // the tempo asked for, quarter notes a minute; 0 for the piece's own
	A4         float64 // reference, Hz; 0 for 440
	Level      Level
	Intonation Intonation
	Instrument *fingerboard.Instrument // nil for the double bass
	Positions  []string                // position tokens allowed; nil for all
}

// The references that may be asked for, Hz: from French Baroque pitch to a
// high nineteenth-century one.
const (
	LowestA4  = 392
	HighestA4 = 466
)

// unhurried is the tempo supposed where neither piece nor player says one,
// quarter notes a minute. Only the search for the player's own begins there.
const unhurried = 80

// take is one recording being judged.
type take struct {
	piece *piece.Piece
	line  []piece.Expected
	heard *dsp.Heard
	opts  Options
	level Level
	plan  fingerboard.Plan
	align *align.Alignment
	board fingerboard.Instrument
	from  int     // the notes of the line that are to be told of, both included;
	to    int     // the others only help
	asked float64 // quarter notes a minute; 0 where nobody asked

	supposed float64   // the tempo that the clock goes by, quarter notes a minute
	clock    []float64 // nominal time of each note of the line, s
	quarter  float64   // nominal length of a quarter note, s

	plucked   bool
	fall      float64   // dB that the sound falls as a note is let go; 0 where that is not known
	rings     bool      // what was let go is still heard under what follows
	along     bool      // another instrument sounds along
	doubtful  bool      // the recording itself leaves doubt: nothing is sure
	loud      float64   // median level of the notes, dB
	hush      float64   // level of the softest moments, dB
	cents     []float64 // by note: against the intonation at opts.A4; NaN where unknown
	base      float64   // the player's own reference, cents from opts.A4
	baseTrust dsp.Trust
	strings   map[int]float64 // strings out of tune: cents from base
	spanned   map[int]float64 // by note: cents that a narrow or wide hand explains
	scatter   float64         // of stopped notes about their frames, cents
	scoop     float64         // of landings about where they settle, cents
	sway      float64         // of onsets about the beat, ms
	told      map[int]bool    // notes of the line whose onset or length another finding explains
	wrong     map[int]bool    // notes of the line that were other notes
	hearing   *Hearing
}

// Judge hears a take of a piece. The error is align.ErrNothing where nothing of
// it was heard, or says which option cannot be.
func Judge(p *piece.Piece, heard *dsp.Heard, o Options) (*Hearing, error) {
	t := &take{piece: p, heard: heard, opts: o, level: o.Level, told: map[int]bool{}, wrong: map[int]bool{}, spanned: map[int]float64{}}
	if t.level.Name == "" {
		t.level = Intermediate
	}
	if t.opts.Intonation.Name == "" {
		t.opts.Intonation = Equal
	}
	if t.opts.A4 == 0 {
		t.opts.A4 = dsp.ReferenceA
	}
	if t.opts.A4 < LowestA4 || t.opts.A4 > HighestA4 {
		return nil, fmt.Errorf("a reference A of %g Hz: write one from %d to %d", t.opts.A4, LowestA4, HighestA4)
	}
	t.board = fingerboard.DoubleBass()
	if o.Instrument != nil {
		t.board = *o.Instrument
	}
	line, _ := p.Line()
	t.setLine(line)
	if o.Measures != "" {
		first, last, err := p.Select(o.Measures)
		if err != nil {
			return nil, err
		}
		from, to := within(line, first, last)
		if from == to {
			return nil, fmt.Errorf("measures %s hold no note", o.Measures)
		}
		if part := line[from:to]; len(heard.Notes) < 2*len(part)+spareNotes {
			t.setLine(part) // no more was played than was asked for
		} else {
			t.from, t.to = from, to-1
		}
	}
	var err error
	t.align, err = align.Align(t.line, t.clock, heard, t.opts.A4)
	if err != nil {
		return nil, err
	}
	if t.align.Last < t.from || t.align.First > t.to {
		return nil, align.ErrNothing
	}
	t.hearing = &Hearing{
		Version: 1, Piece: p.Title, Duration: round(heard.Duration, 3), ReferenceA: t.opts.A4,
		TempoAsked: round(t.asked, 2), TempoHeard: round(t.supposed/t.align.Pace, 2),
		Level: t.level.Name, Intonation: t.opts.Intonation.Name,
		Findings: []Finding{}, WorthFixing: []int{}, Remarks: t.remarks(), Listening: Listening,
	}
	t.howPlayed()
	t.sound()
	t.tuning()
	t.presence()
	t.intonation()
	t.rhythm()
	t.lengths()
	t.tempo()
	t.hearing.HeardA = round(t.opts.A4*dsp.Cents(t.base), 2)
	t.hearing.Notes = t.notes()
	t.hearing.Earlier = t.earlier()
	t.hearing.Landings = t.landings()
	t.order()
	t.weigh()
	return t.hearing, nil
}

// setLine takes the line to be judged: its tempo, its clock and its fingering.
func (t *take) setLine(line []piece.Expected) {
	t.line, t.from, t.to = line, 0, len(line)-1
	first := &line[0]
	t.asked = t.opts.QPM
	if t.asked == 0 {
		t.asked = t.piece.TempoAt(first.Measure, t.piece.Measures[first.Measure].Notes[first.Note].Start)
	}
	t.supposed = t.asked
	if t.supposed == 0 {
		t.supposed = unhurried
	}
	t.clock = align.Clock(t.piece, line, t.supposed)
	t.quarter = 60 / t.supposed
	t.plan = t.board.Finger(line, fingerboard.Options{QPM: t.supposed, Positions: t.opts.Positions})
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

// howPlayed tells bow from pluck by the longer notes.
func (t *take) howPlayed() {
	for _, least := range []float64{0.5, 0.2} {
		plucked, all := 0, 0
		for i := range t.line {
			if m := t.match(i); m.Heard >= 0 && !m.Guessed && !m.Recovered && m.Note.Offset-m.Note.Onset > least {
				all++
				if m.Note.Plucked {
					plucked++
				}
			}
		}
		// A bow swells or sustains; few of its notes die away as a pluck does.
		if t.plucked = 3*plucked > all; all >= 4 {
			break
		}
	}
	var levels []float64
	for i := range t.line {
		if m := t.match(i); m.Heard >= 0 {
			levels = append(levels, m.Note.Level)
		}
	}
	t.loud = median(levels)
	t.cents = make([]float64, len(t.line))
	for i := range t.line {
		t.cents[i] = math.NaN()
		if m := &t.align.Matches[i]; m.Heard >= 0 && !m.Guessed {
			t.cents[i] = 100*(m.Note.Pitch-float64(t.line[i].MIDI+12*t.align.Octave)) - t.ideal(i)
		}
	}
}

// ideal is where the intonation asked for puts a note, cents from equal temperament.
func (t *take) ideal(i int) float64 {
	return t.opts.Intonation.Cents(t.line[i].MIDI, t.piece.Measures[t.line[i].Measure].Key)
}

// match gives what was heard of a note of the line.
func (t *take) match(i int) *align.Match { return &t.align.Matches[i] }

// add files a finding that covers notes first..last of the line.
func (t *take) add(f Finding, first, last int) {
	if last < t.from || first > t.to || drowned[f.Kind] && (t.rings && t.fall < drowning || t.along && !f.Unplayed) {
		return
	}
	f.First, f.Last = first, last
	if t.doubtful {
		f.Trust = least(f.Trust, dsp.Fair)
	}
	a, b := &t.line[first], &t.line[last]
	if f.Measure == "" {
		f.Measure, f.Pass, f.Beat = a.Number, a.Pass, round(a.Beat, 3)
	}
	if f.ToMeasure == "" {
		f.ToMeasure = b.Number
	}
	for i := first; i <= last && f.At == 0; i++ {
		if t.match(i).Heard >= 0 {
			f.At = round(t.match(i).Note.Onset, 3)
		}
	}
	f.Value, f.Spread, f.Tolerance = round(f.Value, 3), round(f.Spread, 2), round(f.Tolerance, 2)
	t.tell(&f)
	t.hearing.Findings = append(t.hearing.Findings, f)
}

// whole files a finding of the whole take.
func (t *take) whole(f Finding) {
	t.add(f, max(t.from, t.align.First), min(t.to, t.align.Last))
}

// order puts findings in the order of the music; those of the whole take first.
func (t *take) order() {
	f := t.hearing.Findings
	wide := func(x *Finding) int {
		if x.Kind == Tuning || x.Kind == Tempo || x.Kind == NotSure {
			return 0
		}
		return 1
	}
	sort.SliceStable(f, func(a, b int) bool {
		if wa, wb := wide(&f[a]), wide(&f[b]); wa != wb {
			return wa < wb
		}
		if f[a].First != f[b].First {
			return f[a].First < f[b].First
		}
		return f[a].At < f[b].At
	})
}

func round(x float64, digits int) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	p := math.Pow10(digits)
	return math.Round(x*p) / p
}

func number(s string) float64 {
	v, _ := strconv.ParseFloat(s, 64)
	return v
}

func median(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	s := append([]float64(nil), x...)
	sort.Float64s(s)
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}

// deviation is the robust standard deviation about a value: 1.4826 times the
// median absolute deviation.
func deviation(x []float64, about float64) float64 {
	if len(x) == 0 {
		return 0
	}
	d := make([]float64, len(x))
	for i, v := range x {
		d[i] = math.Abs(v - about)
	}
	return 1.4826 * median(d)
}

// least gives the less sure of two trusts.
func least(a, b dsp.Trust) dsp.Trust {
	rank := map[dsp.Trust]int{dsp.Sure: 2, dsp.Fair: 1, dsp.NotSure: 0}
	if rank[a] < rank[b] {
		return a
	}
	return b
}
