package finding

import (
	"strings"

	"endpin/piece/words"
)

// Level is how much is let pass. Every value can be set.
type Level struct {
	Name   string
	Frame  float64 // cents that a hand frame may be displaced
	Note   float64 // cents that a note may be off by itself
	Onset  float64 // ms late or early
	Held   float64 // fraction of the written length that must sound
	Tempo  float64 // per cent off the tempo asked
	Tuning float64 // cents off the reference A, or of a string off the others
}

// The levels (common practice, no source).
var (
	FirstYear    = Level{"first-year", 25, 35, 150, 0.60, 12, 15}
	Intermediate = Level{"intermediate", 18, 25, 100, 0.70, 8, 10}
	Advanced     = Level{"advanced", 10, 15, 50, 0.80, 5, 5}
)

// LevelByName finds a level by its name.
func LevelByName(name string) (Level, error) {
	for _, l := range []Level{FirstYear, Intermediate, Advanced} {
		if l.Name == strings.ToLower(name) {
			return l, nil
		}
	}
	return Level{}, words.Fault("finding.option.level", "name", words.Quoted(name))
}
