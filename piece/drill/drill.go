package drill

import (
	"slices"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/transcription"
	"endpin/piece/words"
	"endpin/piece/writing"
)

// QPM is the tempo of a drill, quarter notes a minute: a bow a second (common practice, no
// source).
const QPM = 60

// Scales in semitones above the tonic. A minor one goes up melodic and down as the key
// signature has it (common practice).
var (
	major   = []int{0, 2, 4, 5, 7, 9, 11}
	rising  = []int{0, 2, 3, 5, 7, 9, 11}
	falling = []int{0, 2, 3, 5, 7, 8, 10}
)

const octave = 12

// ScaleTitle names the scale of a piece's first key, over one octave or two.
func ScaleTitle(p *piece.Piece, octaves int) string {
	kind := "major"
	if p.Measures[0].Key.Minor {
		kind = "minor"
	}
	name, alter := p.Measures[0].Key.Tonic()
	return words.Say("drill.scale."+kind, "tonic", words.Note{Step: name, Alter: alter}, "octaves", words.Many("drill.octave", octaves))
}

// Scale is the scale of a piece's first key, up and down over one octave or two, from the
// lowest tonic on the instrument. It is fingered in the positions that the piece uses, and
// where they do not reach all of it in any. The error says that the instrument does not.
func Scale(p *piece.Piece, in fingerboard.Instrument, staff writing.Staff, octaves int) (*piece.Piece, error) {
	if octaves < 1 || octaves > 2 {
		return nil, words.Fault("drill.octaves", "n", octaves)
	}
	key := p.Measures[0].Key
	up, down := major, major
	if key.Minor {
		up, down = rising, falling
	}
	name, alter := key.Tonic()
	tonic := words.Note{Step: name, Alter: alter}
	low, high := in.Range()
	first := low
	for (first-key.Class())%octave != 0 {
		first++
	}
	if first+octaves*octave > high {
		return nil, words.Fault("drill.reach", "tonic", tonic)
	}
	var midi []int
	for o := range octaves {
		for _, s := range up {
			midi = append(midi, first+o*octave+s)
		}
	}
	midi = append(midi, first+octaves*octave)
	for o := octaves - 1; o >= 0; o-- {
		for _, s := range slices.Backward(down) {
			midi = append(midi, first+o*octave+s)
		}
	}
	var line []writing.Note
	for i, m := range midi {
		line = append(line, writing.Note{Start: piece.Ticks(i) * piece.Quarter, Length: piece.Quarter, MIDI: m})
	}
	last := &line[len(line)-1]
	const bar = 4 * piece.Quarter
	last.Length = (last.Start+bar)/bar*bar - last.Start // to the end of its measure
	transcription.Spell(line, key, staff)
	page := writing.Page(line, writing.Frame{Title: ScaleTitle(p, octaves), Time: piece.Time{Beats: 4, Unit: 4}, Key: key, QPM: QPM, Staff: staff})
	page.School = p.School
	played, _ := page.Line()
	o := fingerboard.Options{QPM: QPM}
	plan := in.Finger(played, fingerboard.Options{QPM: QPM, Positions: positions(p, in)})
	if len(plan.Outside) > 0 {
		plan = in.Finger(played, o)
	}
	return in.Marked(page, played, plan, o, fingerboard.WhereTheHandMoves), nil
}

// positions are those in which the hand lies in a piece.
func positions(p *piece.Piece, in fingerboard.Instrument) (all []string) {
	line, _ := p.Line()
	for _, f := range in.Finger(line, fingerboard.Options{QPM: p.TempoAt(0, 0)}).Notes {
		if f.Stopped() && !slices.Contains(all, f.Position) {
			all = append(all, f.Position)
		}
	}
	return all
}

// Shift are the shifts of a measure, as the piece is fingered, each on every string of the
// instrument with the same fingers in the same positions: there and back, twice, and once
// in long notes.
func Shift(p *piece.Piece, in fingerboard.Instrument, staff writing.Staff, measure string) (*piece.Piece, error) {
	i, _, err := p.Select(measure)
	if err != nil {
		return nil, err
	}
	played, _ := p.Line()
	plan := in.Finger(played, fingerboard.Options{QPM: p.TempoAt(0, 0)})
	var line []writing.Note
	here := piece.Ticks(0)
	note := func(f fingerboard.Fingered, str int, long piece.Ticks) {
		line = append(line, writing.Note{Start: here, Length: long, MIDI: in.Strings[str-1].MIDI + f.Semitones,
			Marks: piece.Marks{Finger: f.Finger, String: str, Position: f.Position}})
		here += long
	}
	for _, s := range plan.Shifts {
		if played[s.Note].Measure != i || played[s.Note].Pass > 1 {
			continue
		}
		from, to := plan.Notes[s.Before], plan.Notes[s.Note]
		for str := range in.Strings {
			other := str + 1 + from.String - to.String // as far apart as in the piece
			if other < 1 || other > len(in.Strings) {
				continue
			}
			for range 2 {
				note(from, other, piece.Quarter)
				note(to, str+1, piece.Quarter)
			}
			note(from, other, 2*piece.Quarter)
			note(to, str+1, 2*piece.Quarter)
		}
	}
	if len(line) == 0 {
		return nil, words.Fault("drill.no-shift", "measure", measure)
	}
	transcription.Spell(line, piece.Key{}, staff)
	title := words.Say("drill.shift", "measure", p.Measures[i].Number, "title", p.Title)
	page := writing.Page(line, writing.Frame{Title: title, Time: piece.Time{Beats: 4, Unit: 4}, QPM: QPM, Staff: staff})
	page.School = p.School
	return page, nil
}
