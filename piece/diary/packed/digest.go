package packed

import (
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Landings are the landings of a hearing.
type Landings struct {
	Shift     []int64     `json:"shift"` // its row in the diary's shifts
	Pass      []int       `json:"pass"`
	Cents     []float64   `json:"cents"`
	SettleMS  []*float64  `json:"settle_ms"`
	QPM       []float64   `json:"qpm"`
	CarriedBy []string    `json:"carried_by"`
	Plucked   []int       `json:"plucked"` // 0 or 1, as the two below
	Marked    []int       `json:"marked"`
	Other     []int       `json:"alternative"`
	Trust     []dsp.Trust `json:"trust"`
	At        []float64   `json:"at_s"`
}

// Measures say how each printed measure of a hearing went.
type Measures struct {
	Printed []int    `json:"printed"` // index of the printed measure, for the order
	Measure []string `json:"measure"`
	Notes   []int    `json:"notes"`  // expected
	Heard   []int    `json:"heard"`  // of these, as written
	Told    []int    `json:"told"`   // findings that cover it, those of the whole take left out
	Unsure  []int    `json:"unsure"` // notes heard without trust
}

// Strings are the open strings of a hearing: the median against the player's own reference, and
// of how many notes.
type Strings struct {
	String []int     `json:"string"`
	Cents  []float64 `json:"cents"`
	Notes  []int     `json:"notes"`
}

// Read reads lists that stand together, and so are of one length, into c, whose own it uses again.
func Read[T Notes | Landings | Measures | Strings](text []byte, c *T) error {
	lists := reflect.ValueOf(c).Elem()
	for i := range lists.NumField() {
		lists.Field(i).SetLen(0)
	}
	if err := json.Unmarshal(text, c); err != nil {
		return err
	}
	for i := range lists.NumField() {
		if lists.Field(i).Len() != lists.Field(0).Len() {
			return words.Fault("diary.spoiled.field")
		}
	}
	return nil
}

// Add puts a landing of a shift beside those there are.
func (c *Landings) Add(shift int64, x *finding.Landing) {
	c.Shift, c.Pass, c.Cents, c.SettleMS = append(c.Shift, shift), append(c.Pass, x.Pass), append(c.Cents, x.Cents), append(c.SettleMS, x.SettleMS)
	c.QPM, c.CarriedBy = append(c.QPM, x.QPM), append(c.CarriedBy, string(x.CarriedBy))
	c.Plucked, c.Marked, c.Other = append(c.Plucked, bit(x.Plucked)), append(c.Marked, bit(x.Marked)), append(c.Other, bit(x.Other))
	c.Trust, c.At = append(c.Trust, x.Trust), append(c.At, x.At)
}

func bit(is bool) int {
	if is {
		return 1
	}
	return 0
}

// MeasuresOf are the measures of a hearing.
func MeasuresOf(h *finding.Hearing, of *piece.Piece) (c Measures) {
	for _, m := range h.ByMeasure(of) {
		c.Printed, c.Measure, c.Notes = append(c.Printed, m.Printed), append(c.Measure, m.Number), append(c.Notes, m.Notes)
		c.Heard, c.Told, c.Unsure = append(c.Heard, m.Heard), append(c.Told, m.Told), append(c.Unsure, m.Unsure)
	}
	return c
}

// StringsOf are the open strings of a hearing.
func StringsOf(h *finding.Hearing) (c Strings) {
	heard := map[int][]float64{}
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.Position == "0" && n.State == finding.StatePlayed && n.Cents != nil && n.Trust != dsp.NotSure && math.Abs(*n.Cents) < 80 {
			heard[n.String] = append(heard[n.String], *n.Cents)
		}
	}
	for s := range heard {
		c.String = append(c.String, s)
	}
	slices.Sort(c.String)
	for _, s := range c.String {
		v := heard[s]
		c.Cents, c.Notes = append(c.Cents, robust.MedianOf(v)), append(c.Notes, len(v))
	}
	return c
}

// Told is what weeks are told from of a finding.
type Told struct {
	Kind        finding.Kind
	Measure, To string
	Trust       dsp.Trust
	Value       float64
}

// ToldOf is how SQLite puts what was told in a hearing h into one value, which EachTold reads.
const ToldOf = `(SELECT coalesce(group_concat(f.kind || char(31) || f.measure || char(31) || f.to_measure || char(31) || f.trust || char(31) || f.value, char(30)), '')
	FROM findings f WHERE f.hearing = h.id)`

// EachTold hands over each finding of a value that ToldOf made.
func EachTold(packed string, tell func(Told)) {
	for f := range strings.SplitSeq(packed, "\x1e") {
		if c := strings.Split(f, "\x1f"); len(c) == 5 {
			value, _ := strconv.ParseFloat(c[4], 64)
			tell(Told{finding.Kind(c[0]), c[1], c[2], dsp.Trust(c[3]), value})
		}
	}
}
