package notation

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// abcMeter reads M: "4/4", "C", "C|", "3+2/8", "(2+3)/8", "none".
func abcMeter(value string) (piece.Time, error) {
	switch value = strings.TrimSpace(value); strings.ToLower(value) {
	case "", "none":
		return piece.Time{}, nil
	case "c":
		return piece.Time{Beats: 4, Unit: 4}, nil
	case "c|":
		return piece.Time{Beats: 2, Unit: 2}, nil
	}
	top, bottom, ok := strings.Cut(value, "/")
	if !ok {
		return piece.Time{}, words.Fault("notation.abc.meter", "typed", typed(value))
	}
	beats, err := sum(strings.Trim(top, "() "))
	if err != nil {
		return piece.Time{}, words.Fault("notation.abc.meter", "typed", typed(value))
	}
	unit, err := strconv.Atoi(strings.TrimSpace(bottom))
	if err != nil || unit < 1 || unit > 128 || unit&(unit-1) != 0 {
		return piece.Time{}, words.Fault("notation.abc.meter", "typed", typed(value))
	}
	return piece.Time{Beats: beats, Unit: unit}, nil
}

// abcUnit reads L: "1/8" and gives ticks.
func abcUnit(value string) (float64, error) {
	top, bottom, found := strings.Cut(value, "/")
	if !found {
		bottom = "1"
	}
	a, errA := strconv.Atoi(strings.TrimSpace(top))
	b, errB := strconv.Atoi(strings.TrimSpace(bottom))
	if errA != nil || errB != nil || a < 1 || b < 1 || a > 64 || b > 1024 {
		return 0, words.Fault("notation.abc.unit", "typed", typed(value))
	}
	return 4 * float64(piece.Quarter) * float64(a) / float64(b), nil
}

// defaultUnit is the unit note length where no L: stands (ABC 2.1, 3.1.7): a
// sixteenth in meters shorter than 3/4, else an eighth.
func defaultUnit(t piece.Time) float64 {
	if t.Unit > 0 && float64(t.Beats)/float64(t.Unit) < 0.75 {
		return float64(piece.Quarter) / 4
	}
	return float64(piece.Quarter) / 2
}

var tempoMark = regexp.MustCompile(`((?:[0-9]+/[0-9]+\s*)+)=\s*([0-9]+(?:\.[0-9]+)?)`)

var quoted = regexp.MustCompile(`"[^"]*"`)

// abcTempo reads Q: `1/4=76`, `"Andante" 3/8=50`, `1/4 1/8=40`; a bare number
// counts quarter notes. It gives quarter notes a minute, 0 for words alone.
func abcTempo(value string) float64 {
	value = strings.TrimSpace(quoted.ReplaceAllString(value, ""))
	if m := tempoMark.FindStringSubmatch(value); m != nil {
		beat := 0.0
		for _, f := range strings.Fields(m[1]) {
			if t, err := abcUnit(f); err == nil {
				beat += t
			}
		}
		n, _ := strconv.ParseFloat(m[2], 64)
		return n * beat / float64(piece.Quarter)
	}
	n, err := strconv.ParseFloat(value, 64)
	if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
		return 0
	}
	return n
}

// abcKey is a key signature as it acts on notes.
type abcKey struct {
	piece.Key
	alter map[string]int // by letter
}

// fifthsOf are the major keys on the line of fifths.
var fifthsOf = map[string]int{"C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5, "F": -1}

// modes are how far a mode's signature lies from its tonic's major key.
var modes = map[string]int{"": 0, "maj": 0, "ion": 0, "m": -3, "min": -3, "aeo": -3, "mix": -1, "dor": -2, "phr": -4, "lyd": 1, "loc": -5}

// signature gives the alterations of a key signature.
func signature(fifths int) map[string]int {
	alter := map[string]int{}
	for _, letter := range piece.Letters {
		if by := (piece.Key{Fifths: fifths}).Of(string(letter)); by != 0 {
			alter[string(letter)] = by
		}
	}
	return alter
}

var (
	keyTonic   = regexp.MustCompile(`^([A-G])([#b]?)\s*([A-Za-z]*)`)
	keyAlters  = regexp.MustCompile(`^(\^\^|\^|__|_|=)([a-gA-G])$`)
	properties = regexp.MustCompile(`([A-Za-z-]+)=("[^"]*"|\S+)`)
)

// setKey reads K: tonic, mode, accidentals of its own, and the clef.
func (s *voiceSettings) setKey(value string) error {
	rest := properties.ReplaceAllString(value, "")
	if err := s.properties(value); err != nil {
		return err
	}
	rest = strings.TrimSpace(rest)
	switch first, after, _ := strings.Cut(rest, " "); {
	case rest == "":
		if s.key.alter == nil {
			s.key = abcKey{alter: map[string]int{}}
		}
		return nil
	case first == "HP" || first == "Hp": // the bagpipe: F and C sharp
		s.key = abcKey{piece.Key{Fifths: 2}, signature(2)}
		rest = after
	case strings.EqualFold(first, "none"):
		s.key = abcKey{alter: map[string]int{}}
		rest = after
	case len(first) > 1 && isClef(first):
		return nil // a clef alone: the key stays
	default:
		m := keyTonic.FindStringSubmatch(rest)
		if m == nil {
			return words.Fault("notation.abc.key", "typed", typed(value))
		}
		mode, off, ok := m[3], 0, true
		whole := m[0]
		if isClef(mode) { // K:G bass
			mode, whole = "", m[0][:len(m[1])+len(m[2])]
		}
		explicit := strings.EqualFold(mode, "exp")
		if !explicit {
			name := strings.ToLower(mode)
			if len(name) > 3 {
				name = name[:3]
			}
			if off, ok = modes[name]; !ok {
				return words.Fault("notation.abc.mode", "typed", typed(m[0]))
			}
		}
		fifths := fifthsOf[m[1]] + off
		switch m[2] {
		case "#":
			fifths += 7
		case "b":
			fifths -= 7
		}
		if explicit {
			fifths = 0
		}
		fifths = min(max(fifths, -7), 7)
		s.key = abcKey{piece.Key{Fifths: fifths, Minor: off == -3}, signature(fifths)}
		rest = rest[len(whole):]
	}
	for _, word := range strings.Fields(rest) {
		if m := keyAlters.FindStringSubmatch(word); m != nil {
			s.key.alter[strings.ToUpper(m[2])] = accidentals[m[1]]
		}
	}
	return nil
}

// accidentals are ABC's signs and their semitones.
var accidentals = map[string]int{"^": 1, "^^": 2, "_": -1, "__": -2, "=": 0}
