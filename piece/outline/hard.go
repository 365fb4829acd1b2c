package outline

import (
	"cmp"
	"math"
	"slices"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// reason is one thing that makes a measure hard.
type reason struct {
	weight float64
	said   words.Sentence
	short  words.Sentence // as it is written under a measure
}

// load gathers what one measure asks, the first time round.
type load struct {
	notes    []int // indexes into the line
	seconds  float64
	cross    int
	skips    int
	slurred  int     // crossings under a slur
	shortest float64 // seconds between two beginnings
	strings  map[int]bool
	moves    []move
	reasons  []reason
	hardness float64
}

// move is one shift in the measure that it arrives in.
type move struct {
	weight float64
	said   words.Sentence
	to     words.Sentence // the position
}

// add takes in a reason by its name in the catalogue, whole and in short, and what
// stands in either.
func (l *load) add(weight float64, said, short string, places ...any) {
	if weight <= 0 {
		return
	}
	l.hardness += weight
	l.reasons = append(l.reasons, reason{weight, words.Of("outline.reason."+said, places...), words.Of("outline.short."+short, places...)})
}

// quick is the shortest rest over which a string crossing costs nothing, seconds.
const quick = 0.4

// weigh fills in the hardness of every measure and its reasons.
func (out *Outline) weigh(p *piece.Piece, in fingerboard.Instrument, w Weights) {
	loads := make([]load, len(p.Measures))
	for i := range loads {
		loads[i].seconds = p.Measures[i].Length.Quarters() * 60 / out.Measures[i].QPM
		loads[i].strings = map[int]bool{}
	}
	for i := range out.Line {
		if n := &out.Line[i]; n.Pass == 1 {
			out.meet(&loads[n.Measure], i)
		}
	}
	out.shiftLoads(loads, in, w)
	out.bowLoads(p, loads, w)
	for i, said := range newRhythms(p) {
		for _, s := range said {
			loads[i].add(w.NewRhythm, "new-rhythm", "new-rhythm", "rhythm", s)
		}
		out.Measures[i].NewRhythm = len(said) > 0
	}
	for i := range loads {
		l, m := &loads[i], &out.Measures[i]
		l.pace(p, i, w)
		outsideKey(l, &p.Measures[i], w)
		up := false
		if len(l.notes) > 0 {
			up = out.begunUp(p, l.notes[0])
		}
		if up {
			l.hardness += w.UpBow
		}
		slices.SortStableFunc(l.reasons, func(a, b reason) int { return cmp.Compare(b.weight, a.weight) })
		switch {
		case up && w.UpBow > 0 && len(l.reasons) > 0:
			l.reasons[0].said.Key += ".up"
		case up && w.UpBow > 0:
			l.reasons = append(l.reasons, reason{said: words.Of("outline.reason.up-bow"), short: words.Of("outline.short.up-bow")})
		}
		for _, r := range l.reasons {
			m.Reasons = append(m.Reasons, r.said.String())
			m.Short = append(m.Short, r.short.String())
		}
		m.Hardness = round(l.hardness, 2)
	}
}

// meet takes in one note of the line: its string and its time.
func (out *Outline) meet(l *load, i int) {
	l.notes = append(l.notes, i)
	n, f := &out.Line[i], &out.Plan.Notes[i]
	qpm := out.Measures[n.Measure].QPM
	if s := (n.Length + n.RestAfter).Quarters() * 60 / qpm; l.shortest == 0 || s < l.shortest {
		l.shortest = s
	}
	if f.String == 0 {
		return
	}
	l.strings[f.String] = true
	if i == 0 || out.Plan.Notes[i-1].String == 0 || out.Line[i-1].RestAfter.Quarters()*60/qpm >= quick {
		return
	}
	away := f.String - out.Plan.Notes[i-1].String
	if away < 0 {
		away = -away
	}
	if away == 0 {
		return
	}
	l.cross++
	if away > 1 {
		l.skips++
	}
	if n.Slurred {
		l.slurred++
	}
}

// pace weighs notes and crossings against time: half by the measure's mean,
// half by its shortest note.
func (l *load) pace(p *piece.Piece, i int, w Weights) {
	if len(l.notes) == 0 || l.seconds <= 0 {
		return
	}
	rate := float64(len(l.notes)) / l.seconds
	quickest := rate
	if l.shortest > 0 {
		quickest = 1 / l.shortest
		rate = (rate + quickest) / 2
	}
	fast := w.Note * math.Max(0, rate-w.Easy)
	across := 0.0
	if l.cross > 1 { // once a measure is what strings are for
		across = w.Crossing * float64(l.cross) / l.seconds
	}
	said, short := "crossings", "crossings"
	switch {
	case fast > 0 && across > 0 && len(l.strings) < 2:
		said, short = "fast-from-string-to-string", "fast-across"
	case fast > 0 && across > 0:
		said, short = "fast-across", "fast-across"
	case fast > 0:
		said, short = "fast", "fast"
	}
	l.add(fast+across, said, short, "rate", aSecond(quickest), "strings", words.NumberWord(len(l.strings)), "count", words.NumberWord(l.cross))
	switch l.skips {
	case 0:
	case 1:
		l.add(w.Skip, "skip", "skip")
	default:
		l.add(w.Skip*float64(l.skips), "skips", "skip", "count", words.NumberWord(l.skips))
	}
	if l.slurred > 0 {
		l.add(w.SlurredCrossing*float64(l.slurred), "slurred-crossing", "slurred-crossing")
	}
}

// aSecond says how many notes there are in a second, to the half.
func aSecond(rate float64) words.Sayer {
	if halves := math.Round(2 * rate); math.Mod(halves, 2) != 0 {
		return words.Fixed(halves/2, 1)
	}
	return words.NumberWord(int(math.Round(rate)))
}

// hurried is the note out of which a shift has time enough, seconds.
const hurried = 0.5

// shiftLoads weighs every shift in the measure that it arrives in.
func (out *Outline) shiftLoads(loads []load, in fingerboard.Instrument, w Weights) {
	for _, s := range out.Plan.Shifts {
		n := &out.Line[s.Note]
		if n.Pass != 1 {
			continue
		}
		size := s.Semitones
		if size < 0 {
			size = -size
		}
		weight := w.Shift + w.ShiftSemitone*math.Max(0, float64(size-2))
		before := out.Line[s.Note-1].Length.Quarters() * 60 / out.Measures[n.Measure].QPM
		if before < hurried {
			weight += w.ShiftHurried * (1 - before/hurried)
		}
		how := "outline.move"
		switch s.CarriedBy {
		case fingerboard.ByRest:
			weight, how = weight*w.ShiftCarried, "outline.move.rest"
		case fingerboard.ByOpen:
			weight, how = weight*w.ShiftCarried, "outline.move.open-string"
		case fingerboard.ByHarmonic:
			weight, how = weight*w.ShiftCarried, "outline.move.harmonic"
		case fingerboard.BySlur:
			weight, how = weight+w.ShiftSlurred, "outline.move.slur"
		}
		if weight > 0 {
			to := words.Position(s.To).Printed()
			said := words.Of(how, "from", words.Position(s.From).Printed(), "to", to, "string", words.OpenString(in.Strings[s.String-1].Name))
			loads[n.Measure].moves = append(loads[n.Measure].moves, move{weight, said, to})
		}
	}
	for i := range loads {
		loads[i].addMoves()
	}
}

// addMoves makes one reason of a measure's shifts.
func (l *load) addMoves() {
	var said []words.Sentence
	total := 0.0
	for _, m := range l.moves {
		said = append(said, m.said)
		total += m.weight
	}
	if len(said) == 1 {
		l.add(total, "shift", "shift", "move", said[0], "to", l.moves[0].to)
		return
	}
	l.add(total, "shifts", "shifts", "count", words.NumberWord(len(said)), "moves", words.Clauses(said...))
}

// bowLoads weighs the strokes: a long bow, a long one before a short one, a
// bow set again without a rest.
func (out *Outline) bowLoads(p *piece.Piece, loads []load, w Weights) {
	for k := range out.Strokes {
		s := &out.Strokes[k]
		n := &out.Line[s.First]
		if n.Pass != 1 {
			continue
		}
		l, qpm := &loads[n.Measure], out.Measures[n.Measure].QPM
		seconds := s.Length.Quarters() * 60 / qpm
		limit := out.Bow.Limit(s.Low)
		w := w
		if k == len(out.Strokes)-1 {
			w.LongBow /= 2 // nothing comes after the last bow: it may die away
		}
		if part := seconds / limit; part > 1 {
			l.add(w.LongBow*bowWeight(part), "long-bow.longer", "long-bow", "seconds", words.Fixed(seconds, 1), "limit", words.Significant(limit, 3))
		} else {
			l.add(w.LongBow*bowWeight(part), "long-bow", "long-bow", "seconds", words.Fixed(seconds, 1))
		}
		if s.Retake {
			l.add(w.Retake, "retake", "retake")
		}
		if k+1 < len(out.Strokes) && !out.Strokes[k+1].Fresh && seconds >= 1 && s.Length >= 3*out.Strokes[k+1].Length {
			l.add(w.Uneven, "save-bow", "save-bow")
		}
	}
}

// begunUp reports whether a note is a downbeat that falls up bow.
func (out *Outline) begunUp(p *piece.Piece, note int) bool {
	if !downbeat(p, &out.Line[note]) {
		return false
	}
	k, _ := slices.BinarySearchFunc(out.Strokes, note, func(s Stroke, n int) int { return cmp.Compare(s.First, n) })
	return k < len(out.Strokes) && out.Strokes[k].First == note && out.Strokes[k].Bow == piece.Up
}

// outsideKey weighs the notes outside the key signature. The raised seventh of
// a minor key is at home, and counts half.
func outsideKey(l *load, m *piece.Measure, w Weights) {
	var notes []words.Note
	weight := 0.0
	for i := range m.Notes {
		n := &m.Notes[i]
		if n.Rest || n.Step == "" || n.Alter == m.Key.Of(n.Step) {
			continue
		}
		note := words.Note{Step: n.Step, Alter: min(max(n.Alter, -2), 2)}
		if slices.Contains(notes, note) {
			continue
		}
		notes = append(notes, note)
		seventh := ((m.Key.Fifths+8)*7 + 120) % 12 // a semitone under the minor key's tonic
		if m.Key.Minor && ((n.MIDI-seventh)%12+12)%12 == 0 {
			weight += w.Accidental / 2
			continue
		}
		weight += w.Accidental
	}
	var signed []words.Sayer
	for _, n := range notes {
		signed = append(signed, n.Signed())
	}
	l.add(weight, "outside-key", "outside-key", "notes", words.All(signed...), "row", words.Row(signed...))
}
