package outline

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"endpin/piece"
	"endpin/piece/fingerboard"
)

// reason is one thing that makes a measure hard.
type reason struct {
	weight float64
	text   string
	short  string // as it is written under a measure
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
	reasons  []reason
	hardness float64
}

func (l *load) add(weight float64, text, short string) {
	if weight <= 0 {
		return
	}
	l.hardness += weight
	if text != "" {
		l.reasons = append(l.reasons, reason{weight, text, short})
	}
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
			loads[i].add(w.NewRhythm, "a rhythm not met before: "+s, "new rhythm")
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
		for _, r := range l.reasons {
			m.Reasons = append(m.Reasons, r.text)
			m.Short = append(m.Short, r.short)
		}
		switch {
		case up && w.UpBow > 0 && len(m.Reasons) > 0:
			m.Reasons[0] += ", begun up bow"
		case up && w.UpBow > 0:
			m.Reasons = append(m.Reasons, "the downbeat falls up bow")
			m.Short = append(m.Short, "up bow")
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
	if l.shortest > 0 {
		rate = (rate + 1/l.shortest) / 2
	}
	fast := w.Note * math.Max(0, rate-w.Easy)
	across := 0.0
	if l.cross > 1 { // once a measure is what strings are for
		across = w.Crossing * float64(l.cross) / l.seconds
	}
	text, short := "", ""
	switch {
	case fast > 0 && across > 0:
		short = values(&p.Measures[i]) + " across strings"
		text = values(&p.Measures[i]) + " across " + count(len(l.strings)) + " strings"
		if len(l.strings) < 2 {
			text = values(&p.Measures[i]) + " from string to string"
		}
	case fast > 0:
		text = values(&p.Measures[i])
		short = text
	case across > 0:
		text, short = count(l.cross)+" string crossings", "string crossings"
	}
	l.add(fast+across, text, short)
	switch l.skips {
	case 0:
	case 1:
		l.add(w.Skip, "a leap over a string", "over a string")
	default:
		l.add(w.Skip*float64(l.skips), count(l.skips)+" leaps over a string", "over a string")
	}
	if l.slurred > 0 {
		l.add(w.SlurredCrossing*float64(l.slurred), "a string crossing under a slur", "slur across strings")
	}
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
		text := fmt.Sprintf("a shift from %s to %s", PositionWords(s.From), PositionWords(s.To))
		if name := in.Strings[s.String-1].Name; name != "" {
			text += " on the " + name + " string"
		}
		switch s.CarriedBy {
		case fingerboard.ByRest:
			weight, text = weight*w.ShiftCarried, text+", in a rest"
		case fingerboard.ByOpen:
			weight, text = weight*w.ShiftCarried, text+", over an open string"
		case fingerboard.ByHarmonic:
			weight, text = weight*w.ShiftCarried, text+", over a harmonic"
		case fingerboard.BySlur:
			weight, text = weight+w.ShiftSlurred, text+", under a slur"
		}
		loads[n.Measure].add(weight, text, "shift to "+PositionWords(s.To))
	}
	for i := range loads { // two shifts or more are one reason
		loads[i].joinShifts()
	}
}

func (l *load) joinShifts() {
	if len(l.reasons) < 2 {
		return
	}
	var texts []string
	total := 0.0
	for _, r := range l.reasons {
		texts = append(texts, strings.TrimPrefix(r.text, "a shift "))
		total += r.weight
	}
	l.reasons = []reason{{total, count(len(texts)) + " shifts: " + strings.Join(texts, "; "), count(len(texts)) + " shifts"}}
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
			l.add(w.LongBow*bowWeight(part), fmt.Sprintf("a bow of %.1f seconds, longer than the %.3g that one lasts here", seconds, limit), "long bow")
		} else {
			l.add(w.LongBow*bowWeight(part), fmt.Sprintf("a bow of %.1f seconds, nearly a whole one", seconds), "long bow")
		}
		if s.Retake {
			l.add(w.Retake, "the bow is set again without a rest", "retake")
		}
		if k+1 < len(out.Strokes) && !out.Strokes[k+1].Fresh && seconds >= 1 && s.Length >= 3*out.Strokes[k+1].Length {
			l.add(w.Uneven, "a long bow and then a short one: save bow, and bring it back", "save bow")
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

// order is the order in which sharps are written; flats go the other way.
const order = "FCGDAEB"

// inKey is what the key signature does to a letter.
func inKey(k piece.Key, step string) int {
	i := strings.Index(order, step)
	switch {
	case i >= 0 && k.Fifths > i:
		return 1
	case i >= 0 && -k.Fifths > 6-i:
		return -1
	}
	return 0
}

// outsideKey weighs the notes outside the key signature. The raised seventh of
// a minor key is at home, and counts half.
func outsideKey(l *load, m *piece.Measure, w Weights) {
	var names []string
	weight := 0.0
	for i := range m.Notes {
		n := &m.Notes[i]
		if n.Rest || n.Step == "" || n.Alter == inKey(m.Key, n.Step) {
			continue
		}
		name := n.Step + alters[min(max(n.Alter, -2), 2)+2]
		if slices.Contains(names, name) {
			continue
		}
		names = append(names, name)
		seventh := ((m.Key.Fifths+8)*7 + 120) % 12 // a semitone under the minor key's tonic
		if m.Key.Minor && ((n.MIDI-seventh)%12+12)%12 == 0 {
			weight += w.Accidental / 2
			continue
		}
		weight += w.Accidental
	}
	if len(names) > 0 {
		l.add(weight, strings.Join(names, " and ")+", outside the key signature", strings.Join(names, ", "))
	}
}

var alters = [5]string{"♭♭", "♭", "♮", "♯", "𝄪"}

func count(n int) string {
	words := [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}
