package outline

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"endpin/piece/words"
)

// Weights says how much each thing adds to a measure's hardness. The unit is
// one plain shift. All values are common practice, no source; each can be set.
type Weights struct {
	Easy     float64 `json:"easy"`     // notes a second that cost nothing
	Note     float64 `json:"note"`     // each note a second beyond
	Crossing float64 `json:"crossing"` // each string crossing a second
	Skip     float64 `json:"skip"`     // each crossing over a string, added

	Shift           float64 `json:"shift"`            // each shift
	ShiftSemitone   float64 `json:"shift-semitone"`   // and each semitone of it beyond the first two
	ShiftCarried    float64 `json:"shift-carried"`    // factor: over a rest or an open string
	ShiftSlurred    float64 `json:"shift-slurred"`    // added under a slur
	ShiftHurried    float64 `json:"shift-hurried"`    // added out of a note shorter than half a second, at most
	UpBow           float64 `json:"up-bow"`           // a downbeat that falls up bow
	Retake          float64 `json:"retake"`           // the bow set again without a rest
	SlurredCrossing float64 `json:"slurred-crossing"` // each crossing under a slur, added
	LongBow         float64 `json:"long-bow"`         // a bow at its full length; more beyond
	Uneven          float64 `json:"uneven"`           // a long bow before a short one, three to one or more
	NewRhythm       float64 `json:"new-rhythm"`       // each rhythm not met before
	Accidental      float64 `json:"accidental"`       // each note outside the key signature
}

// DefaultWeights is a beginner's teacher's judgement.
func DefaultWeights() Weights {
	return Weights{
		Easy: 1.8, Note: 0.6, Crossing: 0.35, Skip: 0.6,
		Shift: 1, ShiftSemitone: 0.15, ShiftCarried: 0.5, ShiftSlurred: 0.8, ShiftHurried: 0.6,
		UpBow: 0.25, Retake: 0.6, SlurredCrossing: 0.35,
		LongBow: 0.8, Uneven: 0.35, NewRhythm: 0.8, Accidental: 0.4,
	}
}

// ParseWeights changes single weights, as in "shift=2", "crossing=0.5". The
// error names the one that does not exist, and those that do.
func ParseWeights(settings []string) (Weights, error) {
	w := DefaultWeights()
	for _, s := range settings {
		name, value, found := strings.Cut(s, "=")
		v, err := strconv.ParseFloat(value, 64)
		if !found || err != nil || !(v >= 0 && v <= 100) {
			return w, words.Fault("outline.weight", "typed", words.Quoted(s))
		}
		pair, _ := json.Marshal(map[string]float64{name: v})
		d := json.NewDecoder(bytes.NewReader(pair))
		d.DisallowUnknownFields()
		if d.Decode(&w) != nil {
			return w, words.Fault("outline.weight.absent", "typed", words.Quoted(name), "known", words.Row(WeightNames()...))
		}
	}
	return w, nil
}

// WeightNames lists the weights by name.
func WeightNames() []string {
	all, _ := json.Marshal(Weights{})
	var names []string
	for i, part := range strings.Split(string(all), `"`) {
		if i%2 == 1 {
			names = append(names, part)
		}
	}
	return names
}

// fullBow is the part of a bow's length from which it begins to count.
const fullBow = 0.75

// bowWeight grows from nothing at three quarters of a bow to one at a whole
// bow, and on beyond it.
func bowWeight(part float64) float64 { return math.Max(0, (part-fullBow)/(1-fullBow)) }
