package fingerboard

import (
	"bytes"
	"embed"
	"encoding/json"
	"errors"
	"io"
	"math"
	"slices"
	"strings"
	"sync"

	"endpin/piece"
	"endpin/piece/words"
)

// School is how a teacher divides the neck of the bass and what is preferred on
// it. In a file it is JSON, as those of the folder schools are:
//
//	school     its name
//	about      what it is, and where from
//	use        the positions used, as --positions takes them: "half-3"
//	hands      each hand by a name: fingers, the semitones at which each lies above the
//	           hand's beginning, and how: nothing for where it lies, "reach" for where it
//	           goes by a pivot or an extension, "marked" for where it goes when told to
//	positions  from the nut up: the token, the semitones at which the hand begins, the hand,
//	           what it costs to go there and what each note there costs; "to" repeats a
//	           position by semitones
//	costs      those of Costs; the ones left out are the usual ones
type School struct {
	Name      string            `json:"school"`
	About     string            `json:"about"`
	Use       string            `json:"use"`
	Hands     map[string]Hand   `json:"hands"`
	Positions []schoolsPosition `json:"positions"`
	Costs     Costs             `json:"costs"`

	kept string // by what it is remembered: the name of a school that is built in, else the whole file
}

type schoolsPosition struct {
	Position string  `json:"position"`
	At       int     `json:"at"`
	To       int     `json:"to,omitempty"`
	Hand     string  `json:"hand"`
	Dear     float64 `json:"dear,omitempty"`
	Tiring   float64 `json:"tiring,omitempty"`
}

//go:embed schools/*.json
var schoolFiles embed.FS

// UsualSchool is the one where none is asked for.
const UsualSchool = "1-2-4"

// builtIn reads the schools that come along, once.
var builtIn = sync.OnceValue(func() (all []School) {
	for _, word := range []string{UsualSchool, "first-year", "older-1-2-4", "newer-1-2-4", "pivots", "four-fingers"} {
		data, err := schoolFiles.ReadFile("schools/" + word + ".json")
		if err != nil {
			panic(err) // it is embedded
		}
		s, err := ReadSchool(data)
		if err != nil {
			panic(word + ": " + err.Error())
		}
		s.kept = s.Name
		all = append(all, s)
	}
	return all
})

// Schools lists the schools that come along, the usual one first.
func Schools() []School { return slices.Clone(builtIn()) }

// SchoolByName finds a school that comes along.
func SchoolByName(name string) (School, error) {
	var known []string
	for _, s := range builtIn() {
		if s.Name == name {
			return s, nil
		}
		known = append(known, s.Name)
	}
	return School{}, words.Fault("piece.school.unknown", "typed", words.Quoted(name), "known", words.Row(known...))
}

// Kept is the text by which a piece remembers the school: the name of one that
// comes along, else all of its file. SchoolKept reads it.
func (s School) Kept() string { return s.kept }

// SchoolKept reads what Kept wrote.
func SchoolKept(text string) (School, error) {
	if strings.HasPrefix(strings.TrimSpace(text), "{") {
		return ReadSchool([]byte(text))
	}
	return SchoolByName(text)
}

// What a school's file may hold at most: no hand and no neck has more.
const (
	mostSchool    = 64 << 10 // bytes
	mostPositions = 64
	mostFingers   = 32
	mostCost      = 1000
)

// tokens are the positions' names in order up the neck.
var tokens = []string{"half", "1", "2", "2-3", "3", "3-4", "4", "5", "5-6", "6", "6-7", "7", "thumb"}

// ReadSchool reads a school's file. The error names the line, or what is wrong
// where, and the mend.
func ReadSchool(data []byte) (School, error) {
	s := School{Costs: DefaultCosts()}
	if len(data) > mostSchool {
		return s, words.Fault("piece.school.large", "kb", mostSchool>>10)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	err := d.Decode(&s)
	if err == nil && d.Decode(new(any)) != io.EOF {
		err = words.Fault("piece.school.object")
	}
	if err != nil {
		return s, sayJSON(data, err)
	}
	if err := s.check(); err != nil {
		return s, err
	}
	var compact bytes.Buffer
	if err := json.Compact(&compact, data); err != nil {
		return s, err
	}
	s.kept = compact.String()
	return s, nil
}

// sayJSON says on which line what stands there is no school.
func sayJSON(data []byte, err error) error {
	line := func(offset int64) int {
		return 1 + bytes.Count(data[:min(max(int(offset), 0), len(data))], []byte("\n"))
	}
	var wrong *json.UnmarshalTypeError
	var syntax *json.SyntaxError
	_, field, unknown := strings.Cut(err.Error(), "unknown field ")
	switch {
	case unknown:
		return words.Fault("piece.school.field", "line", line(int64(bytes.Index(data, []byte(field)))), "field", field)
	case errors.As(err, &wrong):
		return words.Fault("piece.school.type", "line", line(wrong.Offset), "field", words.Quoted(wrong.Field), "value", wrong.Value)
	case errors.As(err, &syntax):
		return words.Fault("piece.school.json", "line", line(syntax.Offset), "err", err)
	}
	return words.Fault("piece.school.json", "line", line(int64(len(data))), "err", err)
}

// check says what no hand can do.
func (s *School) check() error {
	switch {
	case strings.TrimSpace(s.Name) == "":
		return words.Fault("piece.school.nameless")
	case len(s.Positions) == 0 || len(s.Positions) > mostPositions:
		return words.Fault("piece.school.positions", "most", mostPositions)
	}
	for name, h := range s.Hands {
		if len(h) == 0 || len(h) > mostFingers {
			return words.Fault("piece.school.hand", "hand", words.Quoted(name), "most", mostFingers)
		}
		for _, f := range h {
			if len(f.Name) != 1 || !strings.Contains("1234T", f.Name) || f.Above < -3 || f.Above > 12 {
				return words.Fault("piece.school.finger", "hand", words.Quoted(name), "finger", words.Quoted(f.Name), "above", f.Above)
			}
		}
	}
	at, places := 0, 0
	for _, p := range s.Positions {
		name := words.Quoted(p.Position)
		switch {
		case !slices.Contains(tokens, p.Position):
			return words.Fault("piece.school.position", "position", name, "known", words.Row(tokens...))
		case p.At < max(at, 1) || p.At > 24 || p.To != 0 && (p.To < p.At || p.To > 24):
			return words.Fault("piece.school.at", "position", name, "at", p.At)
		case len(s.Hands[p.Hand]) == 0:
			return words.Fault("piece.school.no-hand", "position", name, "hand", words.Quoted(p.Hand))
		case !isCost(p.Dear) || !isCost(p.Tiring):
			return words.Fault("piece.school.cost", "name", name, "most", mostCost)
		}
		at = p.At
		places += 1 + max(0, p.To-p.At)
	}
	if places > mostPositions {
		return words.Fault("piece.school.positions", "most", mostPositions)
	}
	named, err := json.Marshal(s.Costs)
	if err != nil {
		return words.Fault("piece.school.json", "line", 1, "err", err)
	}
	var costs map[string]float64
	_ = json.Unmarshal(named, &costs) // it was written a line above
	for name, c := range costs {
		if !isCost(c) {
			return words.Fault("piece.school.cost", "name", words.Quoted(name), "most", mostCost)
		}
	}
	if _, err := s.System().Range(s.Use); err != nil {
		return words.Fault("piece.school.use", "err", err)
	}
	return nil
}

func isCost(c float64) bool { return c >= 0 && c <= mostCost && !math.IsNaN(c) }

// System is the school as an instrument carries it.
func (s School) System() System {
	sys := System{Name: s.Name, Costs: s.Costs, School: s.kept}
	for _, p := range s.Positions {
		for at := p.At; at <= max(p.At, p.To); at++ {
			sys.Positions = append(sys.Positions, Position{p.Position, at, s.Hands[p.Hand], p.Dear, p.Tiring})
		}
	}
	sys.Use, _ = sys.Range(s.Use) // check has tried it
	return sys
}

// Under is the instrument as a school fingers it. Schools are of the bass.
func (in Instrument) Under(s School) (Instrument, error) {
	if in.System.School == "" {
		return in, words.Fault("piece.school.instrument", "instrument", in.Name)
	}
	in.System, in.Chosen = s.System(), true
	return in, nil
}

// For is the instrument as a piece's own school fingers it, where the piece
// remembers one and no other was chosen. A school that cannot be read is none.
func (in Instrument) For(p *piece.Piece) Instrument {
	if in.Chosen || p.School == "" {
		return in
	}
	s, err := SchoolKept(p.School)
	if err != nil {
		return in
	}
	if own, err := in.Under(s); err == nil {
		return own
	}
	return in
}

// Range reads positions as a user writes them, tokens and ranges of them between
// commas: "half-3", "1,3", "half-1,3". A token that looks like a range, as 2-3
// does, is that one place between the two. Empty is none.
func (s System) Range(typed string) ([]string, error) {
	known := s.Tokens()
	var all []string
	for _, part := range strings.Split(typed, ",") {
		part = strings.TrimSpace(part)
		if part == "" {
			continue
		}
		from, to := part, part
		if !slices.Contains(known, part) {
			for i := range part { // the hyphen that has a token on either side
				if part[i] == '-' && slices.Contains(known, part[:i]) && slices.Contains(known, part[i+1:]) {
					from, to = part[:i], part[i+1:]
					break
				}
			}
		}
		first, last := slices.Index(known, from), slices.Index(known, to)
		if first < 0 || last < first {
			return nil, words.Fault("piece.position.unknown", "typed", words.Quoted(part), "known", words.Row(known...))
		}
		for _, token := range known[first : last+1] {
			if !slices.Contains(all, token) {
				all = append(all, token)
			}
		}
	}
	return all, nil
}
